package power

import (
	"math"
	"testing"
)

// P10 and P11 are computed from the datasheet formula, P12 is a published
// example: 100 kohm below, 1.4 Mohm above for 18 V.
func TestSetPointRatio(t *testing.T) {
	for _, c := range []struct {
		row                           string
		panelV, thresholdV, want, tol float64
	}{
		{"P10, 5 V", 5, SetPointLT3652V, 0.852, 0.0005},
		{"P10, 6 V", 6, SetPointLT3652V, 1.222, 0.0005},
		{"P11", 5, SetPoint1205V, 3.149, 0.0005},
		{"P12, in 100 kohm", 18, SetPoint1205V, 14, 0.5},
	} {
		got, err := SetPointRatio(c.panelV, c.thresholdV)
		if err != nil {
			t.Fatal(c.row, err)
		}
		near(t, c.row, got, c.want, c.tol)
	}
	for _, v := range []float64{0, 2.7, -5, 61, math.NaN(), math.Inf(1)} {
		if got, err := SetPointRatio(v, SetPointLT3652V); err == nil {
			t.Errorf("%g V: %g", v, got)
		}
	}
}
