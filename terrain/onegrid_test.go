package terrain

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// plainDEM hides that a DEM can name a sole grid: every profile over it goes the
// general way.
type plainDEM struct{ DEM }

// hilly is a lattice of posts with waves on it, west and north edge as given.
func hilly(westDeg, northDeg float64) *Grid {
	const n = 181
	g := &Grid{Lattice: Lattice{WestDeg: westDeg, NorthDeg: northDeg, StepLonDeg: 0.001, StepLatDeg: 0.001, Cols: n,
		Rows: n}, HeightM: make([]float32, n*n)}
	for i := range g.HeightM {
		at := g.Post(i%n, i/n)
		g.HeightM[i] = float32(300 + 90*math.Sin(at[0]*70)*math.Cos(at[1]*90) + 7*math.Sin(at[0]*900))
	}
	return g
}

// A profile that takes its heights from one grid is that of the general way but for
// rounding, and for places within 1e-7 of a step off a post, which the general way
// snaps: inside, over edges, between tiles, over voids, on posts, round the earth.
func TestProfileOverOneGrid(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of profiles")
	}
	west, east := hilly(179.8, 50), hilly(179.98, 50)
	for i := range 40 {
		east.HeightM[90*181+60+i] = VoidHeight()
	}
	tiles, err := NewTiles([]Source{
		{Name: "west", Lattice: west.Lattice, Load: func() (*Grid, error) { return west, nil }},
		{Name: "east", Lattice: east.Lattice, Load: func() (*Grid, error) { return east, nil }},
	}, TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, dem := range []DEM{west, east, tiles, Stack(west, east), Stack(plainDEM{west}, east)} {
		rng := rand.New(rand.NewPCG(5, 9))
		at := func() orb.Point {
			p := orb.Point{179.79 + 0.38*rng.Float64(), 49.81 + 0.2*rng.Float64()}
			if rng.IntN(5) == 0 {
				p = west.Post(int(1e3*(p[0]-179.8)), int(1e3*(50-p[1])))
			}
			if rng.IntN(2) == 0 && p[0] > 180 {
				p[0] -= 360
			}
			return p
		}
		whole, gaps := 0, 0
		for range 3000 {
			a, b := at(), at()
			opt := ProfileOptions{FillVoidsM: []float64{0, 5000}[rng.IntN(2)]}
			got, err := NewProfile(dem, a, b, opt)
			want, wantErr := NewProfile(plainDEM{dem}, a, b, opt)
			if (err == nil) != (wantErr == nil) || !slices.Equal(got.Flags, want.Flags) {
				t.Fatalf("%v to %v, %+v: %v, %v; in general %v, %v", a, b, opt, got, err, want, wantErr)
			}
			for i, f := range want.Flags {
				// Two posts differ by less than 100 m. A top is flat: where it is may be off by
				// more than how high it is.
				tolM := 1e-5
				if !onALine(west.Lattice, want.Points[i]) {
					tolM = 0.1
				}
				off := got.DistM[i] - want.DistM[i]
				if !(math.Abs(off) <= tolM) || !(math.Abs(chordM(got.Points[i], want.Points[i])-math.Abs(off)) <= 1e-5) ||
					!(math.Abs(got.HeightM[i]-want.HeightM[i]) <= 2e-5) {
					t.Fatalf("%v to %v, %+v, point %d, %v: %.9f m, %.9f m high, in general %.9f m, %.9f m high", a, b, opt, i, f,
						got.DistM[i], got.HeightM[i], want.DistM[i], want.HeightM[i])
				}
			}
			if err == nil && got.Unknown() == nil {
				whole++
			} else {
				gaps++
			}
		}
		if whole == 0 || gaps == 0 {
			t.Errorf("%d whole profiles and %d others: both must be drawn", whole, gaps)
		}
	}
}

// A grid at fault is an error here too, not a panic.
func TestProfileOverBadGrid(t *testing.T) {
	g := hilly(10, 50)
	g.HeightM = g.HeightM[:1000]
	if _, err := NewProfile(g, orb.Point{10.05, 49.9}, orb.Point{10.1, 49.95}, ProfileOptions{}); err == nil {
		t.Error("no error for a grid without all its heights")
	}
}
