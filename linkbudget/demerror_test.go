package linkbudget

import (
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// The table of section 10 of the reference. Its sources were read as abstracts;
// the rows marked "from memory" were not.
func TestTerrainErrorFigures(t *testing.T) {
	want := []struct {
		product, source string
		sigmaM          float64
	}{
		{"SRTM", "Mukul", 9.73}, // published, LE90 16 m
		{"SRTM", "Aziz", 5.67},  // published
		{"SRTM", "Apeh", 7.47},  // published
		{"SRTM", "Rodriguez", 3.40},
		{"SRTM", "Rodriguez", 3.77},
		{"SRTM", "Rodriguez", 5.47},
		{"NASADEM", "Aziz", 3.66}, // published
		{"NASADEM", "Li", 6.59},   // published
		{"AW3D30", "Apeh", 5.40},  // published
		{"AW3D30", "Li", 6.63},    // published
		{"Copernicus GLO-30", "Li", 6.73},
		{"Copernicus GLO-30", "handbook", 2.43}, // from memory, LE90 4 m
		{"MERIT", "Aziz", 2.67},                 // published
		{"ASTER", "Apeh", 20.03},                // published
	}
	got := TerrainErrorFigures()
	if len(got) != len(want) {
		t.Fatalf("%d figures, want %d", len(got), len(want))
	}
	for i, w := range want {
		g := got[i]
		if g.Product != w.product || !strings.Contains(g.Source, w.source) || g.Area == "" {
			t.Errorf("figure %d: %+v, want %+v", i, g, w)
		}
		check.Near(t, g.Product+" "+g.Source, g.SigmaM, w.sigmaM, 0.005)
		if memory := strings.Contains(g.Source, "from memory"); memory != (w.source == "Rodriguez" ||
			w.source == "handbook") {
			t.Errorf("%s %s: marked from memory: %v", g.Product, g.Source, memory)
		}
	}
}

// Root mean squares by hand from the rows above.
func TestTerrainErrors(t *testing.T) {
	want := map[string]float64{"SRTM": 6.303, "NASADEM": 5.330, "AW3D30": 6.046, "Copernicus GLO-30": 5.060,
		"MERIT": 2.67, "ASTER": 20.03}
	all := TerrainErrors()
	if len(all) != len(want) {
		t.Errorf("%d products, want %d", len(all), len(want))
	}
	for _, e := range all {
		check.Near(t, e.Product, e.SigmaM, want[e.Product], 0.002)
		if e.Surface == (e.Product == "MERIT") || e.Source == "" {
			t.Errorf("%+v", e)
		}
	}
	// The default: all rows of the four common models together.
	var n, squares float64
	for _, f := range TerrainErrorFigures() {
		if f.Product != "MERIT" && f.Product != "ASTER" {
			n++
			squares += f.SigmaM * f.SigmaM
		}
	}
	check.Near(t, "unknown model", math.Sqrt(squares/n), UnknownTerrainErrorM, 0.1)
}

func TestTerrainErrorByName(t *testing.T) {
	e, err := TerrainErrorByName("copernicus glo-30")
	if err != nil || e.Product != "Copernicus GLO-30" {
		t.Errorf("%+v, %v", e, err)
	}
	for _, name := range []string{"", "lidar"} {
		e, err := TerrainErrorByName(name)
		if err == nil || !strings.Contains(err.Error(), "SRTM, NASADEM, AW3D30, Copernicus GLO-30, MERIT, ASTER; 6 m") {
			t.Errorf("%q: %v", name, err)
		}
		if e.SigmaM != UnknownTerrainErrorM || !e.Surface || e.Product != name {
			t.Errorf("%q: %+v", name, e)
		}
	}
}
