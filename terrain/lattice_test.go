package terrain

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
)

func TestLatticeExtent(t *testing.T) {
	// By hand: 5 columns of 0.5° from 10° E end at 12° E, 3 rows of 0.25° from
	// 50° N end at 49.5° N.
	l := Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.5, StepLatDeg: 0.25, Cols: 5, Rows: 3}
	want := Extent{
		Bound:      orb.Bound{Min: orb.Point{10, 49.5}, Max: orb.Point{12, 50}},
		StepLonDeg: 0.5, StepLatDeg: 0.25,
	}
	if diff := cmp.Diff(want, l.Extent()); diff != "" {
		t.Errorf("extent (-want +got):\n%s", diff)
	}
	for _, tc := range []struct {
		col, row int
		want     orb.Point
	}{
		{0, 0, orb.Point{10, 50}},
		{4, 2, orb.Point{12, 49.5}},
		{1, 2, orb.Point{10.5, 49.5}},
	} {
		if got := l.Post(tc.col, tc.row); got != tc.want {
			t.Errorf("post (%d,%d) at %v, want %v", tc.col, tc.row, got, tc.want)
		}
	}
	one := Lattice{WestDeg: -7, NorthDeg: 3, StepLonDeg: 1, StepLatDeg: 1, Cols: 1, Rows: 1}
	if b := one.Extent().Bound; b.Min != b.Max || b.Min != (orb.Point{-7, 3}) {
		t.Errorf("extent of a single post is %v", b)
	}
}

func TestLatticeCheck(t *testing.T) {
	good := Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.5, StepLatDeg: 0.25, Cols: 5, Rows: 3}
	nan, inf := math.NaN(), math.Inf(1)
	for _, tc := range []struct {
		name   string
		change func(*Lattice)
		want   []string // all of them in one error; none for a good lattice
	}{
		{"as it is", func(*Lattice) {}, nil},
		{"whole earth", func(l *Lattice) { *l = Lattice{-180, 90, 1, 1, 361, 181} }, nil},
		{"east of the date line", func(l *Lattice) { l.WestDeg = 179 }, nil},
		{"west NaN", func(l *Lattice) { l.WestDeg = nan }, []string{"west edge"}},
		{"west too far", func(l *Lattice) { l.WestDeg = 361 }, []string{"west edge", "361"}},
		{"north infinite", func(l *Lattice) { l.NorthDeg = inf }, []string{"north edge"}},
		{"beyond the north pole", func(l *Lattice) { l.NorthDeg = 90.5 }, []string{"latitudes", "90.5"}},
		{"beyond the south pole", func(l *Lattice) { l.NorthDeg = -89.75 }, []string{"latitudes", "-90.25"}},
		{"too wide", func(l *Lattice) { l.Cols = 722 }, []string{"360.5° wide"}},
		{"huge step", func(l *Lattice) { l.StepLonDeg, l.StepLatDeg = 1e308, 1e308 }, []string{"latitudes", "wide"}},
		{"steps", func(l *Lattice) { l.StepLonDeg, l.StepLatDeg = 0, nan }, []string{"longitude step", "latitude step"}},
		{"step infinite", func(l *Lattice) { l.StepLonDeg = inf }, []string{"longitude step"}},
		{"no posts", func(l *Lattice) { l.Rows = 0 }, []string{"5 columns by 0 rows"}},
		{"too many posts", func(l *Lattice) { l.Cols, l.Rows = math.MaxInt/2, 3 }, []string{"more posts than"}},
		{"all at once", func(l *Lattice) { *l = Lattice{nan, nan, -1, -1, 0, 0} },
			[]string{"west edge", "north edge", "longitude step", "latitude step", "0 columns"}},
	} {
		l := good
		tc.change(&l)
		err := l.Check()
		if (err != nil) != (tc.want != nil) {
			t.Errorf("%s: error %v", tc.name, err)
			continue
		}
		for _, word := range tc.want {
			if !strings.Contains(err.Error(), word) {
				t.Errorf("%s: error %q does not mention %q", tc.name, err, word)
			}
		}
	}
}
