package sun

import "math"

// airSpreadK is the scale of the logistic distribution of the daily means of the air about the mean
// of a month of so many days, F(T) = 1/(1 + exp(-3.396 (T - Tm)/(s √n))), with s = 1.45 - 0.0290 Tm
// + 0.0664 sYear, sYear the standard deviation of the twelve monthly means: Erbs, Klein and
// Beckman, "Estimation of degree-days and ambient temperature bin data from monthly-average
// temperatures", ASHRAE Journal 25 (June 1983), as in Duffie and Beckman chapter 9 (from memory).
// It was fitted to stations of the United States; by the sea and in lee of mountains the air
// spreads less.
func airSpreadK(meanC, yearSpreadK float64, days int) float64 {
	return max(0.3, 1.45-0.0290*meanC+0.0664*yearSpreadK) * math.Sqrt(float64(days)) / 3.396
}

// dayAir is the course of the air over a day as a share of its range, the mean of the day being 0:
// a sine from just before sunrise, highest some hours after noon, falling off by an exponential
// from sunset on (Parton and Logan, "A model for diurnal variation in soil and air temperature",
// Agricultural Meteorology 23 (1981) 205-216, with their constants for air 1.5 m above ground).
type dayAir struct{ riseH, dayH, mean float64 }

// Lag of the warmest hour behind the middle of the day, h; decay in the night;
// coldest time after sunrise, h.
const airLagH, airDecay, airColdestH = 1.86, 2.20, -0.17

func newDayAir(sunsetDeg float64) dayAir {
	a := dayAir{dayH: 2 * sunsetDeg / 15}
	a.riseH = 12 - a.dayH/2
	for h := range 24 {
		a.mean += a.raw(float64(h)+0.5) / 24
	}
	return a
}

// raw is 0 at the coldest and 1 at the warmest time.
func (a *dayAir) raw(hour float64) float64 {
	if a.dayH < 1 {
		return 0 // polar night
	}
	day := func(hour float64) float64 {
		return math.Sin(math.Pi * max(0, hour-a.riseH-airColdestH) / (a.dayH + 2*airLagH))
	}
	if setH := a.riseH + a.dayH; hour < a.riseH+airColdestH || hour > setH {
		return day(setH) * math.Exp(-airDecay*math.Mod(hour-setH+24, 24)/(24-a.dayH))
	}
	return day(hour)
}

// bySun is how much of the range of a day is the sun's: the rest is weather that passes by. In the
// winter months of two typical years, the range of the mean hours over the mean range of the days:
// 0.76 to 0.87 (Boulder), 0.89 to 0.94 (Piedmont).
const bySun = 0.85

// at is the temperature at an hour of solar time, of a day of that mean and half
// that range.
func (a *dayAir) at(meanK, swingK, hour float64) float64 {
	return meanK + bySun*2*swingK*(a.raw(hour)-a.mean)
}

// airRangeK is the range of the air in a day at a clearness index: Erbs, Klein and
// Beckman (1983; from memory), whose fit is one of months.
func airRangeK(kt float64) float64 { return 25.8*kt - 5.21 }

// swingOfDays shares the swing of a month out to its days, given by their clearness kt: a bright
// day warms more, and its night cools more, than a dull one, by the relation of Bristow and
// Campbell, kt = 0.7 (1 - exp(-b range^2.4)), "On the relationship between incoming solar radiation
// and daily maximum and minimum temperature", Agricultural and Forest Meteorology 31 (1984) 159-166
// (from memory); b, which goes with place and month, cancels out. Days of more than 0.68 have the
// range of 0.68.
func swingOfDays(monthK float64, clearness []float64) []float64 {
	days := make([]float64, len(clearness))
	sum := 0.0
	for i, kt := range clearness {
		days[i] = math.Pow(-math.Log(1-min(kt, 0.68)/0.7), 1/2.4)
		sum += days[i]
	}
	for i := range days {
		if sum > 0 {
			days[i] *= monthK * float64(len(days)) / sum
		} else {
			days[i] = monthK // polar night
		}
	}
	return days
}

// The order of the days of a month. Both follow a wave over the month that is darkest and coldest
// where told (a share of the month), blurred by a low-discrepancy sequence: dark days come in a row
// but not all of them, and the cold comes as the dark week ends, as it does behind a front. The
// darkest seven days of a December of clearness 0.5 bring 0.3 of the month's mean on a steep panel:
// 0.54 and 0.25 to 0.72 did in the winter months of two typical years (Piedmont, Boulder). The
// daily means of the air follow each other with a correlation of 0.7 (0.6 to 0.7 in Richardson,
// Water Resources Research 17 (1981) 182-190; from memory) and go with the clearness by 0.36: -0.24
// to 0.61 in October to April of those years, least at midwinter, when clear days are the cold
// ones; 0.19 for the highest and -0.19 for the lowest temperature of the day is the mean of 31
// stations of the United States, rain aside (Richardson and Wright, WGEN, USDA ARS-8 (1984), by its
// matrices A and B). Within that the four numbers were chosen so that nodes fare on monthly means
// as on the hours of those two years, and never better where they die; they are no law.
const (
	darkestAt, coldestAt = 0.45, 0.62
	darkWave, coldWave   = 0.55, 1.5 // of the wave over the blur
)

// dayOrder returns which of the n days of a month, counted from the darkest and
// from the coldest, stands where.
func dayOrder(n int) (dark, cold []int) {
	order := func(at, wave, step float64) []int {
		score := make([]float64, n)
		for i := range score {
			blur := math.Mod(float64(i+1)*step, 1)
			score[i] = blur - wave*math.Cos(2*math.Pi*((float64(i)+0.5)/float64(n)-at))
		}
		rank := make([]int, n)
		for i := range score {
			for j := range score {
				if score[j] < score[i] || score[j] == score[i] && j < i {
					rank[i]++
				}
			}
		}
		return rank
	}
	// Two steps whose multiples fill 0 to 1 evenly and together (the plastic
	// number's).
	return order(darkestAt, darkWave, 0.7548776662466927), order(coldestAt, coldWave, 0.5698402909980532)
}

// airOfDays returns the daily means of a month of n days, coldest first.
func airOfDays(meanK, yearSpreadK float64, n int) []float64 {
	scale := airSpreadK(meanK-273.15, yearSpreadK, n)
	days := make([]float64, n)
	for i := range days {
		f := (float64(i) + 0.5) / float64(n)
		// The tails of the distribution end where no air has been.
		days[i] = min(325, max(195, meanK+scale*math.Log(f/(1-f))))
	}
	return days
}

// airYearSpreadK is the standard deviation of the twelve monthly means.
func (c *Climate) airYearSpreadK(latDeg float64) float64 {
	var sum, squares float64
	for m := range c.Months {
		meanK, _ := c.air(latDeg, m)
		sum += meanK
		squares += meanK * meanK
	}
	return math.Sqrt(max(0, squares/12-sum*sum/144))
}
