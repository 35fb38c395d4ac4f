package linkbudget_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// The words are those of results written before the types were numbers.
func TestWordsOfResults(t *testing.T) {
	type all struct {
		Verdict   linkbudget.Verdict            `json:"verdict"`
		Path      diffraction.PathClass         `json:"path,omitempty"`
		Situation linkbudget.Situation          `json:"situation,omitempty"`
		Count     map[diffraction.PathClass]int `json:"count,omitempty"`
	}
	for _, c := range []struct {
		value all
		text  string
		plain string
	}{
		{all{}, `{"verdict":""}`, "  "},
		{all{linkbudget.Reaches, diffraction.PathClear, linkbudget.SituationClear, nil},
			`{"verdict":"reaches","path":"clear","situation":"clear"}`, "reaches clear clear"},
		{all{linkbudget.Marginal, diffraction.PathGrazing, linkbudget.SituationLow, nil},
			`{"verdict":"marginal","path":"grazing","situation":"low over flat"}`, "marginal grazing low over flat"},
		{all{linkbudget.Short, diffraction.PathBlocked, linkbudget.SituationObstructed, map[diffraction.PathClass]int{diffraction.PathBlocked: 2}},
			`{"verdict":"short","path":"blocked","situation":"obstructed","count":{"blocked":2}}`, "short blocked obstructed"},
		{all{Verdict: linkbudget.Unknown, Situation: linkbudget.SituationDeep},
			`{"verdict":"unknown","situation":"deep in a shadow"}`, "unknown  deep in a shadow"},
	} {
		text, err := json.Marshal(c.value)
		if err != nil || string(text) != c.text {
			t.Errorf("%s, %v; want %s", text, err, c.text)
		}
		if got := fmt.Sprintf("%s %v %s", c.value.Verdict, c.value.Path, c.value.Situation); got != c.plain {
			t.Errorf("%q, want %q", got, c.plain)
		}
		again := all{Verdict: linkbudget.Short}
		if err := json.Unmarshal(text, &again); err != nil || fmt.Sprint(again) != fmt.Sprint(c.value) {
			t.Errorf("%s read as %v, %v", text, again, err)
		}
	}
}

func TestWordsOfResultsAreChecked(t *testing.T) {
	verdict, path, situation := linkbudget.Short, diffraction.PathBlocked, linkbudget.SituationDeep
	for _, c := range []struct {
		err  error
		want string
	}{
		{verdict.UnmarshalText([]byte("Reaches")), `linkbudget: verdict: found "Reaches", allowed "reaches", "marginal", "short", "unknown"`},
		{path.UnmarshalText([]byte("line of sight")), `linkbudget: path class: found "line of sight", allowed "clear", "grazing", "blocked"`},
		{situation.UnmarshalText([]byte("low")), `linkbudget: situation: found "low", allowed "clear", "low over flat", "obstructed", "deep in a shadow"`},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("%v, want %s", c.err, c.want)
		}
	}
	if verdict != linkbudget.Short || path != diffraction.PathBlocked || situation != linkbudget.SituationDeep {
		t.Errorf("%s, %s and %s after words that are none", verdict, path, situation)
	}
	for v, want := range map[linkbudget.Verdict]string{5: "(5)", 9: "(9)", 127: "(127)", -1: "(-1)", -128: "(-128)"} {
		if text, err := v.MarshalText(); err == nil {
			t.Errorf("verdict %d is written %q", v, text)
		}
		if got := v.String(); got != want {
			t.Errorf("verdict %d is called %q, want %q", v, got, want)
		}
	}
}

// No kind of byte or rune: go vet, and so go test, then warns of string(v), which would
// be a control character, and package fmt does not take a slice of words for text.
func TestWordsOfResultsAreNoText(t *testing.T) {
	verdicts, paths, situations := []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Short},
		[]diffraction.PathClass{diffraction.PathGrazing}, []linkbudget.Situation{linkbudget.SituationLow,
			linkbudget.SituationDeep}
	if got, want := fmt.Sprintf("%s %s %s", verdicts, paths, situations), "[reaches short] [grazing] [low over flat "+
		"deep in a shadow]"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, v := range []any{verdicts[0], paths[0], situations[0]} {
		if kind := reflect.TypeOf(v).Kind(); kind == reflect.Uint8 || kind == reflect.Int32 {
			t.Errorf("%T is a %v: nothing warns of string(v)", v, kind)
		}
	}
}
