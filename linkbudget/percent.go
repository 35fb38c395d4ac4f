package linkbudget

import (
	"fmt"
	"math"
	"strconv"
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

// ChanceText is PercentText beside the word of a verdict: with more decimals where whole
// percent would read as less than was wanted, though it is reached. wantPercent is
// Environment.WantPercent, 0 for the default.
func ChanceText(p, wantPercent float64) string {
	if wantPercent == 0 {
		wantPercent = DefaultWantPercent
	}
	text := PercentText(p)
	for decimals := 1; p < 0.995 && 100*p >= wantPercent && decimals < 9; decimals++ {
		if shown, err := strconv.ParseFloat(text, 64); err == nil && shown >= wantPercent {
			break
		}
		scale := math.Pow10(decimals)
		text = strconv.FormatFloat(math.Floor(100*p*scale+1e-9)/scale, 'f', decimals, 64)
	}
	return text
}

// RoundedApart writes a figure and the one it falls short of with so many decimals: to
// the nearest where they then differ, else the first rounded down and the second up.
func RoundedApart(less, more float64, decimals int) (string, string) {
	decimals = min(max(decimals, 0), 15) // a float64 has no more
	write := func(v float64) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	if a, b := write(less), write(more); a != b {
		return a, b
	}
	scale := math.Pow10(decimals)
	return write(math.Floor(less*scale) / scale), write(math.Ceil(more*scale) / scale)
}
