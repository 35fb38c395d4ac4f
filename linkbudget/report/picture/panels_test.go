package picture

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
)

// A panel of a stated node is marked where it faces: the middle of its cross moves with
// azimuth and tilt as the sky does; without a node there is none.
func TestPanelsInTheSky(t *testing.T) {
	draw := func(stated bool, panels ...power.Panel) (marks [][2]float64, told bool) {
		s := &power.PoleSurvey{
			Skyline: terrain.Skyline{At: orb.Point{10, 50}, StepDeg: 1, Directions: make([]terrain.SkylineDirection, 360)},
			Paths:   []power.SunPath{{Name: "June", Points: []power.SunPoint{{AzimuthDeg: 180, ElevDeg: 75, SolarH: 12}}}},
			System:  power.System{Panels: panels}, Stated: power.Stated{Panel: stated, Cell: stated},
		}
		var b bytes.Buffer
		if err := Sun(&b, "svg", s, "Ash"); err != nil {
			t.Fatal(err)
		}
		texts, paths := readSVG(t, b.Bytes())
		for _, p := range paths {
			if len(p.points) == 2 && math.Abs(p.points[0][0]-p.points[1][0]) == 14 { // a cross of 7 points
				marks = append(marks, [2]float64{(p.points[0][0] + p.points[1][0]) / 2, p.points[0][1]})
			}
		}
		return marks, slices.ContainsFunc(texts, func(x drawnText) bool { return x.text == "the panel faces" })
	}
	if marks, told := draw(false, power.NewPanel(1, power.Plane{TiltDeg: 60})); len(marks) > 0 || told {
		t.Errorf("without a node: %v", marks)
	}
	marks, told := draw(true, power.NewPanel(1, power.Plane{TiltDeg: 60, AzimuthDeg: 90}), power.NewPanel(1, power.Plane{TiltDeg: 45, AzimuthDeg: 180}),
		power.NewPanel(1, power.Plane{TiltDeg: 30, AzimuthDeg: 270}))
	if len(marks) != 4 || !told { // and that of the key
		t.Fatalf("marks at %v, in the key: %v", marks, told)
	}
	slices.SortFunc(marks, func(a, b [2]float64) int { return int(a[1] - b[1]) })
	for k, unit := range [2]float64{90, 15} { // degrees from one to the next
		first, second := marks[1][k]-marks[0][k], marks[2][k]-marks[1][k]
		if !(first > unit/3) || math.Abs(first-second) > 0.02 {
			t.Errorf("marks at %v do not follow the sky", marks)
		}
	}
}
