package plan

import (
	"fmt"
	"math/rand"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// made is ground of one height over one degree from 36 N, 85 W.
type made struct{}

func (made) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{-85, 36}, Max: orb.Point{-84, 37}}, StepLonDeg: 0.001, StepLatDeg: 0.001}
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
	if len(w) != 1 || !strings.Contains(w[0], `feature 2 ("Cedar")`) || !strings.Contains(w[0], `lies 14354 km from "Ash"; with longitude and latitude exchanged it would lie 4 km from it: are they swapped?`) {
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
	p, err := Read("p.geojson", []byte(collection(at("Ash", "[36.5,-84.2]"), at("Birch", "[-84.25,36.55]"), at("Cedar", "[-80,30]"))))
	if err != nil {
		t.Fatal(err)
	}
	w := p.OutsideTerrain(made{})
	if len(w) != 1 || !strings.Contains(w[0], `feature 0 ("Ash"): lies outside the terrain`) || !strings.Contains(w[0], "swapped") {
		t.Errorf("%q", w)
	}
}

// Two radios may share a pole; a copy that was never moved looks the same. A degree of
// latitude has 111 km: 0.00002 of one are 2.2 m, 0.0001 11 m.
func TestPolesAndNamesAlike(t *testing.T) {
	for want, features := range map[string][]string{
		`feature 1 ("Birch"): 2.2 m from feature 0 ("Ash")`:                                              {at("Ash", "[8,47]"), at("Birch", "[8,47.00002]")},
		`feature 1 ("Birch"): at the same coordinates as feature 0 ("Ash")`:                              {at("Ash", "[8,47]"), at("Birch", "[8,47]")},
		`feature 1 ("Birch"): 3.8 m from feature 0 ("Ash")`:                                              {at("Ash", "[180,47]"), at("Birch", "[-179.99995,47]")},
		`feature 1 ("Elm  Top"): a name that differs by blanks alone from that of feature 0 ("Elm Top")`: {at("Elm Top", "[8,47]"), at("Elm  Top", "[8,47.1]")},
		`feature 1 ("ElmTop"): a name that differs by blanks alone from that of feature 0 ("Elm Top")`:   {at("Elm Top", "[8,47]"), at("ElmTop", "[8,47.1]")},
	} {
		if w := warnings(t, features...); len(w) != 1 || w[0] != "p.geojson: "+want {
			t.Errorf("%q, want %q", w, want)
		}
	}
	if w := warnings(t, at("Ash", "[8,47]"), at("Birch", "[8,47.0001]"), at("Cedar", "[8.0001,47]")); len(w) > 0 {
		t.Errorf("%q", w)
	}
}

// Cubes against every pair: the first station within 5 m, over the equator, the date
// line and beside the pole.
func TestNearTogetherAgainstEveryPair(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	for _, middle := range []orb.Point{{8, 47}, {0, 0}, {180, -60}, {30, 89.9999}} {
		var s []Station
		for range 300 {
			s = append(s, Station{At: orb.Point{middle[0] + random.NormFloat64()*3e-4, min(90, middle[1]+random.NormFloat64()*2e-4)}})
		}
		want := map[int]int{}
		for i := range s {
			for j := range i {
				if terrain.Inverse(s[i].At, s[j].At).DistM <= nearTogetherM {
					want[i] = j
					break
				}
			}
		}
		if got := nearTogether(s); len(want) == 0 || !reflect.DeepEqual(got, want) {
			t.Errorf("%v: %d stations near an earlier one, want %d", middle, len(got), len(want))
		}
	}
}
