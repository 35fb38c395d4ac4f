package plan

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode"

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

// Names that look like "Café fin" on a screen, and what is told of each beside it; the
// codes are those of the Unicode character database.
func TestNamesThatLookAlikeInOtherCharacters(t *testing.T) {
	const same = `its name differs from that of feature 0 ("Café fin") by what is not seen alone`
	holds := func(code string) string { return "its name holds " + code + ", which is not seen" }
	for name, want := range map[string][]string{
		`Cafe\u0301 fin`:       {same},                  // a combining accent
		`Café \ufb01n`:         {same},                  // the ligature fi
		`\uff23afé fin`:        {same},                  // a letter as wide as a Chinese one
		`Ca\u200bfé fin`:       {holds("U+200B"), same}, // a blank of no width
		`Café f\u00adin`:       {holds("U+00AD"), same}, // a soft hyphen
		`\u202eCafé fin`:       {holds("U+202E"), same}, // turns the direction of writing
		`Café fin\u2066\u2069`: {holds("U+2066"), same},
		`\ufeffCafé fin`:       {holds("U+FEFF"), same},
		`Café\u034f fin`:       {holds("U+034F"), same}, // no letters, no mark
		`C\u200dafé fin`:       {holds("U+200D"), same},
		`Café\ufe0f fin`:       {same}, // a selector of a variant where it may stand
		`\u0421afé fin`:        nil,    // a Cyrillic C: no table of letters that look alike is held
		`می\u200cخواهم`:        nil,    // Persian is written with it
		`Cafe fin`:             nil,
	} {
		p, err := Read("p", []byte(collection(
			feature(`{"name":"Café fin"}`, `{"type":"Point","coordinates":[8,47]}`),
			feature(`{"name":"`+name+`"}`, `{"type":"Point","coordinates":[8.1,47]}`))))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(p.Warnings) != len(want) {
			t.Errorf("%s: told %q, want %q", name, p.Warnings, want)
			continue
		}
		for i, w := range p.Warnings {
			if !strings.HasPrefix(w, "p: feature 1 (") || !strings.HasSuffix(w, want[i]) ||
				strings.ContainsFunc(w, func(r rune) bool { return unicode.Is(unicode.Cf, r) }) {
				t.Errorf("%s: told %q, want %q", name, w, want[i])
			}
		}
	}
	_, err := Read("p", []byte(collection(feature(`{"name":"a\u001b[31m"}`, `{"type":"Point","coordinates":[8,47]}`))))
	if want := `the control character U+001B in "a\x1b[31m"`; err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want %q", err, want)
	}
}
