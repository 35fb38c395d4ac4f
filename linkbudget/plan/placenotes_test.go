package plan

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// made is ground of one height over one degree from 36 N, 85 W.
type made struct{}

func (made) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{-85, 36}, Max: orb.Point{-84, 37}}, StepLonDeg: 0.001,
		StepLatDeg: 0.001}
}

func (d made) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i, p := range at {
		heightM[i], flag[i] = 0, terrain.Outside
		if d.Extent().Bound.Contains(p) {
			heightM[i], flag[i] = 300, terrain.Ground
		}
	}
	return nil
}

func warnings(t *testing.T, features ...string) []string {
	t.Helper()
	p, err := Read("p.geojson", []byte(collection(features...)))
	if err != nil {
		t.Fatal(err)
	}
	return p.Warnings
}

func at(name, coordinates string) string {
	return feature(`{"name":"`+name+`"}`, `{"type":"Point","coordinates":`+coordinates+`}`)
}

// One pole of three is in Antarctica; exchanged it lies 0.03 of a degree north and 0.02
// west of Ash, 3.3 and 1.8 km. Several hide none of them.
func TestExchangedCoordinatesBesideTheOthers(t *testing.T) {
	w := warnings(t, at("Ash", "[-84.2,36.5]"), at("Birch", "[-84.25,36.55]"), at("Cedar", "[36.53,-84.22]"))
	if len(w) != 1 || !strings.Contains(w[0], `feature 2 ("Cedar")`) ||
		!strings.Contains(w[0], `lies 14354 km from "Ash"; with longitude and latitude exchanged it would lie 4 km from it: are they swapped?`) {
		t.Errorf("%q", w)
	}
	for _, fine := range [][]string{
		{at("Ash", "[-84.2,36.5]"), at("Birch", "[-84.25,36.55]")},
		{at("Ash", "[10,50]"), at("Birch", "[50,50]")}, // far apart, and no exchange helps
		{at("Ash", "[120.5,14.6]"), at("Birch", "[10,50]")},
	} {
		if w := warnings(t, fine...); len(w) > 0 {
			t.Errorf("%q", w)
		}
	}
	var many []string
	for i := range 30 {
		many = append(many, at(fmt.Sprintf("near %d", i), fmt.Sprintf("[-84.22,36.%d]", 30+i)))
	}
	for i := range 20 {
		many = append(many, at(fmt.Sprintf("far %d", i), fmt.Sprintf("[36.%d,-84.22]", 30+i)))
	}
	if w := warnings(t, many...); len(w) != 6 || !strings.Contains(w[5], "more poles") {
		t.Errorf("%q", w)
	}
}

// All poles of a plan are exchanged: the terrain tells.
func TestExchangedCoordinatesInsideTheTerrain(t *testing.T) {
	p, err := Read("p.geojson", []byte(collection(at("Ash", "[36.5,-84.2]"), at("Birch", "[-84.25,36.55]"),
		at("Cedar", "[-80,30]"))))
	if err != nil {
		t.Fatal(err)
	}
	w := p.OutsideTerrain(made{})
	if len(w) != 1 || !strings.Contains(w[0], `feature 0 ("Ash"): lies outside the terrain`) ||
		!strings.Contains(w[0], "swapped") {
		t.Errorf("%q", w)
	}
}
