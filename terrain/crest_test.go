package terrain

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// ridges is a grid of posts 3" apart with ridges one post wide, 50 to 250 m high and
// some kilometres long, over rolling ground: alongPosts makes each run along a column
// or a row, else in any direction, rounded to the nearest post.
func ridges(rng *rand.Rand, alongPosts bool) *Grid {
	const n = 361
	g := filledGrid(Lattice{WestDeg: 11, NorthDeg: 50, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200, Cols: n, Rows: n},
		func(lon, lat float64) float64 { return 300 + 20*math.Sin(90*lon)*math.Cos(70*lat) })
	for range 60 {
		sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
		if alongPosts {
			sin = float64(rng.IntN(2))
			cos = 1 - sin
		}
		x, y, crestM := n*rng.Float64(), n*rng.Float64(), 50+200*rng.Float64()
		for range 30 + rng.IntN(80) {
			col, row := int(math.Round(x)), int(math.Round(y))
			if col >= 0 && row >= 0 && col < n && row < n {
				g.HeightM[row*n+col] = float32(300 + crestM)
			}
			x, y = x+sin, y+cos
		}
	}
	return g
}

// highest returns the greatest height of the profile of a path, m.
func highest(t *testing.T, dem DEM, a, b orb.Point, spacingM float64) float64 {
	t.Helper()
	p, err := NewProfile(dem, a, b, ProfileOptions{SpacingM: spacingM})
	if err != nil || p.Unknown() != nil {
		t.Fatal(err, p.Unknown())
	}
	h := p.HeightM[0]
	for _, z := range p.HeightM {
		h = max(h, z)
	}
	return h
}

// missedCrests returns how much lower the highest point of the profile is than that of
// one with a point every metre, along a thousand paths: the worst, and how many are
// more than 1 cm lower.
func missedCrests(t *testing.T, alongPosts bool) (worstM float64, many int) {
	t.Helper()
	rng := rand.New(rand.NewPCG(12, 7))
	g := ridges(rng, alongPosts)
	at := func() orb.Point { return orb.Point{11.002 + 0.296*rng.Float64(), 49.702 + 0.296*rng.Float64()} }
	for range 1000 {
		a, b := at(), at()
		d := highest(t, g, a, b, 1) - highest(t, g, a, b, 0)
		if worstM = max(worstM, d); d > 0.01 {
			many++
		}
	}
	return worstM, many
}

// A crest along the lines of posts is met where the path crosses it, but for its ends; one
// across cells bulges between two crossings by at most a quarter of the cell's twist, the
// difference of the sums of its opposite corners: here up to 250 m + 250 m, as both posts of
// a diagonal may stand on it and no other.
func TestCrestsAreMet(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of profiles")
	}
	for _, along := range []bool{true, false} {
		worstM, many := missedCrests(t, along)
		t.Logf("crests along posts %t: %d of 1000 paths are more than 1 cm too low, the worst by %.1f m", along, many, worstM)
		if !(worstM <= 500.0/4) || along && many > 10 {
			t.Errorf("along posts %t: %d paths miss a crest, the worst by %g m", along, many, worstM)
		}
	}
}

// Posts that stand on no lattice are met at equal steps of half a post, and so are
// lattices out of step with each other; lattices in step are one.
func TestProfileOverIrregularPosts(t *testing.T) {
	grid := func(westDeg, stepDeg float64, n int) *Grid {
		return filledGrid(Lattice{WestDeg: westDeg, NorthDeg: 50, StepLonDeg: stepDeg, StepLatDeg: stepDeg, Cols: n,
			Rows: n}, rough)
	}
	a, b := orb.Point{10.953, 49.987}, orb.Point{11.157, 49.893} // not within the first
	for _, r := range []struct {
		name      string
		dem       DEM
		irregular bool
	}{
		{"one", plainDEM{grid(11, 0.01, 21)}, false},
		{"three times as fine", Stack(plainDEM{grid(11.05, 0.01/3, 31)}, grid(11, 0.01, 21)), false},
		{"side by side over the date line", Stack(plainDEM{grid(-180, 0.01, 21)}, grid(179, 0.01, 101)), false},
		{"half a step beside", Stack(plainDEM{grid(11.005, 0.01, 21)}, grid(11, 0.01, 21)), true},
		{"two and three", Stack(plainDEM{grid(11, 0.002, 101)}, grid(11, 0.003, 68)), true},
		{"one more beside those", Stack(plainDEM{grid(11, 0.001, 201)}, Stack(grid(11, 0.002, 101), grid(11, 0.003, 68))), true},
	} {
		e := r.dem.Extent()
		if e.Irregular != r.irregular {
			t.Errorf("%s: irregular %t", r.name, e.Irregular)
		}
		p, err := NewProfile(r.dem, a, b, ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		lonM, _ := DegreeSizesM(49.987)
		if even := p.DistM[1]; r.irregular != (math.Abs(p.DistM[2]-2*even) < 1e-6) || r.irregular &&
			!(even <= lonM*e.StepLonDeg/2) {
			t.Errorf("%s: points at %.2f, %.2f m; half a post is %.2f m", r.name, even, p.DistM[2], lonM*e.StepLonDeg/2)
		}
	}
}

// Within the first of a stack its posts decide, whatever lies beneath; beyond it all do.
func TestFirstOfAStackDecides(t *testing.T) {
	grid := func(westDeg, stepDeg float64, n int) plainDEM {
		return plainDEM{filledGrid(Lattice{WestDeg: westDeg, NorthDeg: 50, StepLonDeg: stepDeg, StepLatDeg: stepDeg, Cols: n,
			Rows: n}, rough)}
	}
	first := grid(11, 0.01, 31)
	both := Stack(first, grid(10.9955, 0.007, 61))
	a, b := orb.Point{11.013, 49.987}, orb.Point{11.257, 49.793}
	want, err := NewProfile(first, a, b, ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := NewProfile(both, a, b, ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got.DistM, want.DistM) || !slices.Equal(got.HeightM, want.HeightM) {
		t.Errorf("%d points, of the first alone %d", len(got.DistM), len(want.DistM))
	}
	if got, err = NewProfile(both, a, orb.Point{11.35, 49.9}, ProfileOptions{}); err != nil ||
		math.Abs(got.DistM[2]-2*got.DistM[1]) > 1e-6 {
		t.Errorf("%v: beyond the first of lattices out of step points at %v m, want equal steps", err, got.DistM[:3])
	}
}

// From b to a the points are those from a to b.
func TestCrestsReversed(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	g := ridges(rng, false)
	at := func() orb.Point { return orb.Point{11.002 + 0.296*rng.Float64(), 49.702 + 0.296*rng.Float64()} }
	for range 300 {
		a, b := at(), at()
		there, err := NewProfile(g, a, b, ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		back, err := NewProfile(g, b, a, ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		last := len(there.DistM) - 1
		if len(back.DistM) != last+1 {
			t.Fatalf("%v to %v: %d points there, %d back", a, b, last+1, len(back.DistM))
		}
		for i := 1; i < last; i++ {
			tolM := oneMillimetre + 2e-4/steepness(there.Points[i-1], there.Points[i])
			if d := chordM(there.Points[i], back.Points[last-i]); !(d <= tolM) ||
				!(math.Abs(there.HeightM[i]-back.HeightM[last-i]) <= 5*d+1e-6) {
				t.Fatalf("%v to %v: point %d of %d is %g m off, %g m high, back %g m", a, b, i, last+1, d, there.HeightM[i],
					back.HeightM[last-i])
			}
		}
	}
}
