package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNamesThatDifferAtTheEndStayApart(t *testing.T) {
	names := []string{"Hollow School North", "Hollow School South", "Mill Bottom", "Hollow Scho.", "Sorrel Ridge House",
		"Quarry Gate 1", "Quarry Gate 2", "Long Bench A in the far woods", "Long Bench B in the far woods"}
	cut := cutNames(names, 12)
	for name, want := range map[string]string{"Hollow School North": "Hollo. North", "Hollow School South": "Hollo. South",
		"Mill Bottom": "Mill Bottom", "Hollow Scho.": "Hollow Scho.", "Sorrel Ridge House": "Sorrel Ridg.",
		"Quarry Gate 1": "Quarr.Gate 1", "Quarry Gate 2": "Quarr.Gate 2",
		"Long Bench A in the far woods": "Long . woods", "Long Bench B in the far woods": "Long Bench.2"} {
		if got := cut(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

// Whatever the names, none is wider than the column, and no two look alike.
func TestCutNamesAreApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(9, 20).Draw(t, "width")
		one := rapid.Custom(func(t *rapid.T) string {
			return strings.Repeat("Birch", rapid.IntRange(0, 4).Draw(t, "n")) +
				rapid.StringMatching(`[a.é2]{1,12}`).Draw(t, "end")
		})
		names := rapid.SliceOfNDistinct(one, 2, 200, rapid.ID).Draw(t, "names")
		cut, of := cutNames(names, width), map[string]string{}
		for _, name := range names {
			short := cut(name)
			if other, twice := of[short]; twice || runes(short) > width || short == "" {
				t.Fatalf("%q and %q are both %q", name, other, short)
			}
			if runes(name) <= width && short != name {
				t.Fatalf("%q fits and is %q", name, short)
			}
			of[short] = name
		}
	})
}
