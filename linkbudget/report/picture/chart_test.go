package picture

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// A circle on the ground is one on the chart, up to 75 degrees of latitude and across the
// antimeridian; the geodesics are those of package terrain, held elsewhere against published ones.
func TestCircleIsACircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-75, 75).Draw(t, "lat")}
		radiusM := rapid.Float64Range(500, 100e3).Draw(t, "radiusM")
		var ring []orb.Point
		for az := 0.0; az < 360; az += 15 {
			ring = append(ring, terrain.Destination(at, az, radiusM))
		}
		c := newChart(ring, 0.1, 10)
		c.begin(draw.Canvas{Canvas: new(recorder.Canvas), Rectangle: vg.Rectangle{Max: vg.Point{X: chartWidth,
			Y: c.height()}}}, nil)
		mid := c.point(at)
		want := radiusM / c.pixelM * c.pixel
		for i, p := range ring {
			q := c.point(p)
			if r := math.Hypot(float64(q.X-mid.X), float64(q.Y-mid.Y)); !(math.Abs(r-want) <= 0.5) {
				t.Fatalf("direction %d: %g points from the middle, want %g", 15*i, r, want)
			}
			if !c.canvas.Contains(q) {
				t.Fatalf("direction %d is outside", 15*i)
			}
		}
	})
}

// The middles of pixels lie where the lines and marks of the same places do.
func TestPixelsLieWhereMarksDo(t *testing.T) {
	for _, places := range [][]orb.Point{{{-84.4, 36.4}, {-84, 36.8}}, {{179.8, -17}, {-179.7, -16.5}},
		{{25, 70}, {28, 71}},
		{{-27.9, 38.4}, {-27.89, 38.41}}} {
		c := newChart(places, 0.1, 50)
		c.begin(draw.Canvas{Canvas: new(recorder.Canvas), Rectangle: vg.Rectangle{Max: vg.Point{X: chartWidth,
			Y: c.height()}}}, nil)
		all := c.places()
		for i := 0; i < len(all); i += 997 {
			x, y := float64(i%c.cols)+0.5, float64(i/c.cols)+0.5
			p := c.point(all[i])
			gotX, gotY := float64(p.X-c.canvas.Min.X)/c.pixel, float64(c.canvas.Max.Y-p.Y)/c.pixel
			if !(math.Hypot(gotX-x, gotY-y) <= 0.1) {
				t.Errorf("%v: pixel %g, %g is drawn at %g, %g", places, x, y, gotX, gotY)
			}
		}
	}
}

func demoMesh(t *testing.T) (*mesh.Mesh, terrain.DEM) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(cumberland, "..", "plan.geojson"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := plan.Read("plan.geojson", data)
	if err != nil {
		t.Fatal(err)
	}
	return checkedMesh(t, p), tiles(t, cumberland)
}

func checkedMesh(t *testing.T, p *plan.Plan) *mesh.Mesh {
	t.Helper()
	var opt mesh.Options
	opt.Settings = plan.Settings{Station: station("other"), Environment: environment}
	opt.Settings.Station.HeightM = 6
	m, err := mesh.Check(t.Context(), p, tiles(t, cumberland), opt)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func meshSVG(t *testing.T, m *mesh.Mesh, dem terrain.DEM) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Mesh(&b, "svg", m, dem); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Every pole has its name, no two names overlap, and every state has a pattern of its own
// beside its colour.
func TestMeshNamesItsPoles(t *testing.T) {
	m, dem := demoMesh(t)
	data := meshSVG(t, m, dem)
	texts, _ := readSVG(t, data)
	named := map[string]drawnText{}
	for _, at := range texts {
		named[at.text] = at
	}
	for i := range m.Stations {
		a, ok := named[m.Stations[i].Station.Name]
		if !ok {
			t.Errorf("%s has no name", m.Stations[i].Station.Name)
		}
		for j := range i {
			b := named[m.Stations[j].Station.Name]
			if wide := func(t drawnText) float64 { return float64(smallStyle.Width(t.text)) }; math.Abs(a.y-b.y) < 9 &&
				a.x < b.x+wide(b) && b.x < a.x+wide(a) {
				t.Errorf("%s covers %s", a.text, b.text)
			}
		}
	}
	for _, want := range []string{"5 km", "N", "reaches", "ground to search"} {
		if _, ok := named[want]; !ok {
			t.Errorf("no %q", want)
		}
	}
	if len(data) > 120e3 {
		t.Errorf("%d bytes", len(data))
	}
	dashes := map[string]bool{}
	for _, look := range linkLooks {
		dashes[fmt.Sprint(look.Dashes)] = true
	}
	if len(dashes) != len(verdicts) {
		t.Error("two states have one pattern")
	}
}

// A crowd of poles on one hill leaves names out and says so.
func TestCrowdedNames(t *testing.T) {
	p := &plan.Plan{}
	for i := range 80 {
		p.Stations = append(p.Stations, plan.Station{Name: "a pole with a long name " + trimmed(float64(i)), Feature: -1,
			At: orb.Point{-84.24 + 1e-4*float64(i%9), 36.55 + 1e-4*float64(i/9)}})
	}
	texts, _ := readSVG(t, meshSVG(t, checkedMesh(t, p), nil))
	if all := allText(texts); !strings.Contains(all, "Names left out for want of room: ") {
		t.Error(all)
	}
}

func TestMeshRefuses(t *testing.T) {
	if err := Mesh(&bytes.Buffer{}, "svg", nil, nil); err == nil {
		t.Error("drawn")
	}
	if err := Mesh(&bytes.Buffer{}, "svg", &mesh.Mesh{Plan: &plan.Plan{}}, nil); err == nil {
		t.Error("drawn")
	}
	m, dem := demoMesh(t)
	if err := Mesh(&bytes.Buffer{}, "gif", m, dem); err == nil {
		t.Error("drawn")
	}
}
