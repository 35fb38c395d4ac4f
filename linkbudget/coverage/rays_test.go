package coverage

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Places on rays against the geodesics they stand for, Karney's by
// [terrain.Destination]. Wanted is a small part of a post of 1", 31 m. Where the
// meridians crowd together and 300 km span tens of degrees of longitude, the
// polynomials miss by metres: the last rows tell how far, rounded up from what
// was found.
func TestRaysAreGeodesics(t *testing.T) {
	for _, c := range []struct {
		lonDeg, latDeg float64
		radiusKm       float64
		withinM        float64
	}{
		{-84.24, 36.55, 1, 0.001},
		{-84.24, 36.55, 30, 0.001},
		{-84.24, 36.55, 300, 0.01},
		{12, 0, 300, 0.01},
		{12, 0.3, 100, 0.01},
		{12, -48, 300, 0.01},
		{12, 60, 300, 0.01},
		{180, 0.3, 300, 0.01}, // from here on, the antimeridian
		{179.9, 60, 100, 0.01},
		{179.9, 60, 300, 0.01},
		{-179.99, 60, 300, 0.01},
		{-179.99, -36, 2, 0.001},
		{12, 75, 100, 0.01},
		{12, -75, 300, 0.5},
		{12, 80, 100, 0.01},
		{179, 83, 100, 0.05},
		{12, 83, 30, 0.001},
		{12, 80, 300, 5},
		{12, 83, 300, 40},
	} {
		t.Run(fmt.Sprintf("%g,%g %g km", c.lonDeg, c.latDeg, c.radiusKm), func(t *testing.T) {
			got := raysMiss(t, orb.Point{c.lonDeg, c.latDeg}, c.radiusKm*1000)
			t.Logf("at most %.6f m", got)
			if !(got <= c.withinM) {
				t.Errorf("a ray leaves its geodesic by %.4f m, want at most %g m", got, c.withinM)
			}
		})
	}
}

// raysMiss returns the largest distance between a place of a ray and that of the
// geodesic with its azimuth and length, m, over rays of all quadrants.
func raysMiss(t *testing.T, at orb.Point, radiusM float64) (mostM float64) {
	t.Helper()
	step := radiusM / 500 / metresPerDegree
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{at[0] - 60, -90}, Max: orb.Point{at[0] + 60, 90}},
		StepLonDeg: step, StepLatDeg: step}
	w, err := newWindow(at, e, Options{RadiusM: radiusM, MemoryBytes: 1 << 40}) // laid out only
	if err != nil {
		t.Fatal(err)
	}
	f := newBundle(w, at)
	places, farthestM := 0, 0.0
	for number, q := range quadrants {
		for i := -20; i <= 20; i++ {
			ray := f.curve(number, f.half(q)*(float64(i)/20+0.001))
			for j := 1; j <= 97; j++ {
				along := ray.start + ray.perS*float64(j)/97
				cross, distM := ray.at(ray.along(along))
				if distM > radiusM {
					break
				}
				col, row := along, cross
				if q.alongRows {
					col, row = cross, along
				}
				p := orb.Point{math.Remainder(w.WestDeg+col*w.StepLonDeg, 360), w.NorthDeg - row*w.StepLatDeg}
				mostM = max(mostM, terrain.Inverse(p, terrain.Destination(at, ray.azimuthDeg, distM)).DistM)
				places, farthestM = places+1, max(farthestM, distM)
			}
		}
	}
	if places < 5000 || farthestM < 0.95*radiusM {
		t.Errorf("%d places up to %.0f m looked at, want more", places, farthestM)
	}
	return mostM
}

// The turn of the azimuth that a ray carries, for the antennas, is that of the
// geodesic at its far end.
func TestRayTurnsAsTheGeodesic(t *testing.T) {
	at := orb.Point{12, 60}
	e := terrain.Extent{Bound: orb.Bound{Min: orb.Point{0, 40}, Max: orb.Point{24, 80}}, StepLonDeg: 0.01,
		StepLatDeg: 0.01}
	w, err := newWindow(at, e, Options{RadiusM: 100e3, MemoryBytes: 1 << 40})
	if err != nil {
		t.Fatal(err)
	}
	f := newBundle(w, at)
	for number, q := range quadrants {
		for _, k := range []float64{-f.half(q), 0, f.half(q) / 3} {
			ray := f.curve(number, k)
			cross, distM := ray.at(1)
			col, row := ray.start+ray.perS, cross
			if q.alongRows {
				col, row = cross, col
			}
			p := orb.Point{w.WestDeg + col*w.StepLonDeg, w.NorthDeg - row*w.StepLatDeg}
			g := terrain.Inverse(at, p)
			turn := math.Remainder(g.BackAzimuthDeg+180-g.AzimuthDeg, 360)
			if !(math.Abs(ray.convergeDeg-turn) < 1e-6) || !(math.Abs(g.DistM-distM) < 0.01) {
				t.Errorf("%+v, ray %g: turns by %.7f degrees over %.3f m, the geodesic by %.7f over %.3f", q, k, ray.convergeDeg,
					distM, turn, g.DistM)
			}
		}
	}
}
