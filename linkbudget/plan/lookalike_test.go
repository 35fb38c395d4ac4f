package plan

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

func TestPolesWithinAFewMetres(t *testing.T) {
	// A second of arc of the meridian at 47° N is 30.88 m: 0.0001° are 11.1 m, 0.00002° 2.2 m.
	p, err := Read("plan.geojson", []byte(collection(
		feature(`{"name":"Gate"}`, `{"type":"Point","coordinates":[8,47]}`),
		feature(`{"name":"Barn"}`, `{"type":"Point","coordinates":[8,47.0001]}`),
		feature(`{"name":"Tree"}`, `{"type":"Point","coordinates":[8,47.00002]}`),
		feature(`{"name":"Post"}`, `{"type":"Point","coordinates":[8,47.0001]}`))))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`plan.geojson: feature 2 ("Tree"): 2.2 m from feature 0 ("Gate")`,
		`plan.geojson: feature 3 ("Post"): at the same coordinates as feature 1 ("Barn")`,
	}
	if d := cmp.Diff(want, p.Warnings); d != "" {
		t.Error(d)
	}
}

// A pole is told exactly if one before it that was not told itself is within 5 m: by
// every pair, at the equator, at the date line and beside the pole of the earth.
func TestNearSpotsAgainstEveryPair(t *testing.T) {
	told := 0
	for seed, middle := range []orb.Point{{0, 0}, {179.9999, 50}, {-84, 36}, {10, 89.9999}, {0, -90}} {
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		rd := &reader{plan: &Plan{}}
		for i := range 150 {
			at := terrain.Destination(middle, 330*r.Float64(), 60*r.Float64())
			rd.plan.Stations = append(rd.plan.Stations, Station{Name: fmt.Sprint(i), At: at, Feature: i})
		}
		var apart []orb.Point
		var want []string
		for i, s := range rd.plan.Stations {
			near := false
			for _, other := range apart {
				near = near || terrain.Inverse(other, s.At).DistM <= 5
			}
			if near {
				want = append(want, fmt.Sprint(i))
			} else {
				apart = append(apart, s.At)
			}
		}
		var got []string
		for _, w := range rd.nearSpots() {
			_, w, _ = strings.Cut(w, `("`)
			name, _, _ := strings.Cut(w, `"`)
			got = append(got, name)
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Errorf("around %v: %s", middle, d)
		}
		told += len(want)
	}
	if told < 100 {
		t.Errorf("%d told: too few to say anything", told)
	}
}

func TestNamesThatLookAlike(t *testing.T) {
	p, err := Read("plan.geojson", []byte(collection(
		feature(`{"name":"Old Mill"}`, `{"type":"Point","coordinates":[8,47]}`),
		feature(`{"name":"Old  Mill "}`, `{"type":"Point","coordinates":[8.1,47]}`),
		feature(`{"name":"oldmill"}`, `{"type":"Point","coordinates":[8.2,47]}`),
		feature(`{"name":"Old\u00a0Mill 2"}`, `{"type":"Point","coordinates":[8.3,47]}`))))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`plan.geojson: feature 1 ("Old  Mill "): its name differs from that of feature 0 ("Old Mill") by blanks or capitals alone`,
		`plan.geojson: feature 2 ("oldmill"): its name differs from that of feature 0 ("Old Mill") by blanks or capitals alone`,
	}
	if d := cmp.Diff(want, p.Warnings); d != "" {
		t.Error(d)
	}
}
