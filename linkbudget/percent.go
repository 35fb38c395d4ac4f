package linkbudget

import (
	"fmt"
	"math"
)

// FresnelText writes a clearance in first Fresnel radii with so many decimals, rounded
// down, so that what grazes has less than 0.6 and what is blocked less than 0.
func FresnelText(fraction float64, decimals int) string {
	scale := math.Pow10(decimals)
	return fmt.Sprintf("%.*f", decimals, math.Floor(fraction*scale+1e-9)/scale)
}

// PercentText writes a probability, 0 to 1, in whole percent without the sign, rounded
// down, so that it never says more than the verdict beside it: a marginal link of 89.7 %
// has 89. It never rounds a doubt away: nothing is 100 or 0 %, but ">99" and "<1".
func PercentText(p float64) string {
	switch {
	case p >= 0.995:
		return ">99"
	case p < 0.01:
		return "<1"
	}
	return fmt.Sprintf("%.0f", math.Floor(100*p+1e-9)) // 0.29 times 100 is 28.999999999999996
}
