package terrain

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/paulmach/orb"
)

// ofGround is a source of 61 x 61 posts with a corner, of ground that a function tells.
func ofGround(name string, westDeg, southDeg float64, heightM func(lon, lat float64) float64) Source {
	l := Lattice{WestDeg: westDeg, NorthDeg: southDeg + 0.6, StepLonDeg: 0.01, StepLatDeg: 0.01, Cols: 61, Rows: 61}
	return Source{Name: name, Lattice: l, Load: func() (*Grid, error) {
		g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
		for i := range g.HeightM {
			g.HeightM[i] = float32(heightM(westDeg+float64(i%61)/100, southDeg+0.6-float64(i/61)/100))
		}
		return g, nil
	}}
}

func TestSourcesThatDifferAreTold(t *testing.T) {
	hills := func(lon, lat float64) float64 { return 600 + 400*math.Sin(40*lon)*math.Cos(30*lat) }
	plus := func(m float64) func(lon, lat float64) float64 {
		return func(lon, lat float64) float64 { return hills(lon, lat) + m }
	}
	voids := func(lon, lat float64) float64 {
		if lon > 10.01 {
			return math.NaN()
		}
		return hills(lon, lat) + 300
	}
	for name, c := range map[string]struct {
		b    Source
		told bool
	}{
		"the same ground":                 {ofGround("b", 10.3, 50, hills), false},
		"a canopy of 30 m":                {ofGround("b", 10.3, 50, plus(30)), false},
		"feet for metres, say":            {ofGround("b", 10.3, 50, plus(900)), true},
		"below, inside the other":         {ofGround("b", 10, 50, plus(-250)), true},
		"an edge":                         {ofGround("b", 10.6, 50, plus(250)), true},
		"an edge that fits":               {ofGround("b", 10.6, 50, hills), false},
		"apart":                           {ofGround("b", 12, 50, plus(250)), false},
		"known together on one line only": {ofGround("b", 10, 50, voids), true},
		"one corner":                      {ofGround("b", 10.6, 50.6, plus(250)), true},
		"nothing known":                   {ofGround("b", 10, 50, func(_, _ float64) float64 { return math.NaN() }), false},
	} {
		var mu sync.Mutex
		var found []Difference
		tiles, err := NewTiles([]Source{ofGround("a", 10, 50, hills), c.b}, TilesOptions{Differ: func(d Difference) {
			mu.Lock()
			defer mu.Unlock()
			found = append(found, d)
		}})
		if err != nil {
			t.Fatal(err)
		}
		at := []orb.Point{{10.1, 50.1}, {c.b.Lattice.WestDeg + 0.59, c.b.Lattice.NorthDeg - 0.01}}
		if err := tiles.Heights(at, make([]float64, 2), make([]Flag, 2)); err != nil {
			t.Fatal(err)
		}
		if _, err := tiles.cache.get(1); err != nil { // also where the first answered everywhere
			t.Fatal(err)
		}
		if (len(found) == 1) != c.told || len(found) > 1 {
			t.Errorf("%s: %+v", name, found)
			continue
		}
		if !c.told {
			continue
		}
		d := found[0]
		want := math.Abs(c.b.mustHeight(t, d.At) - hills(d.At[0], d.At[1]))
		if fmt.Sprint(d.Names) != "[a b]" || math.Abs(d.MedianM-want) > 5 || math.Abs(d.HeightM[0]-hills(d.At[0], d.At[1])) > 5 {
			t.Errorf("%s: %+v, want %.0f m", name, d, want)
		}
	}
}

func (s Source) mustHeight(t *testing.T, at orb.Point) float64 {
	t.Helper()
	g, err := s.Load()
	if err != nil {
		t.Fatal(err)
	}
	h, _ := g.height(at)
	return h
}
