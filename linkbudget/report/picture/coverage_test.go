package picture

import (
	"bytes"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// disc is an area of so many cells each way about a place, all of it reached within the radius.
func disc(at orb.Point, radiusM float64, cells int) *coverage.Raster {
	lonM, latM := terrain.DegreeSizesM(at.Lat())
	r := &coverage.Raster{At: at, RadiusM: radiusM, WantPercent: 90}
	r.StepLonDeg, r.StepLatDeg = 2.1*radiusM/lonM/float64(cells), 2.1*radiusM/latM/float64(cells)
	r.Cols, r.Rows = cells+1, cells+1
	r.WestDeg, r.NorthDeg = at.Lon()-float64(cells)/2*r.StepLonDeg, at.Lat()+float64(cells)/2*r.StepLatDeg
	for row := range r.Rows {
		for col := range r.Cols {
			c := coverage.Beyond.Cell()
			if terrain.Inverse(at, r.Post(col, row)).DistM <= radiusM {
				c = coverage.Numbers{Probability: 0.95}.Cell()
			}
			r.Cells = append(r.Cells, c)
		}
	}
	return r
}

// What is served within a radius is drawn as wide as it is high, at any latitude, where a
// picture in degrees is twice as wide at 60 degrees.
func TestAreaIsDrawnTrueToShape(t *testing.T) {
	for _, at := range []orb.Point{{-84.2, 36.5}, {25, 60}, {25, 72}, {179.98, -17}} {
		r := disc(at, 5000, 300)
		paint, err := r.Paint(coverage.Probability)
		if err != nil {
			t.Fatal(err)
		}
		c := newChart(bounds(r.Lattice), 0.01, 0)
		c.refine(coveragePixel)
		m, err := c.painted(paint, nil)
		if err != nil {
			t.Fatal(err)
		}
		west, east, north, south := c.cols, 0, c.rows, 0
		for y := range c.rows {
			for x := range c.cols {
				if m.At(x, y) != (color.RGBA{255, 255, 255, 255}) {
					west, east, north, south = min(west, x), max(east, x), min(north, y), max(south, y)
				}
			}
		}
		want, cell := 2*5000/c.pixelM, 2.1*5000/300/c.pixelM
		if !(math.Abs(float64(east-west+1)-want) <= 2*cell && math.Abs(float64(south-north+1)-want) <= 2*cell) {
			t.Errorf("at %v: %d by %d pixels, want %.0f each way", at, east-west+1, south-north+1, want)
		}
	}
}

func TestCoverageSaysWhatItShows(t *testing.T) {
	r := disc(orb.Point{-84.2, 36.5}, 5000, 60)
	paint, err := r.Paint(coverage.Margin)
	if err != nil {
		t.Fatal(err)
	}
	m := CoverageMap{Paint: paint, Title: "Ash & Birch", About: "receiver 2 m up", Poles: []Named{{"Ash", r.At}},
		Others: []Named{{"Birch", orb.Point{-84.22, 36.51}}, {"Far away", orb.Point{-80, 36}}}}
	var b bytes.Buffer
	if err := Coverage(&b, "svg", m); err != nil {
		t.Fatal(err)
	}
	texts, _ := readSVG(t, b.Bytes())
	all := allText(texts)
	for _, want := range []string{"Ash & Birch", "receiver 2 m up", "Birch", "margin, dB", "≥30", "≤-20", "not judged",
		"2 km", "N",
		"reached with 90 %"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in %s", want, all)
		}
	}
	if strings.Contains(all, "Far away") {
		t.Error("a pole outside is named")
	}
	for _, bad := range []CoverageMap{{}, {Paint: paint}} {
		if err := Coverage(&b, "svg", bad); err == nil {
			t.Error("drawn")
		}
	}
}
