package terrain

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// formulaDEM is a DEM whose heights are a formula.
type formulaDEM struct {
	stepDeg float64
	height  func(p orb.Point) (float64, Flag)
	err     error
}

func (d formulaDEM) Extent() Extent {
	return Extent{Bound: orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, StepLonDeg: d.stepDeg,
		StepLatDeg: d.stepDeg}
}

func (d formulaDEM) Heights(at []orb.Point, heightM []float64, flag []Flag) error {
	if len(at) != len(heightM) || len(at) != len(flag) {
		panic("lengths differ")
	}
	for i, p := range at {
		heightM[i], flag[i] = d.height(p)
	}
	return d.err
}

// tilted is 100 m at 0, 0 and rises by 1 m per degree eastwards and 2 northwards.
func tilted(p orb.Point) (float64, Flag) { return 100 + p[0] + 2*p[1], Ground }

func TestProfileSampling(t *testing.T) {
	dem := formulaDEM{stepDeg: 1.0 / 1200, height: tilted}
	a, b := orb.Point{11.1, 49.9}, orb.Point{11.5, 50.1}
	distM := Inverse(a, b).DistM // checked against PROJ elsewhere
	rows := []struct {
		name  string
		opt   ProfileOptions
		wantN int
	}{
		{"spacing that divides", ProfileOptions{SpacingM: distM / 100}, 101},
		{"spacing that nearly divides", ProfileOptions{SpacingM: distM / 100.5}, 102},
		{"spacing above the length", ProfileOptions{SpacingM: 2 * distM}, 2},
		// Both ends stand on posts: 0.4° are 480 columns further, 0.2° 240 rows.
		{"at the lines of posts", ProfileOptions{}, 2 + 479 + 239},
	}
	for _, r := range rows {
		p, err := NewProfile(dem, a, b, r.opt)
		if err != nil {
			t.Fatalf("%s: %v", r.name, err)
		}
		if err := p.Validate(); err != nil {
			t.Errorf("%s: %v", r.name, err)
		}
		if len(p.DistM) != r.wantN {
			t.Errorf("%s: %d points, want %d", r.name, len(p.DistM), r.wantN)
		}
		if p.Points[0] != a || p.Points[len(p.Points)-1] != b {
			t.Errorf("%s: ends %v and %v, want %v and %v", r.name, p.Points[0], p.Points[len(p.Points)-1], a, b)
		}
		if p.LengthM() != distM {
			t.Errorf("%s: %g m long, want %g m", r.name, p.LengthM(), distM)
		}
		if (p.AzimuthDeg != Inverse(a, b).AzimuthDeg) || (p.BackAzimuthDeg != Inverse(a, b).BackAzimuthDeg) {
			t.Errorf("%s: azimuths %g and %g", r.name, p.AzimuthDeg, p.BackAzimuthDeg)
		}
		for i, at := range p.Points {
			if want, _ := tilted(at); p.HeightM[i] != want || p.Flags[i] != Ground {
				t.Fatalf("%s: point %d is %g m, %v, want %g m", r.name, i, p.HeightM[i], p.Flags[i], want)
			}
		}
	}
}

func TestProfileRefusals(t *testing.T) {
	dem := formulaDEM{stepDeg: 1.0 / 3600, height: tilted}
	a, b := orb.Point{11.1, 49.9}, orb.Point{11.5, 50.1}
	nan := math.NaN()
	broken := errors.New("tile cannot be read")
	rows := []struct {
		name string
		dem  DEM
		a, b orb.Point
		opt  ProfileOptions
		want []string
	}{
		{"everything at once", nil, orb.Point{400, 49.9}, orb.Point{0, nan}, ProfileOptions{SpacingM: -1, FillVoidsM: nan},
			[]string{"no DEM", "first place", "400", "last place", "NaN", "spacing_m: found -1", "fill_voids_m: found NaN"}},
		{"infinite options", dem, a, b, ProfileOptions{SpacingM: math.Inf(1), FillVoidsM: math.Inf(1)}, []string{"spacing_m: found +Inf", "fill_voids_m: found +Inf"}},
		{"same place", dem, a, a, ProfileOptions{}, []string{"same place", "11.1"}},
		{"same place, one turn on", dem, a, orb.Point{a[0] - 360, a[1]}, ProfileOptions{}, []string{"same place"}},
		{"the pole twice", dem, orb.Point{0, 90}, orb.Point{77, 90}, ProfileOptions{}, []string{"same place"}},
		{"too many points", dem, a, b, ProfileOptions{SpacingM: 1e-3}, []string{"1048576", "larger spacing"}},
		{"far too many points", dem, a, b, ProfileOptions{SpacingM: 5e-324}, []string{"1048576"}},
		{"too many lines of posts", formulaDEM{stepDeg: 1e-7, height: tilted}, a, b, ProfileOptions{}, []string{"1048576", "choose a spacing"}},
		{"far too many lines of posts", formulaDEM{stepDeg: 5e-324, height: tilted}, a, b, ProfileOptions{}, []string{"1048576"}},
		{"no posts", formulaDEM{height: tilted}, a, b, ProfileOptions{}, []string{"posts every 0°"}},
		{"posts at NaN", formulaDEM{stepDeg: nan, height: tilted}, a, b, ProfileOptions{}, []string{"posts every NaN°"}},
		{"broken DEM", formulaDEM{stepDeg: 1, height: tilted, err: broken}, a, b, ProfileOptions{}, []string{"tile cannot be read", "11.1"}},
		{"NaN as ground", formulaDEM{stepDeg: 1, height: func(orb.Point) (float64, Flag) { return nan, Ground }}, a, b, ProfileOptions{},
			[]string{"NaN m as a known height"}},
	}
	for _, r := range rows {
		p, err := NewProfile(r.dem, r.a, r.b, r.opt)
		if err == nil {
			t.Errorf("%s: accepted", r.name)
			continue
		}
		for _, w := range r.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not tell %q", r.name, err, w)
			}
		}
		if p.DistM != nil {
			t.Errorf("%s: a profile beside the error", r.name)
		}
	}
	if _, err := NewProfile(formulaDEM{stepDeg: 1, height: tilted, err: broken}, a, b, ProfileOptions{}); !errors.Is(err,
		broken) {
		t.Errorf("%v does not wrap the error of the DEM", err)
	}
}

// What a DEM writes beside a flag that is not Known never gets into a profile.
func TestProfileUnknownHeightsAreZero(t *testing.T) {
	dem := formulaDEM{stepDeg: 0.01, height: func(p orb.Point) (float64, Flag) {
		if p[0] > 11.3 {
			return math.NaN(), Outside
		}
		return -32768, Void
	}}
	p, err := NewProfile(dem, orb.Point{11.1, 49.9}, orb.Point{11.5, 50.1}, ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range p.HeightM {
		if h != 0 {
			t.Fatalf("point %d is %g m, want 0", i, h)
		}
	}
}

// Sampling the path backwards gives the same places.
func TestProfileReversed(t *testing.T) {
	flat := func(orb.Point) (float64, Flag) { return 0, Ground }
	dem := formulaDEM{stepDeg: 1.0 / 3600, height: flat}
	rapid.Check(t, func(t *rapid.T) {
		a := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-85, 85).Draw(t, "lat")}
		b := Destination(a, rapid.Float64Range(0, 360).Draw(t, "azimuth"), rapid.Float64Range(10, 80e3).Draw(t, "distance"))
		opt := ProfileOptions{SpacingM: rapid.Float64Range(30, 5000).Draw(t, "spacing")}
		if rapid.Bool().Draw(t, "at the posts") {
			opt.SpacingM = 0
		}
		there, err := NewProfile(dem, a, b, opt)
		if err != nil {
			t.Fatal(err)
		}
		back, err := NewProfile(dem, b, a, opt)
		if err != nil {
			t.Fatal(err)
		}
		last := len(there.DistM) - 1
		if len(back.DistM) != last+1 {
			if off := len(back.DistM) - last - 1; opt.SpacingM == 0 && off*off == 1 && steepness(a, b) < 1e-5 {
				return // an end on a line of posts, along which the path runs
			}
			t.Fatalf("%d points there, %d back", last+1, len(back.DistM))
		}
		for i := range there.DistM {
			// Where the path runs nearly along a line of posts, it is nearly anywhere that it
			// meets it.
			tolM := oneMillimetre
			if opt.SpacingM == 0 && i > 0 {
				tolM += 2e-4 / steepness(there.Points[i-1], there.Points[i])
			}
			if d := chordM(there.Points[i], back.Points[last-i]); !(d <= tolM) {
				t.Fatalf("point %d of %d is off by %g m", i, last+1, d)
			}
		}
		if there.AzimuthDeg != back.BackAzimuthDeg && !(angleBetweenDeg(there.AzimuthDeg, back.BackAzimuthDeg) <= 1e-6) {
			t.Fatalf("azimuth %g there, %g back", there.AzimuthDeg, back.BackAzimuthDeg)
		}
	})
}

// steepness is the sine of the smaller angle at which the geodesic from a to b meets
// lines of longitude and latitude.
func steepness(a, b orb.Point) float64 {
	sin, cos := math.Sincos(Inverse(a, b).AzimuthDeg * math.Pi / 180)
	return min(math.Abs(sin), math.Abs(cos))
}
