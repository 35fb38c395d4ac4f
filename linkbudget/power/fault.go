package power

import "github.com/polereach/polereach/terrain/fault"

// rangeFault is the error of a value outside lo to hi, ends included, or nil.
func rangeFault(name string, v, lo, hi float64) error { return fault.Range(name, v, lo, hi, "") }

// countFault is the same for a whole number.
func countFault(name string, n, lo, hi int) error {
	return fault.Range(name, float64(n), float64(lo), float64(hi), "")
}
