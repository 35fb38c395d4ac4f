package terrain

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// A path over a pole of the earth is one like others, from whichever meridian it comes: up
// the one and down the opposite one, and the way back sees the same ground.
func TestProfileOverThePole(t *testing.T) {
	for _, side := range []float64{1, -1} {
		polar := Lattice{WestDeg: -180, NorthDeg: 90, StepLonDeg: 0.5, StepLatDeg: 0.05, Cols: 720, Rows: 41}
		if side < 0 {
			polar.NorthDeg = -88
		}
		g := filledGrid(polar, rough)
		for _, lonDeg := range []float64{180, -180, 179.5, -179.5, 0, 90, -90, 135.5, 0.25} {
			a, b := orb.Point{lonDeg, side * 89.9}, orb.Point{math.Remainder(lonDeg+180, 360), side * 89.9}
			there, err := NewProfile(g, a, b, ProfileOptions{})
			if err != nil {
				t.Errorf("from %v to %v: %v", a, b, err)
				continue
			}
			back, err := NewProfile(g, b, a, ProfileOptions{})
			if err != nil {
				t.Errorf("from %v to %v: %v", b, a, err)
				continue
			}
			if len(there.Unknown()) > 0 || len(there.DistM) < 5 {
				t.Errorf("from %v: %d points, gaps %v", a, len(there.DistM), there.Unknown())
			}
			for i, p := range there.Points {
				// Of 0.1 degrees of the meridian at a pole, 11169 m.
				up := 90 - math.Abs(there.DistM[i]-there.LengthM()/2)/there.LengthM()*0.2
				want := lonDeg
				if there.DistM[i] > there.LengthM()/2 {
					want += 180
				}
				off := math.Abs(math.Remainder(p[0]-want, 360))
				if math.Abs(p[0]) > 180 || up < 89.99999 && off > 1e-6 || math.Abs(math.Abs(p[1])-up) > 1e-6 {
					t.Errorf("from %v: point %d of %d at %v, want longitude %g, latitude %g", a, i, len(there.Points), p,
						want, side*up)
				}
			}
			if n := len(back.DistM); n != len(there.DistM) {
				t.Errorf("from %v: %d points, %d back", a, len(there.DistM), n)
				continue
			}
			for i, h := range there.HeightM {
				if hBack := back.HeightM[len(back.HeightM)-1-i]; math.Abs(h-hBack) > 1e-3 && 90-math.Abs(there.Points[i][1]) > 1e-6 {
					t.Errorf("from %v: %g m at %v, %g m on the way back", a, h, there.Points[i], hBack)
				}
			}
		}
	}
}
