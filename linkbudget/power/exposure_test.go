package power

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/sun"
)

func TestExposureOfTheMeanYear(t *testing.T) {
	e, err := ExposureOf(sun.Site{At: orb.Point{8, 46.5}}, quick(System{}).Weather(100), 100)
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Air) != 365 || e.Validate() != nil || !strings.Contains(e.Basis, "monthly means") {
		t.Errorf("%d days, %v, %s", len(e.Air), e.Validate(), e.Basis)
	}
	meanC := 0.0
	for i := range 31 {
		meanC += e.Air[i].MeanC() / 31
	}
	near(t, "mean", meanC, 8, 0.01)
	// The sun across the rays at a clear midsummer noon, 67 degrees high. ASTM G173
	// has 1000 W/m² on a plane tilted by 37 degrees, 5 degrees off the rays, at an air
	// mass of 1.5, of it 900 of the beam; here the air mass is 1.1.
	near(t, "midsummer peak", e.Air[171].PeakWm2, 1030, 40)
	// In December's sun, 20 degrees high, the level gets a third of that.
	if december := e.Air[355].PeakWm2; !(december > 600 && december < 900) {
		t.Errorf("midwinter peak %g", december)
	}
	boom := errors.New("boom")
	bad := Weather{Daily: func(sun.Site, sun.Panel) (sun.DailyEnergy, error) { return sun.DailyEnergy{}, boom }}
	if _, err := ExposureOf(sun.Site{}, bad, 0); !errors.Is(err, boom) {
		t.Errorf("%v", err)
	}
}

// The box sees the sun across its rays: in a measured hour with a low sun, beam and
// sky, not the level's share of the beam.
func TestPeakOfALowSun(t *testing.T) {
	w := &sun.Weather{Name: "made up", At: orb.Point{8, 46.5}, ZoneH: 0.5333, Hours: make([]sun.WeatherHour, 8760)}
	start := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range w.Hours {
		at := start.Add(time.Duration(i) * time.Hour)
		w.Hours[i] = sun.WeatherHour{Month: at.Month(), DayOfMonth: at.Day(), Hour: at.Hour() + 1, AirK: 280}
		if at.Hour() == 12 {
			w.Hours[i].BeamWM2, w.Hours[i].DiffuseWM2, w.Hours[i].GlobalWM2 = 700, 60, 300
		}
	}
	e, err := ExposureOf(sun.Site{At: w.At}, WeatherOfFiles(w), 100)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "peak", e.Air[355].PeakWm2, 760, 1e-9)
}

// A weather file is followed in its own order with its own temperatures.
func TestExposureOfAWeatherFile(t *testing.T) {
	w := &sun.Weather{Name: "made up", At: orb.Point{8, 46.5}, ZoneH: 0.5333}
	for d := range 365 {
		for h := range 24 {
			hour := sun.WeatherHour{Month: monthOf(d), DayOfMonth: 1, Hour: h + 1, AirK: 263.15 + float64(h)}
			if h >= 10 && h < 14 {
				hour.GlobalWM2, hour.DiffuseWM2 = 100, 100
			}
			w.Hours = append(w.Hours, hour)
		}
	}
	e, err := ExposureOf(sun.Site{At: w.At}, WeatherOfFiles(w), 100)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hour 5", e.Air[100].HourC[5], -5, 1e-9)
	near(t, "peak", e.Air[100].PeakWm2, 100, 1e-9)
	r := survey(t, worked(2, Tracking), e)
	// Hours 10 to 13 lie at 0 to 3 C: all sun is charged.
	near(t, "cold", r.Months[0].ColdLostWh, 0, 0)
	if !(r.Months[0].GainWh > 0) {
		t.Error("no gain")
	}
	// Two years of it have the same months, and are told as two.
	two, err := ExposureOf(sun.Site{At: w.At}, WeatherOfFiles(w, w), 100)
	if err != nil || len(two.Air) != 730 || !strings.Contains(two.Basis, "2 years") || !strings.Contains(e.Basis,
		"single year") {
		t.Errorf("%d days, %q, %q, %v", len(two.Air), two.Basis, e.Basis, err)
	}
	// A pole 500 m above the weather is 3.25 K colder, and that is said.
	if high, err := ExposureOf(sun.Site{At: w.At}, WeatherOfFiles(w), w.HeightM+500); err != nil ||
		!strings.Contains(high.Basis, "500 m lower, about 3.2 K warmer") || strings.Contains(e.Basis, "lower") ||
		!strings.Contains(e.Basis, "snow on the panel is not modelled") {
		t.Errorf("%q, %q, %v", high.Basis, e.Basis, err)
	}
	near(t, "two years", survey(t, worked(2, Tracking), two).Months[0].GainWh, r.Months[0].GainWh, 1e-9)
	months, err := WeatherOfFiles(w, w).Monthly(sun.Site{At: w.At}, sun.Panel{TiltDeg: 60, AzimuthDeg: 180})
	if err != nil || !(months.Months[0].PlaneWhM2 > 0) {
		t.Errorf("%+v, %v", months.Months[0], err)
	}
}
