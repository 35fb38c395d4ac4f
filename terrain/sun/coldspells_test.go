package sun

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// The published distribution, written down a second time as the share of days
// below a temperature: on each quantile it must give back the quantile. By hand
// for Boulder's January (mean -1.0, year's spread 8.6 K): s = 2.05 K, a standard
// deviation of the days of 6.1 K; the typical year of Boulder has 7.5, 5.8, 6.5
// in January, February, December.
func TestDaysOfAirFollowTheDistribution(t *testing.T) {
	const meanC, spreadK, n = -1.0, 8.6, 31
	s := 1.45 - 0.0290*meanC + 0.0664*spreadK
	days := airOfDays(meanC+273.15, spreadK, n)
	sum, squares := 0.0, 0.0
	for i, k := range days {
		c := k - 273.15
		below := (1 + math.Tanh(1.698*(c-meanC)/(s*math.Sqrt(n)))) / 2
		near(t, fmt.Sprintf("share below day %d", i+1), below, (float64(i)+0.5)/n, 1e-9)
		sum, squares = sum+c/n, squares+(c-meanC)*(c-meanC)/n
	}
	near(t, "mean", sum, meanC, 1e-9)
	near(t, "standard deviation", math.Sqrt(squares), 6.1, 0.3)
}

// The day's course: its mean is that of the day, it is coldest about sunrise and
// warmest some hours after noon; by hand from the formula for a day of 9.5 h,
// (9.5 + 2 x 1.86)/2 h after the coldest time.
func TestCourseOfTheDay(t *testing.T) {
	a := newDayAir(71.25)
	near(t, "sunrise", a.riseH, 7.25, 1e-9)
	sum, warmest, coldest := 0.0, 0.0, 0.0
	const steps = 24 * 60
	for i := range steps {
		h := (float64(i) + 0.5) / 60
		k := a.at(280, 5, h)
		sum += k / steps
		if k > a.at(280, 5, warmest) {
			warmest = h
		}
		if k < a.at(280, 5, coldest) {
			coldest = h
		}
	}
	near(t, "mean", sum, 280, 0.1)
	near(t, "warmest", warmest, 7.25-0.17+(9.5+3.72)/2, 0.02)
	near(t, "coldest", coldest, 7.25-0.17, 0.02)
	near(t, "range", a.at(280, 5, warmest)-a.at(280, 5, coldest), 8.5, 0.05)
	for _, sunset := range []float64{0, 3, 179, 180} {
		for h := range 24 {
			b := newDayAir(sunset)
			if k := b.at(280, 5, float64(h)); !(k >= 270 && k <= 290) {
				t.Errorf("sunset at %g deg, hour %d: %g K", sunset, h, k)
			}
		}
	}
}

// Every day stands in the month once, the darkest week is dark, the coldest one
// cold, and they are not the same days.
func TestDarkWeekAndColdSpell(t *testing.T) {
	for _, n := range []int{28, 30, 31} {
		dark, cold := dayOrder(n)
		week := func(rank []int) (at int, mean float64) {
			mean = math.Inf(1)
			for i := 0; i+7 <= n; i++ {
				sum := 0
				for _, r := range rank[i : i+7] {
					sum += r
				}
				if m := float64(sum) / 7; m < mean {
					at, mean = i, m
				}
			}
			return at, mean
		}
		darkAt, darkRank := week(dark)
		coldAt, coldRank := week(cold)
		// All seven at the bottom would have a mean rank of 3, no order one of n/2.
		if !(darkRank < float64(n)/3 && darkRank > 4) || !(coldRank < float64(n)/4) || coldAt < darkAt+2 {
			t.Errorf("%d days: dark from %d, rank %g; cold from %d, rank %g", n, darkAt, darkRank, coldAt, coldRank)
		}
		for _, ranks := range [][]int{dark, cold} {
			sorted := slices.Sorted(slices.Values(ranks))
			for i, r := range sorted {
				if r != i {
					t.Fatalf("%d days: %v", n, ranks)
				}
			}
		}
	}
}

// The swing of the days has the mean of the month; beside each other they stand as in
// the published relation, put the other way round: the clearness that each range
// asks for, with one b for the month. Then a dull and a bright day by hand: ln(1/(1 -
// 0.2/0.7)) = 0.336 and ln(1/(1 - 0.6/0.7)) = 1.946 to the power 1/2.4 are 1 to 2.077.
func TestBrightDaysSwingMore(t *testing.T) {
	clearness := dayClearness(0.45, 31)
	days := swingOfDays(5, clearness)
	sum := 0.0
	b := -math.Log(1-clearness[15]/0.7) / math.Pow(days[15], 2.4)
	for i, k := range days {
		sum += k / 31
		if clearness[i] < 0.68 {
			near(t, fmt.Sprintf("clearness of day %d", i), 0.7*(1-math.Exp(-b*math.Pow(k, 2.4))), clearness[i], 1e-9)
		}
	}
	near(t, "mean", sum, 5, 1e-9)
	two := swingOfDays(3, []float64{0.2, 0.6})
	near(t, "bright over dull", two[1]/two[0], 2.077, 0.001)
	for _, dark := range swingOfDays(2, make([]float64, 30)) {
		near(t, "polar night", dark, 2, 0)
	}
}

// What the order of the days is said to be: how the days follow each other, and how
// the air goes with the sun.
func TestOrderOfDaysCorrelates(t *testing.T) {
	const n = 31
	dark, cold := dayOrder(n)
	clearness, air := dayClearness(0.55, n), airOfDays(273.15, 8.6, n)
	var kt, airK [n]float64
	for i := range n {
		kt[i], airK[i] = clearness[dark[i]], air[cold[i]]
	}
	near(t, "air, day after day", correlation(airK[1:], airK[:n-1]), 0.7, 0.05)
	near(t, "air with sun", correlation(airK[:], kt[:]), 0.36, 0.02)
}

func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var sx, sy, sxx, syy, sxy float64
	for i := range x {
		sx, sy, sxx, syy, sxy = sx+x[i], sy+y[i], sxx+x[i]*x[i], syy+y[i]*y[i], sxy+x[i]*y[i]
	}
	return (sxy - sx*sy/n) / math.Sqrt((sxx-sx*sx/n)*(syy-sy*sy/n))
}

// A year of means has the means it was made from, and frost where a mean day has
// none.
func TestYearOfMeansKeepsTheMeans(t *testing.T) {
	var kt [12]float64
	for i := range kt {
		kt[i] = 0.45
	}
	c := ClimateFromClearness(46.5, kt)
	for i := range c.Months {
		c.Months[i].AirK, c.Months[i].AirSwingK = 280+10*math.Sin(float64(i-3)*30*deg), 4
	}
	year, err := Daily(benchSite, workedPanel, c)
	if err != nil {
		t.Fatal(err)
	}
	var airK, globalWh, days [12]float64
	frost := 0
	for i := range year.Days {
		d := &year.Days[i]
		cold := false
		for _, h := range d.Hours {
			airK[d.Month-1] += h.AirK / 24
			globalWh[d.Month-1] += h.GlobalWM2
			cold = cold || h.AirK < 273.15
		}
		days[d.Month-1]++
		if cold && d.Month == 10 { // mean 7 C, coldest hour of the mean day about 3 C
			frost++
		}
	}
	for m := range c.Months {
		near(t, fmt.Sprintf("air of month %d", m+1), airK[m]/days[m], c.Months[m].AirK, 1e-6)
		near(t, fmt.Sprintf("sun of month %d", m+1), globalWh[m]/days[m], c.Months[m].GlobalWhM2, 1e-6*c.Months[m].GlobalWhM2)
	}
	if !(frost >= 2 && frost <= 12) {
		t.Errorf("frost on %d days of October", frost)
	}
}
