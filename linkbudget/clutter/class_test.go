package clutter

import (
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestParseClutter(t *testing.T) {
	for _, word := range []string{"open", "suburban", "wood", "urban", "dense_urban"} {
		c, err := Parse(word)
		if err != nil || c.String() != word {
			t.Errorf("%q: %v, %v", word, c, err)
		}
	}
	for _, word := range []string{"", "unstated", "Open", "forest", "dense urban"} {
		c, err := Parse(word)
		if err == nil || !strings.Contains(err.Error(), "open, suburban, wood, urban, dense_urban") {
			t.Errorf("%q: %v, %v", word, c, err)
		}
	}
	if got := Class(9); got.String() != "clutter 9" || got.RepresentativeHeightM() != 0 || got.TerminalHeightM() != 0 {
		t.Errorf("clutter 9: %v, %v m, %v m", got, got.RepresentativeHeightM(), got.TerminalHeightM())
	}
}

// Profile column: ITU-R P.1812-6 table 2, from memory. Terminal column: ITU-R
// P.2108-1 §3.1, published.
func TestClutterHeights(t *testing.T) {
	for _, row := range []struct {
		clutter             Class
		profileM, terminalM float64
	}{
		{Unstated, 0, 0},
		{Open, 0, 10},
		{Suburban, 10, 10},
		{Wood, 15, 15},
		{Urban, 15, 15},
		{DenseUrban, 20, 20},
	} {
		check.Near(t, row.clutter.String()+" on the profile", row.clutter.RepresentativeHeightM(), row.profileM, 0)
		check.Near(t, row.clutter.String()+" at a terminal", row.clutter.TerminalHeightM(), row.terminalM, 0)
	}
}
