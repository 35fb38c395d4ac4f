package power

import "fmt"

// Thresholds of the input pin of chargers that hold the panel at a set voltage,
// V, from their datasheets: the LT3652 family, and the families that compare
// with 1.205 V.
const (
	SetPointLT3652V = 2.7
	SetPoint1205V   = 1.205
)

// SetPointRatio returns R1/R2 of the divider that makes such a charger hold the
// panel at a voltage: R1/R2 = V/threshold - 1, R1 from the panel to the pin, R2
// from the pin to ground. The voltage must lie above the threshold, up to 60 V.
func SetPointRatio(panelV, thresholdV float64) (float64, error) {
	if !(thresholdV > 0 && panelV > thresholdV && panelV <= 60) {
		return 0, fmt.Errorf("panel voltage: found %g V for a threshold of %g V, allowed above the threshold to 60 V", panelV, thresholdV)
	}
	return panelV/thresholdV - 1, nil
}
