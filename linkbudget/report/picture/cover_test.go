package picture

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/plan"
)

// standsOn is a Polygon of a plan.
func standsOn(class string, rings ...orb.Ring) plan.Cover {
	return plan.Cover{Stands: &class, Parts: orb.MultiPolygon{rings}}
}

func box(west, south, east, north float64) orb.Ring {
	return orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
}

// A wood is green on the map and named in the key, its clearing is not, whichever way its rings go; what lies
// beside the map is nowhere.
func TestMeshShowsWhatStands(t *testing.T) {
	for way := range 4 {
		rings := []orb.Ring{box(10.002, 50.002, 10.018, 50.018), box(10.008, 50.008, 10.012, 50.012)}
		for k, ring := range rings {
			if way>>k&1 == 1 {
				ring.Reverse()
			}
		}
		p := &plan.Plan{Stations: []plan.Station{{Name: "A", At: orb.Point{10, 50}},
			{Name: "B", At: orb.Point{10.02, 50.02}}},
			Cover: []plan.Cover{standsOn("wood", rings...), standsOn("water", box(11, 50, 11.1, 50.1))}}
		m := checkedMesh(t, p)
		m.Pairs = nil
		texts, _ := readSVG(t, meshSVG(t, m, nil))
		if all := allText(texts); !strings.Contains(all, "wood, as drawn") || strings.Contains(all, "water") {
			t.Errorf("key: %s", all)
		}
		var b bytes.Buffer
		if err := Mesh(&b, "png", m, nil); err != nil {
			t.Fatal(err)
		}
		image, err := png.Decode(&b)
		if err != nil {
			t.Fatal(err)
		}
		c := newChart([]orb.Point{p.Stations[0].At, p.Stations[1].At}, 0.14, 150)
		size := image.Bounds().Size()
		perPoint := float64(size.X) / (7 * 72)
		at := func(lon, lat float64) string { // in the middle of the picture's width, below what is above the chart
			e, n := c.metres(orb.Point{lon, lat})
			x := float64(size.X)/2 + e/c.pixelM*c.pixel*perPoint
			y := ((&frame{title: "x", left: "x"}).above().Points()+float64(c.rows)*c.pixel/2)*perPoint -
				n/c.pixelM*c.pixel*perPoint
			return fmt.Sprint(color.NRGBAModel.Convert(image.At(int(x), int(y))))
		}
		if wood, clearing, beside := at(10.005, 50.013), at(10.0105, 50.0092), at(10.0195, 50.001); wood == clearing ||
			clearing != beside {
			t.Errorf("rings %d: the wood is %s, its clearing %s, beside it %s", way, wood, clearing, beside)
		}
	}
}
