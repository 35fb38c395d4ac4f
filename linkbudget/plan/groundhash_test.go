package plan

import (
	"testing"

	"github.com/polereach/polereach/terrain"
)

// Ground that differs by a centimetre under a pole that is looked at has another hash, and so has what stands
// there; less than half a millimetre has not, nor ground under a pole beyond those looked at.
func TestGroundHash(t *testing.T) {
	p := mustRead(t, collection(point("Ash", ""), point("Birch", "")))
	p.Stations[0].At, p.Stations[1].At = [2]float64{10.1, 49.9}, [2]float64{10.3, 49.9}
	hash := func(most int, change func(*terrain.Grid), cover terrain.Cover) string {
		g := &terrain.Grid{HeightM: make([]float32, 25), Lattice: terrain.Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 0.1,
			StepLatDeg: 0.1, Cols: 5, Rows: 5}}
		change(g)
		var dem terrain.DEM = g
		if cover != nil {
			dem = terrain.WithCover(g, cover)
		}
		h, err := p.GroundHash(dem, most)
		if err != nil || len(h) != 64 {
			t.Fatal(h, err)
		}
		return h
	}
	under := func(col int, m float32) func(*terrain.Grid) { return func(g *terrain.Grid) { g.HeightM[5+col] = m } }
	first := hash(2, under(0, 0), nil)
	for name, c := range map[string]struct {
		hash string
		same bool
	}{
		"another place": {hash(2, under(0, 9), nil), true}, "a tenth of a millimetre": {hash(2, under(1, 0.0001), nil), true},
		"a centimetre": {hash(2, under(1, 0.01), nil), false}, "the other pole": {hash(2, under(3, 0.01), nil), false},
		"void": {hash(2, under(1, terrain.VoidHeight()), nil), false}, "fewer poles": {hash(1, under(0, 0), nil), false},
		"a wood": {hash(2, under(0, 0), everywhere{Class: terrain.CoverWood}), false},
	} {
		if (c.hash == first) != c.same {
			t.Errorf("%s: the same hash: %t", name, !c.same)
		}
	}
	if hash(1, under(3, 9), nil) != hash(1, under(3, 0), nil) {
		t.Error("a pole that is not looked at changes the hash")
	}
}
