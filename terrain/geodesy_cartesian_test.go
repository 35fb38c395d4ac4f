package terrain_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/terrain"
)

func chordM(a, b orb.Point) float64 {
	x, y := terrain.Cartesian(a), terrain.Cartesian(b)
	return math.Sqrt((x[0]-y[0])*(x[0]-y[0]) + (x[1]-y[1])*(x[1]-y[1]) + (x[2]-y[2])*(x[2]-y[2]))
}

func TestCartesianOnTheAxes(t *testing.T) {
	// Semi-axes of WGS 84, NGA.STND.0036 (2014) tables 3.1 and 3.3: 6378137 m and 6356752.3142 m.
	for _, c := range []struct {
		at   orb.Point
		want [3]float64
	}{
		{orb.Point{0, 0}, [3]float64{6378137, 0, 0}},
		{orb.Point{90, 0}, [3]float64{0, 6378137, 0}},
		{orb.Point{-180, 0}, [3]float64{-6378137, 0, 0}},
		{orb.Point{12, 90}, [3]float64{0, 0, 6356752.3142}},
		{orb.Point{12, -90}, [3]float64{0, 0, -6356752.3142}},
	} {
		got := terrain.Cartesian(c.at)
		for i := range got {
			if !(math.Abs(got[i]-c.want[i]) <= 1e-4) { // the last printed digit
				t.Errorf("Cartesian(%v) = %.4f, want %.4f", c.at, got, c.want)
			}
		}
	}
}

// The chord and MaxArcM bound the geodesic, which is Karney's.
func TestChordBoundsTheGeodesic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t, "lat")}
		far := math.Pow(10, rapid.Float64Range(-1, 7.25).Draw(t, "log distance"))
		b := terrain.Destination(a, rapid.Float64Range(0, 360).Draw(t, "azimuth"), far)
		distM, chord := terrain.Inverse(a, b).DistM, chordM(a, b)
		// 1e-7 m: rounding of coordinates of 6e6 m, and of degrees.
		if low, high := chord-1e-7, terrain.MaxArcM(chord)*(1+1e-12)+1e-7; !(distM >= low && distM <= high) {
			t.Fatalf("from %v %g m to %v: geodesic %.9f m, want %.9f to %.9f", a, far, b, distM, low, high)
		}
		// On the paths this is made for, the bounds are close: 1 m at 100 km.
		if far <= 100e3 && !(terrain.MaxArcM(chord)-chord <= 1.1) {
			t.Fatalf("chord %g m, arc up to %g m", chord, terrain.MaxArcM(chord))
		}
	})
}
