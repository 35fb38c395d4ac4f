package power

import "fmt"

// rangeFault is the error of a value outside lo to hi, ends included, or nil.
// Written so that NaN is a fault.
func rangeFault(name string, v, lo, hi float64) error {
	if v >= lo && v <= hi {
		return nil
	}
	return fmt.Errorf("%s: found %g, allowed %g to %g", name, v, lo, hi)
}

// countFault is the same for a whole number.
func countFault(name string, n, lo, hi int) error {
	if n >= lo && n <= hi {
		return nil
	}
	return fmt.Errorf("%s: found %d, allowed %d to %d", name, n, lo, hi)
}
