package terrain

import (
	"math"
	"os"
	"testing"

	"github.com/paulmach/orb"
)

// bruteSkyline is the skyline in one direction by the plainest means: the ground
// every 0.2 to 5 m along the exact geodesic, the angle from the centre of a sphere.
func bruteSkyline(tb testing.TB, dem DEM, at orb.Point, eyeM, azimuthDeg, maxM, k float64) float64 {
	tb.Helper()
	r := earthRadiusM / (1 - k)
	best := math.Inf(-1)
	var h [1]float64
	var f [1]Flag
	for s := 5.0; s <= maxM; s += max(0.2, min(5, s/2000)) {
		p := Destination(at, azimuthDeg, s)
		if err := dem.Heights([]orb.Point{p}, h[:], f[:]); err != nil {
			tb.Fatal(err)
		}
		if f[0].Known() {
			best = max(best, math.Atan2((r+h[0])*math.Cos(s/r)-(r+eyeM), (r+h[0])*math.Sin(s/r)))
		}
	}
	return best * 180 / math.Pi
}

// Steps, refinement, chords and early end against brute force, from a valley, a
// summit and a slope.
func TestHorizonAgainstBruteForce(t *testing.T) {
	dem := mustLoad(t, os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	worst := 0.0
	for _, at := range []orb.Point{{-84.38, 36.69917}, {-84.18, 36.69917}, {-84.2467, 36.5525}} {
		s := mustHorizon(t, dem, at, 10, HorizonOptions{StepDeg: 10, MaxM: 25e3})
		for i, d := range s.Directions {
			want := bruteSkyline(t, dem, at, s.EyeM, 10*float64(i), 25e3, kLight)
			worst = max(worst, math.Abs(d.ElevDeg-want))
			if !(math.Abs(d.ElevDeg-want) <= 0.01) {
				t.Errorf("%v towards %d°: %.4f°, by brute force %.4f°", at, 10*i, d.ElevDeg, want)
			}
		}
	}
	t.Logf("worst difference %.4f°", worst)
}

// Asking a bounded DEM for less must not change what is seen: the early end.
func TestHorizonHighestStatedChangesNothing(t *testing.T) {
	dem := mustLoad(t, os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	at := orb.Point{-84.3, 36.6}
	all := mustHorizon(t, dem, at, 10, HorizonOptions{})
	less := mustHorizon(t, dem, at, 10, HorizonOptions{HighestM: 1076}) // the highest post, see testdata/README.md
	for i := range all.Directions {
		a, b := all.Directions[i], less.Directions[i]
		if a.ElevDeg != b.ElevDeg || a.DistM != b.DistM {
			t.Errorf("direction %d: %+v and %+v", i, a, b)
		}
	}
	tiles := mustHorizon(t, tilesOf(t, dem), at, 10, HorizonOptions{})
	for i := range all.Directions {
		a, b := all.Directions[i], tiles.Directions[i]
		// Tiles go the plain way, a grid the fast one: rounding may differ.
		if !(math.Abs(a.ElevDeg-b.ElevDeg) <= 1e-6) || !(math.Abs(a.MostDeg-b.MostDeg) <= 1e-6) || a.Flag != b.Flag {
			t.Errorf("direction %d by tiles: %+v and %+v", i, a, b)
		}
	}
}

// A glance misses crests, and never finds what is not there.
func TestHorizonAtAGlance(t *testing.T) {
	dem := mustLoad(t, os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	for _, at := range []orb.Point{{-84.38, 36.69917}, {-84.18, 36.69917}, {-84.2467, 36.5525}} {
		exact, rough := mustHorizon(t, dem, at, 10, HorizonOptions{StepDeg: 3}), mustHorizon(t, dem, at, 10, HorizonOptions{
			StepDeg: 3, Rough: 4})
		sum := 0.0
		for i, d := range rough.Directions {
			e := exact.Directions[i]
			if !(d.ElevDeg <= e.ElevDeg+0.01) || !(d.DistM > 0) {
				t.Errorf("%v, direction %d: %+v at a glance, %+v", at, i, d, e)
			}
			sum += e.ElevDeg - d.ElevDeg
		}
		mean := sum / float64(len(rough.Directions))
		t.Logf("%v: %.3f° lower on average", at, mean)
		if !(mean < 0.5) {
			t.Errorf("%v: %.3f° lower on average", at, mean)
		}
	}
}
