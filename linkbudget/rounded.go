package linkbudget

import (
	"math"
	"strconv"
)

// PercentText writes a probability, 0 to 1, in whole percent without the sign. It
// never rounds a doubt away: nothing is 100 or 0 %, but ">99" and "<1".
func PercentText(p float64) string { return percentText(p) }

// ChanceText is PercentText beside a verdict: it never contradicts the word, see
// [Rounded]. wantPercent is Environment.WantPercent, 0 for the default.
func ChanceText(p, wantPercent float64) string {
	if wantPercent == 0 {
		wantPercent = DefaultWantPercent
	}
	return percentText(p, 50, wantPercent)
}

func percentText(p float64, thresholds ...float64) string {
	switch {
	case p >= 0.995:
		return ">99"
	case p <= 0.005:
		return "<1"
	}
	return Rounded(100*p, 0, thresholds...)
}

// Rounded writes a figure, of which more is better, with so many decimals. On which
// side of each threshold it lies can be read from what is written: a figure below one
// is rounded down where rounding would reach it, and one above gets more decimals where
// none with fewer is.
func Rounded(v float64, decimals int, thresholds ...float64) string {
	keeps := func(text string) bool {
		read, err := strconv.ParseFloat(text, 64)
		for _, t := range thresholds {
			if err != nil || (read >= t) != (v >= t) {
				return false
			}
		}
		return true
	}
	const most = 9
	for d := decimals; ; d++ {
		scale := math.Pow(10, float64(d))
		for _, near := range [2]float64{v, math.Floor(v*scale) / scale} {
			if text := strconv.FormatFloat(near, 'f', d, 64); d == most || keeps(text) {
				return text
			}
		}
	}
}

// RoundedApart writes a figure and the one it falls short of with so many decimals: to
// the nearest where they then differ, else the first rounded down and the second up.
func RoundedApart(less, more float64, decimals int) (string, string) {
	write := func(v float64) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	if a, b := write(less), write(more); a != b {
		return a, b
	}
	scale := math.Pow(10, float64(decimals))
	return write(math.Floor(less*scale) / scale), write(math.Ceil(more*scale) / scale)
}
