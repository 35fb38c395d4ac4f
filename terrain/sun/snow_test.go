package sun

import (
	"fmt"
	"testing"
)

// Published rows: the hand-calculated solution in the test suite of pvlib-python
// (tests/test_snow.py, BSD-3), tilt 20°, humidity 80 %, air 0 °C, 350 kWh/m² a
// month, slope 2.54 m, edge 0.254 m.
func TestSnowLossPublished(t *testing.T) {
	snow := [12]float64{25.4, 25.4, 12.7, 2.54, 0, 0, 0, 0, 0, 0, 12.7, 25.4}
	events := [12]float64{2, 2, 1, 0, 0, 0, 0, 0, 0, 0, 2, 3}
	want := [12]float64{0.07696253, 0.07992262, 0.06216201, 0.01715392, 0, 0, 0, 0, 0, 0, 0.02643821, 0.06068194}
	of := func(i int) snowMonth {
		return snowMonth{snowCM: snow[i], events: events[i], airK: 273.15, humidityPerc: 80, planeKWhM2: 350}
	}
	for i := range want {
		near(t, fmt.Sprintf("month %d", i+1), snowLoss(of(i), of((i+11)%12), 20, 2.54, 0.254), want[i], 1e-7)
	}
}

// Steep panels lose less, an upright one nothing; snow deeper than the edge takes
// no more than all.
func TestSnowByTilt(t *testing.T) {
	deep := snowMonth{snowCM: 150, events: 10, airK: 268, humidityPerc: 80, planeKWhM2: 40}
	last := 2.0
	for _, tilt := range []float64{0, 30, 60, 89} {
		loss := snowLoss(deep, deep, tilt, snowSlantM, snowEdgeM)
		if !(loss < last && loss >= 0 && loss <= 1) {
			t.Errorf("%g deg: %g after %g", tilt, loss, last)
		}
		last = loss
	}
	near(t, "upright", snowLoss(deep, deep, 90, snowSlantM, snowEdgeM), 0, 1e-12)
	if loss := snowLoss(deep, deep, 0, 1, 0.1); loss != 1 {
		t.Errorf("buried: %g", loss)
	}
}

// A climate that states snow loses it in the month and in the days of the model
// year alike, as days in a row; others are untouched.
func TestSnowOfTheClimate(t *testing.T) {
	var kt [12]float64
	for i := range kt {
		kt[i] = 0.5
	}
	bare := ClimateFromClearness(46.5, kt)
	for i := range bare.Months {
		bare.Months[i].AirK = 275
	}
	snowy := bare
	snowy.Months[0].SnowCM, snowy.Months[0].SnowDays = 60, 6
	p := Panel{TiltDeg: 30, AzimuthDeg: 180}
	sums := func(c Climate) (out [12]float64, days DailyEnergy) {
		days, err := Daily(benchSite, p, c)
		if err != nil {
			t.Fatal(err)
		}
		for i := range days.Days {
			out[days.Days[i].Month-1] += days.Days[i].PlaneWhM2()
		}
		return out, days
	}
	was, _ := sums(bare)
	is, days := sums(snowy)
	m, err := Monthly(benchSite, p, snowy)
	if err != nil || !m.SnowCounted {
		t.Fatal(err, m.SnowCounted)
	}
	b, _ := Monthly(benchSite, p, bare)
	loss := 1 - m.Months[0].PlaneWhM2/b.Months[0].PlaneWhM2
	if !(loss > 0.05 && loss < 0.9) || b.SnowCounted {
		t.Errorf("January loses %g", loss)
	}
	near(t, "January's days", is[0], was[0]*(1-loss), 1e-6*was[0])
	near(t, "June", is[5], was[5], 0)
	if !(is[1] < was[1]) { // a third of January's snow lies on
		t.Error("February loses nothing")
	}
	covered := 0
	for i := range 31 {
		if days.Days[i].PlaneWhM2() == 0 {
			covered++
		}
	}
	if covered < 2 {
		t.Errorf("%d days in a row without sun on the panel", covered)
	}
	snowy.Months[0].SnowDays = 40
	snowy.Months[1].SnowCM = -1
	snowy.Months[2].SnowCM = 10 // and no days
	if err := snowy.Check(46.5); err == nil {
		t.Error("nonsense accepted")
	}
}
