package lora

import (
	"math"

	"github.com/polereach/polereach/terrain/fault"
)

// notNegative refuses what is not a finite number of 0 or more.
func notNegative(name string, v float64) error {
	if !(v >= 0 && !math.IsInf(v, 1)) {
		return fault.Found(name, v, "0 or more")
	}
	return nil
}

// share refuses what is not between 0 and 1.
func share(name string, v float64) error { return fault.Range(name, v, 0, 1, "") }

// finite refuses what is no finite number.
func finite(name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fault.Found(name, v, "any finite number")
	}
	return nil
}
