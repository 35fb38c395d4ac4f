package linkbudget_test

import (
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// Rounding must not choose the weaker direction: equal margins mean the forward
// one, and a real difference decides whichever way it goes.
func TestWeakerDirection(t *testing.T) {
	for _, c := range []struct {
		forward, backward linkbudget.DB
		want              string
	}{
		{10, 10, "forward"},
		{10, 10 - 1e-13, "forward"},
		{10 - 1e-13, 10, "forward"},
		{10, 10 - 1e-6, "backward"},
		{10 - 1e-6, 10, "forward"},
		{-3, -7, "backward"},
	} {
		r := linkbudget.Result{
			Forward:  linkbudget.Direction{From: "forward", Level: linkbudget.Level{MarginDB: c.forward}},
			Backward: linkbudget.Direction{From: "backward", Level: linkbudget.Level{MarginDB: c.backward}},
		}
		if got := r.Weaker().From; got != c.want {
			t.Errorf("margins %v and %v: %s is the weaker direction, want %s", c.forward, c.backward, got, c.want)
		}
	}
}
