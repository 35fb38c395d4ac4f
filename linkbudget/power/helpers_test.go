package power

import (
	"math"
	"testing"
	"time"
)

// near fails for NaN too.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.6g, want %.6g ± %g", what, got, want, tol)
	}
}

// worked is the invented site of the worked example: 3 W, Vmp 6.0 V, cells of
// 3.0 Ah, 25 mA at 3.7 V, capacity at 0 C by the sheet's curve.
func worked(cells int, kind ChargerKind) System {
	return System{
		Panels:  []Panel{NewPanel(3, Plane{60, 180})},
		Charger: Charger{Kind: kind},
		Bank:    Bank{Cells: cells, CapacityAh: 3, Curve: sheetCurve()},
		Load:    Load{MeasuredA: 0.025},
	}
}

// flat is a spot with the same sun on every day and any panel, four hours
// around noon, in air that stays at one temperature.
func flat(days int, kwhM2, airC float64) Exposure {
	var e Exposure
	sun := make([]DaySun, days)
	for i := range days {
		e.Air = append(e.Air, airOf(i*12/days+1, airC, 0, 900))
		for h := 10; h < 14; h++ {
			sun[i][h] = kwhM2 / 4
		}
	}
	e.Sun = func(Plane) ([]DaySun, error) { return sun, nil }
	return e
}

// airOf is a day whose hours follow a wave of halfK about a mean, warmest at 15 h.
func airOf(month int, meanC, halfK, peakWm2 float64) Air {
	a := Air{Month: month, PeakWm2: peakWm2}
	for h := range a.HourC {
		a.HourC[h] = meanC + halfK*math.Cos((float64(h)+0.5-15)*15*math.Pi/180)
	}
	return a
}

// december is flat within one month of 31 days.
func december(kwhM2, airC float64) Exposure {
	e := flat(31, kwhM2, airC)
	for i := range e.Air {
		e.Air[i].Month = 12
	}
	return e
}

func survey(t testing.TB, s System, e Exposure) Result {
	t.Helper()
	r, err := Survey(s, e)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// monthOf is the month of a day of the year, counted from 0.
func monthOf(day int) time.Month {
	return time.Date(2025, 1, 1+day, 0, 0, 0, 0, time.UTC).Month()
}

// sheetCurve is the curve of the INR18650-15L datasheet at 10 A.
func sheetCurve() []CapacityPoint {
	return []CapacityPoint{{25, 1}, {0, 0.80}, {-10, 0.75}, {-20, 0.60}}
}
