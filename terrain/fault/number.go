package fault

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Limits are what a number may be: Min to Max in Unit, both allowed unless Above leaves
// Min out; a Max of math.MaxFloat64 is any finite number.
type Limits struct {
	Min, Max float64
	Unit     string
	Above    bool
}

// Hold reports whether a number is allowed; NaN never is.
func (l Limits) Hold(v float64) bool { return v >= l.Min && v <= l.Max && !(l.Above && v == l.Min) }

// String tells the limits, such as "above 0 to 300 m".
func (l Limits) String() string {
	text := fmt.Sprintf("%s to %s %s", plain(l.Min), plain(l.Max), l.Unit)
	if l.Max == math.MaxFloat64 {
		text = fmt.Sprintf("%s %s and more", plain(l.Min), l.Unit)
	}
	if l.Above {
		text = "above " + text
	}
	return strings.Join(strings.Fields(text), " ") // no unit, no gap
}

// plain is a number as people write it, without an exponent below ten million.
func plain(v float64) string {
	if math.Abs(v) >= 1e6 && math.Abs(v) < 1e7 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return fmt.Sprintf("%g", v)
}

// Check is nil for a number that is allowed, else a [FieldError].
func (l Limits) Check(field string, got float64) error {
	if l.Hold(got) {
		return nil
	}
	e := &FieldError{Field: field, Got: got, Min: l.Min, Max: l.Max, Unit: l.Unit}
	if l.Above {
		e.Allowed = l.String()
	}
	return e
}

// Number is a number of a T: its key in files, what it may be, and where it stands.
type Number[T any] struct {
	Key string
	Limits
	// Zero is what 0 stands for where that is not itself, such as "65"; then it is allowed.
	Zero string
	// At points to it; nil where it is not stated.
	At func(*T) *float64
}

// Numbers lists the faults of all numbers of v, each a [FieldError].
func Numbers[T any](list []Number[T], v *T) []error {
	var errs []error
	for i := range list {
		n := &list[i]
		if n.At == nil {
			continue
		}
		p := n.At(v)
		if p == nil || n.Hold(*p) || n.Zero != "" && *p == 0 {
			continue
		}
		allowed := n.String()
		if n.Zero != "" {
			allowed += ", or 0 for " + n.Zero
		}
		errs = append(errs, &FieldError{Field: n.Key, Got: *p, Min: n.Min, Max: n.Max, Unit: n.Unit, Allowed: allowed})
	}
	return errs
}

// Within gives the numbers of a part U of a T as those of the T; of may point to nothing.
func Within[T, U any](list []Number[U], of func(*T) *U) []Number[T] {
	out := make([]Number[T], 0, len(list))
	for _, n := range list {
		out = append(out, Number[T]{n.Key, n.Limits, n.Zero, func(t *T) *float64 {
			if u := of(t); u != nil {
				return n.At(u)
			}
			return nil
		}})
	}
	return out
}
