package power

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/polereach/polereach/terrain/sun"
)

// Two typical years, one with much frost and one with long fog.
var winters = []string{"boulder_tmy2.epw.gz", "pvgis_tmy_45_8.epw.gz"}

func winter(t testing.TB, name string) *sun.Weather {
	t.Helper()
	dir := os.Getenv("POLEREACH_WEATHER_DIR")
	if dir == "" {
		t.Skip("POLEREACH_WEATHER_DIR is not set: no year of hours to hold the verdict against")
	}
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w, err := sun.ReadWeather(f, sun.WeatherOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// meansOf takes the monthly means out of a year of hours, as a climate table would
// give them: the sun, the air, half the range from the mean maximum to the mean
// minimum of the days.
func meansOf(w *sun.Weather) sun.Climate {
	c := sun.Climate{Source: "monthly means of " + w.Name, HeightM: w.HeightM}
	var days, highK, lowK [12]float64
	for d := range len(w.Hours) / 24 {
		hours := w.Hours[24*d : 24*d+24]
		m := &c.Months[hours[0].Month-1]
		high, low := 0.0, math.Inf(1)
		for _, h := range hours {
			m.GlobalWhM2 += h.GlobalWM2
			m.AirK += h.AirK / 24
			high, low = max(high, h.AirK), min(low, h.AirK)
		}
		i := hours[0].Month - 1
		days[i]++
		highK[i], lowK[i] = highK[i]+high, lowK[i]+low
	}
	for i := range c.Months {
		m := &c.Months[i]
		m.GlobalWhM2, m.AirK = m.GlobalWhM2/days[i], m.AirK/days[i]
		m.AirSwingK = (highK[i] - lowK[i]) / days[i] / 2
	}
	return c
}

// winterNodes are 72: panels of 2 and 5 W, tilts of 30, 60 and 90 degrees, south and
// east, one and three cells of 3 Ah, 10, 25 and 60 mA.
func winterNodes() map[string]System {
	nodes := map[string]System{}
	for _, peakW := range []float64{2, 5} {
		for _, tilt := range []float64{30, 60, 90} {
			for _, azimuth := range []float64{180, 90} {
				for _, cells := range []int{1, 3} {
					for _, mA := range []float64{10, 25, 60} {
						nodes[fmt.Sprintf("%g W at %g towards %g, %d cells, %g mA", peakW, tilt, azimuth, cells, mA)] = System{
							Panels: []Panel{NewPanel(peakW, Plane{tilt, azimuth})},
							Bank:   Bank{Cells: cells, CapacityAh: 3, SelfDischargePerMonth: DefaultSelfDischargePerMonth},
							Load:   Load{MeasuredA: mA / 1000},
						}
					}
				}
			}
		}
	}
	return nodes
}

func exposureAt(t testing.TB, w *sun.Weather, weather Weather) Exposure {
	t.Helper()
	e, err := ExposureOf(sun.Site{At: w.At}, weather, w.HeightM)
	if err != nil {
		t.Fatal(err)
	}
	e.Sun = remembered(e.Sun)
	return e
}

// Monthly means know no cold spell and no dark week; they are put in. Beside the
// hours that the means were taken from: no node lives by means that dies by hours,
// the verdict is the same for 34 of 40, and the sun of every month is worth as much
// within 15 %, frost and heat aside. So is what can be charged, but for the panels
// towards the south in Boulder's January: its clear days are cold, and it is told up to
// a third too high (see TestJanuaryIsMissedForItsOrder, TestFrostOfAMonthIsADraw).
func TestMeansAgreeWithTheirHours(t *testing.T) {
	if testing.Short() {
		t.Skip("years of hours")
	}
	for i, name := range winters {
		w := winter(t, name)
		hours, means := exposureAt(t, w, WeatherOfFiles(w)), exposureAt(t, w, WeatherOf(meansOf(w)))
		agree, near15, months := 0, 0, 0
		least, most := math.Inf(1), 0.0
		leastSun, mostSun := math.Inf(1), 0.0
		worth := func(m MonthBalance) float64 { return m.GainWh + m.ColdLostWh + m.HotLostWh }
		nodes := winterNodes()
		for node, s := range nodes {
			byHours, byMeans := survey(t, s, hours), survey(t, s, means)
			if byHours.Verdict == byMeans.Verdict {
				agree++
			}
			if byHours.Verdict == Dies && byMeans.Verdict == Lives {
				t.Errorf("%s, %s: dies by hours, lives by means", w.Name, node)
			}
			for m := range byHours.Months {
				ratio := byMeans.Months[m].GainWh / byHours.Months[m].GainWh
				least, most = min(least, ratio), max(most, ratio)
				bySun := worth(byMeans.Months[m]) / worth(byHours.Months[m])
				leastSun, mostSun = min(leastSun, bySun), max(mostSun, bySun)
				months++
				if ratio >= 0.85 && ratio <= 1.15 {
					near15++
				} else if cold := i == 0 && m == 0 && s.Panels[0].AzimuthDeg == 180; !cold || !(ratio < 4./3) {
					t.Errorf("%s, %s, %s: gain by means %.2f of that by hours", w.Name, node, MonthName(m+1), ratio)
				}
			}
		}
		t.Logf("%s: the same verdict for %d of %d; gain by means %.2f to %.2f of that by hours, within 15 %% in %d of %d "+
			"months; without frost and heat %.2f to %.2f", w.Name, agree, len(nodes), least, most, near15, months, leastSun,
			mostSun)
		if !(leastSun >= 0.85 && mostSun <= 1.15) {
			t.Errorf("%s: the sun by means %.2f to %.2f of that by hours", w.Name, leastSun, mostSun)
		}
		if agree*40 < 34*len(nodes) {
			t.Errorf("%s: the same verdict for %d of %d", w.Name, agree, len(nodes))
		}
	}
}

// booked follows a year a second time, from the same sun and air, written for this
// test: the state is what is missing from full in ampere hours; in each hour the
// load is taken first, then the charge given; temperatures and shares come from a
// table of their own. Three years of it, the last counts.
func booked(s System, e Exposure, sunScale, colderK float64) (emptyHours int, lowest float64) {
	p := s.Panels[0]
	days, err := e.Sun(p.Plane)
	if err != nil {
		panic(err)
	}
	fullAh := float64(s.Bank.Cells) * s.Bank.CapacityAh * 0.8
	keeps := func(c float64) float64 { // of the full bank, at c degrees
		points := [][2]float64{{25, 0}, {0, 0.15}, {-10, 0.25}, {-20, 0.40}, {-40, 0.70}}
		for i := 1; i < len(points); i++ {
			if a, b := points[i-1], points[i]; c >= b[0] {
				return max(0, a[1]+(b[1]-a[1])*(a[0]-c)/(a[0]-b[0]))
			}
		}
		return 0.7
	}
	missingAh := 0.0
	for year := range 3 {
		emptyHours, lowest = 0, 1
		for d := range days {
			for h, sun := range days[d] {
				airC := e.Air[d].HourC[h] - colderK
				missingAh += fullAh * 0.03 / 720 * (1 - missingAh/fullAh) // it leaks
				left := fullAh*(1-keeps(airC)) - missingAh
				if left < s.Load.MeasuredA {
					// The sun of the hour may still feed the node.
					left += charge(p, sun*sunScale, airC, e.Air[d].HourC[h])
				}
				if left < s.Load.MeasuredA-1e-9 {
					emptyHours++
					missingAh += max(0, min(left, s.Load.MeasuredA))
				} else {
					missingAh += s.Load.MeasuredA
				}
				missingAh = max(0, missingAh-charge(p, sun*sunScale, airC, e.Air[d].HourC[h]))
				lowest = min(lowest, max(0, fullAh*(1-keeps(airC))-missingAh)/fullAh)
			}
		}
		_ = year
	}
	return emptyHours, lowest
}

// charge is what a 6 V panel gives a cell through a linear charger in an hour, Ah.
func charge(p Panel, kWhM2, cellC, airC float64) float64 {
	if cellC < 0 || airC+3*min(1, 2*kWhM2) > 45 {
		return 0
	}
	return p.PeakW / 6 * kWhM2 * 0.95 * 0.95 * 0.98 * 0.95 * 0.99
}

// The hours without power and the lowest charge, as computed and in both doubts,
// within 5 % of the second bookkeeping.
func TestSecondBookkeeping(t *testing.T) {
	if testing.Short() {
		t.Skip("years of hours")
	}
	for _, name := range winters {
		w := winter(t, name)
		for _, weather := range []Weather{WeatherOfFiles(w), WeatherOf(meansOf(w))} {
			e := exposureAt(t, w, weather)
			farthest, hours, died := 0.0, 0, 0
			for node, s := range winterNodes() {
				r := survey(t, s, e)
				for _, run := range []struct {
					name     string
					run      Run
					scale, k float64
				}{{"as computed", r.Mid, 1, 0}, {"poor", r.Low, 0.7, 0}, {"rich", r.High, 1.3, 0}, {"poor and cold", r.Cold,
					0.7, 3}} {
					empty, lowest := booked(s, e, run.scale, run.k)
					if off := len(run.run.EmptyOn) - empty; math.Abs(float64(off)) > 0.05*float64(empty)+2 {
						t.Errorf("%s, %s, %s: %d hours empty, %d by the second book", w.Name, node, run.name, len(run.run.EmptyOn), empty)
					} else if hours = max(hours, off, -off); empty > 0 != (len(run.run.EmptyOn) > 0) {
						t.Errorf("%s, %s, %s: empty by one book only", w.Name, node, run.name)
					}
					off := run.run.LowestWh/r.CapacityWh - lowest
					if farthest = max(farthest, math.Abs(off)); math.Abs(off) > 0.05 {
						t.Errorf("%s, %s, %s: lowest charge %.3f of the bank, %.3f by the second book", w.Name, node, run.name,
							run.run.LowestWh/r.CapacityWh, lowest)
					}
					if empty > 0 {
						died++
					}
				}
			}
			t.Logf("%s: lowest charge within %.4f of the bank, empty hours within %d; %d runs of 288 run empty", w.Name,
				farthest, hours, died)
		}
	}
}

// A year of hours: the sun on the panel and the verdict. Wanted: under 50 ms.
func BenchmarkYearOfHours(b *testing.B) {
	w := winter(b, winters[1])
	for b.Loop() {
		e, err := ExposureOf(sun.Site{At: w.At}, WeatherOfFiles(w), w.HeightM)
		if err != nil {
			b.Fatal(err)
		}
		survey(b, worked(3, Tracking), e)
	}
}
