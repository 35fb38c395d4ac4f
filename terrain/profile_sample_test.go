package terrain

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// One profile sampled again and again is the same as a new one each time.
func TestSampleAgain(t *testing.T) {
	g := filledGrid(Lattice{WestDeg: 11, NorthDeg: 51, StepLonDeg: 0.01, StepLatDeg: 0.01, Cols: 101, Rows: 101}, rough)
	g.HeightM[50*101+50] = VoidHeight()
	rapid.Check(t, func(t *rapid.T) {
		place := func() orb.Point {
			return orb.Point{rapid.Float64Range(10.9, 12.1).Draw(t, "lon"), rapid.Float64Range(49.9, 51.1).Draw(t, "lat")}
		}
		var again Profile
		for range 3 {
			a, b := place(), place()
			opt := ProfileOptions{SpacingM: rapid.SampledFrom([]float64{0, 100, 3000}).Draw(t, "spacing"),
				FillVoidsM: rapid.Float64Range(0, 5000).Draw(t, "fill")}
			fresh, err := NewProfile(g, a, b, opt)
			if errAgain := again.Sample(g, a, b, opt); (err == nil) != (errAgain == nil) {
				t.Fatalf("%v, sampled again %v", err, errAgain)
			}
			if diff := cmp.Diff(fresh, again); err == nil && diff != "" {
				t.Fatal(diff)
			}
			again.TopM = again.HeightM // of no other path
		}
	})
}

// Profiles that fit into the memory of the first take none of their own.
func TestSampleAllocations(t *testing.T) {
	g := arcSecondGrid(11.5, 0.5)
	var p Profile
	sample := func(spacingM float64) {
		if err := p.Sample(g, benchFrom, benchTo, ProfileOptions{SpacingM: spacingM}); err != nil {
			t.Fatal(err)
		}
	}
	sample(10)
	if got := testing.AllocsPerRun(20, func() { sample(100); sample(0); sample(20) }); got != 0 {
		t.Errorf("%g allocations", got)
	}
}

func TestSampleAfterAnErrorIsEmpty(t *testing.T) {
	p := Profile{DistM: []float64{0, 1}, HeightM: []float64{1, 2}}
	if err := p.Sample(smallGrid(), orb.Point{0, 1}, orb.Point{0, 1}, ProfileOptions{}); err == nil {
		t.Fatal("a path without length is accepted")
	}
	if diff := cmp.Diff(Profile{}, p); diff != "" {
		t.Error(diff)
	}
}

// Between four posts the quick way gives what the definition of bilinear
// interpolation gives, written with weights.
func TestGridBetweenPosts(t *testing.T) {
	g := filledGrid(Lattice{WestDeg: 5, NorthDeg: 46, StepLonDeg: 0.25, StepLatDeg: 0.5, Cols: 9, Rows: 7}, rough)
	rapid.Check(t, func(t *rapid.T) {
		col, row := rapid.IntRange(0, 7).Draw(t, "col"), rapid.IntRange(0, 5).Draw(t, "row")
		u, v := rapid.Float64Range(0, 1).Draw(t, "u"), rapid.Float64Range(0, 1).Draw(t, "v")
		var h [1]float64
		var f [1]Flag
		if err := g.Heights([]orb.Point{{5 + 0.25*(float64(col)+u), 46 - 0.5*(float64(row)+v)}}, h[:], f[:]); err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, c := range [4]struct {
			col, row int
			weight   float64
		}{{0, 0, (1 - u) * (1 - v)}, {1, 0, u * (1 - v)}, {0, 1, (1 - u) * v}, {1, 1, u * v}} {
			want += c.weight * float64(g.HeightM[(row+c.row)*9+col+c.col])
		}
		// snapStep moves a height by 1e-7 of the difference between two posts.
		if f[0] != Ground || !(math.Abs(h[0]-want) <= 1e-3) {
			t.Fatalf("%g m, %v; want %g m", h[0], f[0], want)
		}
	})
}
