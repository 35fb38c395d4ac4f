package sheet

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image/jpeg"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/terrain"
)

// On the map a circle is a circle: distances and bearings from the pole are those of the
// geodesics, the more nearly the nearer, and everything lies inside.
func TestMapIsTrueToShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		centre := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-65, 65).Draw(t, "lat")}
		var places []orb.Point
		for range rapid.IntRange(0, 6).Draw(t, "neighbours") {
			places = append(places, terrain.Destination(centre, rapid.Float64Range(0, 360).Draw(t, "bearing"),
				rapid.Float64Range(100, 20e3).Draw(t, "distance")))
		}
		f := newFrame(centre, places)
		here := f.point(centre)
		for _, place := range places {
			at := f.point(place)
			if !(at.X > 0 && at.X < f.width && at.Y > 0 && at.Y < f.height) {
				t.Fatalf("%v lies at %v of %g by %g", place, at, f.width, f.height)
			}
			way := terrain.Inverse(centre, place)
			east, north := (at.X-here.X)*f.unitM, (here.Y-at.Y)*f.unitM
			wantEast, wantNorth := math.Sincos(way.AzimuthDeg * math.Pi / 180)
			off := math.Hypot(east-wantEast*way.DistM, north-wantNorth*way.DistM)
			if off > 0.015*way.DistM+0.2*f.unitM { // a degree's length changes with the latitude, and rounding
				t.Fatalf("%v is %.0f m off of %.0f m", place, off, way.DistM)
			}
		}
		s := f.scale()
		var n float64
		unit := map[bool]float64{true: 1000, false: 1}[strings.HasSuffix(s.Text, " km")]
		if _, err := fmt.Sscan(s.Text, &n); err != nil || math.Abs(s.Length*f.unitM-n*unit) > 1e-6*n*unit ||
			s.Length > f.width/3+1e-9 || s.Length < f.width/9 {
			t.Fatalf("the bar of %s is %g units of %g m", s.Text, s.Length, f.unitM)
		}
	})
}

// slope is ground that falls to the north-west, with nothing known east of longitude 10.
type slope struct{}

func (slope) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}}, StepLonDeg: .001,
		StepLatDeg: .001}
}

func (slope) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	lonM, latM := terrain.DegreeSizesM(50)
	for i, p := range at {
		heightM[i], flag[i] = 0.2*(p.Lon()-9)*lonM-0.2*(p.Lat()-51)*latM, terrain.Ground
		if p.Lon() > 10 {
			heightM[i], flag[i] = 0, terrain.Outside
		}
	}
	return nil
}

// Ground that faces the light is brighter than level ground, and what is not known is white.
func TestShade(t *testing.T) {
	f := newFrame(orb.Point{10, 50}, nil)
	url, unknown, err := f.shade(slope{})
	if err != nil || !unknown {
		t.Fatal(unknown, err)
	}
	data, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(string(url), "data:image/jpeg;base64,"))
	if err != nil {
		t.Fatal(err)
	}
	m, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	grey := func(part float64) float64 {
		b := m.Bounds()
		v, _, _, _ := m.At(int(part*float64(b.Dx())), b.Dy()/2).RGBA()
		return float64(v >> 8)
	}
	// Lit at 45 degrees from the north-west, the ground twice as steep: normal (-.4, .4, 1), so
	// (.4 + sqrt 2 / 2) / sqrt 1.32 * 1.2 is above 1, all of the light.
	if west, east := grey(0.25), grey(0.75); math.Abs(west-lightest) > 3 || math.Abs(east-unknownGrey) > 3 {
		t.Errorf("grey %g and %g, want %d and %d", west, east, lightest, unknownGrey)
	}
}

// A name finds a place in the map beside marks and other names, while there is one.
func TestLabelsKeepApart(t *testing.T) {
	f := newFrame(orb.Point{10, 50}, nil)
	var l labels
	marks := []mapPoint{{20, 100}, {200, 100}, {205, 112}, {380, 100}, {200, 12}}
	for _, at := range marks {
		l.keep(at)
	}
	for _, at := range marks {
		l.put(f, "1 Mill Bottom", at)
	}
	for i, b := range l.names {
		if b.left < 0 || b.top < 0 || b.right > f.width || b.bottom > f.height {
			t.Errorf("name %d leaves the map: %+v", i, b)
		}
		for k, other := range append(append([]box(nil), l.names[:i]...), l.marks...) {
			if b.meets(other) {
				t.Errorf("name %d lies on box %d", i, k)
			}
		}
	}
}
