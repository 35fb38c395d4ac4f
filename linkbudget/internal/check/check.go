// Package check compares numbers in tests. What is not a number is never near one.
package check

import "math"

// T is what is told of a difference: a *testing.T or one of a property test.
type T interface {
	Helper()
	Errorf(format string, args ...any)
}

// Near fails unless got is within tol of want.
func Near[F ~float64](t T, name string, got, want F, tol float64) {
	t.Helper()
	if !(math.Abs(float64(got-want)) <= tol) {
		t.Errorf("%s = %.10g, want %.10g ± %g, off by %.3g", name, float64(got), float64(want), tol, float64(got-want))
	}
}

// At is Near for a quantity at a place or a value.
func At(t T, name string, at any, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s at %v = %.10g, want %.10g ± %g, off by %.3g", name, at, got, want, tol, got-want)
	}
}

// Relative fails unless got is within the part tol of want.
func Relative(t T, name string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= tol) {
		t.Errorf("%s = %v, want %v within %g of it", name, got, want, tol)
	}
}
