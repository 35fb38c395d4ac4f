package plan

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	p := &Plan{Stations: []Station{{Name: "Old Mill"}, {Name: "Old Hill"}, {Name: "Observatory"}, {Name: "Gate"},
		{Name: "Żar"}}}
	for _, c := range []struct {
		name, want string
	}{
		{"Old Mill", "Old Mill"},
		{"OLD MILL", "Old Mill"},
		{"Old Mlil", "Old Mill"}, // one swap, against two replacements for Old Hill
		{"Old Hil", "Old Hill"},
		{"Old Fill", "Old Mill"}, // equally near: the first in the file
		{"Obsrevatry", "Observatory"},
		{"gat", "Gate"},
		{"żar", "Żar"},
		{"zar", "Żar"},
		{"Nowhere at all", ""},
		{"", ""},
		{strings.Repeat("x", 1<<20), ""},
	} {
		got, ok := p.Nearest(c.name)
		if got != c.want || ok != (c.want != "") {
			t.Errorf("%.20q: %q, %v, want %q", c.name, got, ok, c.want)
		}
	}
	if _, ok := (&Plan{}).Nearest("Gate"); ok {
		t.Error("a plan without stations has a nearest")
	}
}

// slowDistance is the definition by recursion, without a table or a limit.
func slowDistance(a, b []rune) int {
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	cost := 1
	if a[0] == b[0] {
		cost = 0
	}
	d := min(slowDistance(a[1:], b)+1, slowDistance(a, b[1:])+1, slowDistance(a[1:], b[1:])+cost)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, slowDistance(a[2:], b[2:])+1)
	}
	return d
}

func TestDistanceAgainstRecursion(t *testing.T) {
	var table editTable // shared, so that leftovers of a call would show
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.RuneFrom([]rune("abé")), 0, 6, -1)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		limit := rapid.IntRange(1, 8).Draw(t, "limit")
		want := min(limit, slowDistance([]rune(a), []rune(b)))
		if got := table.distance(a, b, limit); got != want {
			t.Fatalf("distance(%q, %q, %d) = %d, want %d", a, b, limit, got, want)
		}
	})
}
