package power

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// drawnAir is the air of an exposure with the daily means of each month drawn anew,
// independent of the sun: as wide as they were, each like the day before with a
// correlation of 0.7, and with the same mean of the month. The lag-1 correlation is
// that of daily temperatures in Richardson, Water Resources Research 17 (1981) 182-190
// (0.6 to 0.7; from memory), and 0.4 to 0.83 in the winter months of Boulder.
func drawnAir(air []Air, random *rand.Rand) []Air {
	const lag1 = 0.7
	drawn := make([]Air, len(air))
	for from := 0; from < len(air); {
		to := from
		var sum, squares float64
		for ; to < len(air) && air[to].Month == air[from].Month; to++ {
			c := air[to].MeanC()
			sum, squares = sum+c, squares+c*c
		}
		n := float64(to - from)
		// Less the variance of the mean of n such days, which is taken off below.
		offVariance := 1 - ((1+lag1)/(1-lag1)-2*lag1*(1-math.Pow(lag1, n))/n/(1-lag1)/(1-lag1))/n
		spreadK := math.Sqrt((squares/n - sum*sum/n/n) / offVariance)
		off := make([]float64, to-from)
		offMean := 0.0
		for i := range off {
			if off[i] = random.NormFloat64(); i > 0 {
				off[i] = lag1*off[i-1] + math.Sqrt(1-lag1*lag1)*off[i]
			}
			offMean += off[i] / n
		}
		for i := range off {
			drawn[from+i] = air[from+i]
			by := sum/n + spreadK*(off[i]-offMean) - air[from+i].MeanC()
			for h := range drawn[from+i].HourC {
				drawn[from+i].HourC[h] += by
			}
		}
		from = to
	}
	return drawn
}

// What monthly means leave open: winters drawn at random with the same means and the
// same sun differ from each other in what frost takes. In each month of frost the
// year of hours lies within 2.5 standard deviations of the draws, what is told from
// means within 2. One standard deviation is 5 to 9 % of what can be charged in the
// month, so that no rule made of means can promise 15 % in every one. This is asked of
// panels towards the south, where that promise fails; towards the east the frost of
// December is drawn too high, as the first hour after sunrise gets too much sun
// (Boulder: 133 for 97 W/m² on the panel at 60 degrees), and it is printed only.
func TestFrostOfAMonthIsADraw(t *testing.T) {
	if testing.Short() {
		t.Skip("years of hours")
	}
	w := winter(t, winters[0])
	hours, means := exposureAt(t, w, WeatherOfFiles(w)), exposureAt(t, w, WeatherOf(meansOf(w)))
	random := rand.New(rand.NewPCG(16, 5))
	const draws = 200
	drawn := make([]Exposure, draws)
	for i := range drawn {
		drawn[i] = means
		drawn[i].Air = drawnAir(means.Air, random)
	}
	share := func(m MonthBalance) float64 { return m.ColdLostWh / (m.GainWh + m.ColdLostWh) }
	for _, azimuth := range []float64{180, 90} {
		s := winterNodes()[fmt.Sprintf("5 W at 60 towards %g, 3 cells, 10 mA", azimuth)]
		byHours, byMeans := survey(t, s, hours), survey(t, s, means)
		var sum, squares [12]float64
		for _, e := range drawn {
			for m, b := range survey(t, s, e).Months {
				sum[m] += share(b) / draws
				squares[m] += share(b) * share(b) / draws
			}
		}
		for m := range sum {
			actual, told := share(byHours.Months[m]), share(byMeans.Months[m])
			if actual < 0.1 {
				continue
			}
			spread := math.Sqrt(squares[m] - sum[m]*sum[m])
			t.Logf("towards %g, %s: frost takes %.2f by hours, %.2f by means, %.2f ± %.2f drawn; "+
				"that is ± %.0f %% of the gain", azimuth, MonthName(m+1), actual, told, sum[m], spread, 100*spread/(1-sum[m]))
			if azimuth == 180 && (math.Abs(actual-sum[m]) > 2.5*spread || math.Abs(told-sum[m]) > 2*spread) {
				t.Errorf("towards %g, %s: not among the winters drawn", azimuth, MonthName(m+1))
			}
		}
	}
}

// dealtLike is the air of an exposure with the daily means of each month dealt out
// anew: the day that is the k-th darkest of the month is as cold among its days as
// the k-th darkest of another year is among its own. Both have 365 days.
func dealtLike(e Exposure, level []DaySun, other Exposure, otherLevel []DaySun) []Air {
	dealt := slices.Clone(e.Air)
	for month := 1; month <= 12; month++ {
		ranked := func(by func(day int) float64) []int {
			var days []int
			for d := range e.Air {
				if e.Air[d].Month == month {
					days = append(days, d)
				}
			}
			slices.SortStableFunc(days, func(a, b int) int { return cmp.Compare(by(a), by(b)) })
			return days
		}
		dark := ranked(func(d int) float64 { return level[d].KWhM2() })
		cold := ranked(func(d int) float64 { return e.Air[d].MeanC() })
		otherDark := ranked(func(d int) float64 { return otherLevel[d].KWhM2() })
		otherCold := ranked(func(d int) float64 { return other.Air[d].MeanC() })
		for k, d := range dark {
			by := e.Air[cold[slices.Index(otherCold, otherDark[k])]].MeanC() - e.Air[d].MeanC()
			for h := range dealt[d].HourC {
				dealt[d].HourC[h] += by
			}
		}
	}
	return dealt
}

// Why Boulder's January is missed: not for its sun, nor for how cold its days are, but
// for which of them are the cold ones. Given that of the hours and nothing else, every
// panel gains within 15 % in January.
func TestJanuaryIsMissedForItsOrder(t *testing.T) {
	w := winter(t, winters[0])
	hours, means := exposureAt(t, w, WeatherOfFiles(w)), exposureAt(t, w, WeatherOf(meansOf(w)))
	level := func(e Exposure) []DaySun {
		days, err := e.Sun(Plane{0, 180})
		if err != nil {
			t.Fatal(err)
		}
		return days
	}
	dealt := means
	dealt.Air = dealtLike(means, level(means), hours, level(hours))
	for _, azimuth := range []float64{180, 90} {
		for _, tilt := range []float64{30, 60, 90} {
			s := winterNodes()[fmt.Sprintf("5 W at %g towards %g, 3 cells, 10 mA", tilt, azimuth)]
			january := survey(t, s, hours).Months[0].GainWh
			told, after := survey(t, s, means).Months[0].GainWh/january, survey(t, s, dealt).Months[0].GainWh/january
			t.Logf("%g towards %g: January's gain by means %.2f of that by hours, with the order of the hours %.2f", tilt,
				azimuth, told, after)
			if !(after >= 0.85 && after <= 1.15) {
				t.Errorf("%g towards %g: not for its order", tilt, azimuth)
			}
		}
	}
}
