package linkbudget

import "fmt"

// PercentText writes a probability, 0 to 1, in whole percent without the sign. It
// never rounds a doubt away: nothing is 100 or 0 %, but ">99" and "<1".
func PercentText(p float64) string {
	switch {
	case p >= 0.995:
		return ">99"
	case p <= 0.005:
		return "<1"
	}
	return fmt.Sprintf("%.0f", 100*p)
}
