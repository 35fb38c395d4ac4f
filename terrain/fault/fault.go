// Package fault tells faults of an input apart from all other errors: a program that
// serves others asks by errors.Is for [ErrInput] whether its caller is to blame, and by
// errors.As for [FieldError] which value is. All packages of the module use it.
package fault

import (
	"errors"
	"fmt"
)

// ErrInput is what every fault of an input is, by errors.Is.
var ErrInput = errors.New("faulty input")

// FieldError is a value that is not allowed.
type FieldError struct {
	// Field names the value, as the plan file and the results spell it where they know
	// it: height_m, freq_mhz.
	Field string
	// Got is what was found, a number in Unit or a word.
	Got any
	// Min and Max are the limits, both allowed, in Unit; Max is math.MaxFloat64 for any
	// finite number. They mean nothing where Allowed is not empty.
	Min, Max float64
	Unit     string
	// Allowed tells in words what is allowed where two limits do not.
	Allowed string
}

// Error says what, which value and what is allowed.
func (e *FieldError) Error() string {
	allowed := e.Allowed
	if allowed == "" {
		allowed = Limits{Min: e.Min, Max: e.Max, Unit: e.Unit}.String()
	}
	got := fmt.Sprint(e.Got)
	if v, ok := e.Got.(float64); ok {
		got = plain(v)
	}
	return fmt.Sprintf("%s: found %s, allowed %s", e.Field, got, allowed)
}

// Is makes it an ErrInput.
func (e *FieldError) Is(target error) bool { return target == ErrInput }

// Range is nil for low <= got <= high, else a FieldError, for NaN too.
func Range(field string, got, low, high float64, unit string) error {
	return Limits{Min: low, Max: high, Unit: unit}.Check(field, got)
}

// Found is a FieldError that tells in words what is allowed.
func Found(field string, got any, allowed string) error {
	return &FieldError{Field: field, Got: got, Allowed: allowed}
}

// Input is a fault of more than one value, such as two that contradict each other.
func Input(format string, args ...any) error { return &inputError{fmt.Errorf(format, args...)} }

type inputError struct{ error }

func (e *inputError) Is(target error) bool { return target == ErrInput }
func (e *inputError) Unwrap() error        { return e.error }
