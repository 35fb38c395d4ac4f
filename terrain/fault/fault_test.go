package fault_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

// Whoever wraps and joins faults still finds them, and which value it was.
func TestFaultsAreFound(t *testing.T) {
	err := fmt.Errorf("station %q: %w", "Ash", errors.Join(
		fault.Range("height_m", 400, 1, 300, "m"), fault.Input("one and the other")))
	if !errors.Is(err, fault.ErrInput) {
		t.Errorf("%v is no fault of the input", err)
	}
	var field *fault.FieldError
	if !errors.As(err, &field) || field.Field != "height_m" || field.Got != 400.0 || field.Min != 1 || field.Max != 300 ||
		field.Unit != "m" {
		t.Errorf("%v: found %+v", err, field)
	}
	if errors.Is(errors.New("disk full"), fault.ErrInput) || errors.As(fault.Input("two"), &field) {
		t.Error("an error of another kind is taken for one")
	}
}

func TestRange(t *testing.T) {
	for _, c := range []struct {
		got, low, high float64
		want           string
	}{
		{1, 1, 3, ""}, {3, 1, 3, ""},
		{0.5, 1, 3, "x: found 0.5, allowed 1 to 3 m"},
		{3e6, 10, 1e6, "x: found 3000000, allowed 10 to 1000000 m"},
		{5e8, 0, 2e7, "x: found 5e+08, allowed 0 to 2e+07 m"},
		{math.NaN(), 1, 3, "x: found NaN, allowed 1 to 3 m"},
		{math.Inf(1), 1, math.MaxFloat64, "x: found +Inf, allowed 1 m and more"},
	} {
		err := fault.Range("x", c.got, c.low, c.high, "m")
		if text := fmt.Sprint(err); c.want == "" && err != nil || c.want != "" && text != c.want {
			t.Errorf("%g in %g to %g: %v, want %q", c.got, c.low, c.high, err, c.want)
		}
	}
	if got, want := fault.Found("inside", `"dense"`, "wood, urban").Error(),
		`inside: found "dense", allowed wood, urban`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
