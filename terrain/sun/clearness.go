package sun

import "math"

// dayClearness returns the clearness indices of the n days of a month whose mean is km, darkest
// first: the quantiles (i-½)/n of the generalised distribution, scaled so that their mean is km
// (Liu and Jordan 1960; Bendt, Collares-Pereira and Rabl 1981; Hollands and Huget 1983; D&B 2.9.4
// to 2.9.6). The fit has no room for a mean below about 0.1 or above about 0.75: there all days are
// alike.
func dayClearness(km float64, n int) []float64 {
	days := make([]float64, n)
	const low = 0.05
	high := highestClearness(km)
	if !(km > 1.5*low) || !(high > km*1.02) {
		for i := range days {
			days[i] = km
		}
		return days
	}
	g := clearnessShape(km, low, high)
	sum := 0.0
	for i := range days {
		f := (float64(i) + 0.5) / float64(n)
		if math.Abs(g) < 1e-6 {
			days[i] = low + f*(high-low) // the limit for g = 0
		} else {
			atLow, atHigh := math.Exp(g*low), math.Exp(g*high)
			days[i] = math.Log(atLow-f*(atLow-atHigh)) / g
		}
		sum += days[i]
	}
	for i := range days {
		days[i] *= km * float64(n) / sum
	}
	return days
}

// highestClearness is the clearness index of the brightest day (D&B 2.9.6).
func highestClearness(km float64) float64 {
	return 0.6313 + 0.267*km - 11.9*math.Pow(km-0.75, 8)
}

// clearnessShape is the exponent γ of the distribution (D&B 2.9.5).
func clearnessShape(km, low, high float64) float64 {
	xi := (high - low) / (high - km)
	return -1.498 + (1.184*xi-27.182*math.Exp(-1.5*xi))/(high-low)
}
