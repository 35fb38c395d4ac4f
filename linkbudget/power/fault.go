package power

import (
	"errors"
	"fmt"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// rangeFault is the error of a value outside lo to hi, ends included, or nil.
func rangeFault(name string, v, lo, hi float64) error { return fault.Range(name, v, lo, hi, "") }

// optionalFault is rangeFault of a value for which 0 means the default.
func optionalFault(name string, v, lo, hi float64) error {
	if v == 0 {
		return nil
	}
	return rangeFault(name, v, lo, hi)
}

// countFault is rangeFault of a whole number.
func countFault(name string, n, lo, hi int) error {
	return fault.Range(name, float64(n), float64(lo), float64(hi), "")
}

// wordFault is the error of a value that has none of the words, or nil.
func wordFault[T ~uint8](name string, v T, words []string) error {
	if int(v) < len(words) {
		return nil
	}
	return fault.Found(name, v, strings.Join(words, ", "))
}

// wordOf is the word of a value, kind(value) for one without.
func wordOf[T ~uint8](kind string, v T, words []string) string {
	if int(v) < len(words) {
		return words[v]
	}
	return fmt.Sprintf("%s(%d)", kind, uint8(v))
}

// faultsOf joins the errors under what they are of; nil where there are none.
func faultsOf(what string, errs ...error) error {
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}
