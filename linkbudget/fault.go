package linkbudget

import (
	"fmt"
	"math"
)

// loadFault refuses what is not a finite number of 0 or more.
func loadFault(name string, v float64) error {
	if !(v >= 0 && !math.IsInf(v, 1)) {
		return fmt.Errorf("%s: found %v, allowed 0 or more", name, v)
	}
	return nil
}

// shareFault refuses what is not between 0 and 1.
func shareFault(name string, v float64) error {
	if !(v >= 0 && v <= 1) {
		return fmt.Errorf("%s: found %v, allowed 0 to 1", name, v)
	}
	return nil
}

// finiteFault refuses what is no finite number.
func finiteFault(name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%s: found %v, allowed any finite number", name, v)
	}
	return nil
}
