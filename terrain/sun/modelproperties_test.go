package sun

import (
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

func TestRefusals(t *testing.T) {
	good := DefaultClimate(46.5, 400)
	month := func(edit func(*ClimateMonth)) Climate {
		c := good
		edit(&c.Months[3])
		return c
	}
	site := Site{At: orb.Point{8, 46.5}}
	for name, c := range map[string]struct {
		s Site
		p Panel
		c Climate
	}{
		"place":        {Site{At: orb.Point{8, 95}}, Panel{}, good},
		"skyline NaN":  {Site{At: site.At, Skyline: skylineOf(4, uniform(math.NaN()))}, Panel{}, good},
		"tilt":         {site, Panel{TiltDeg: 181}, good},
		"azimuth":      {site, Panel{AzimuthDeg: math.Inf(1)}, good},
		"NOCT":         {site, Panel{NOCTK: 45}, good},
		"coefficient":  {site, Panel{PowerPerK: 0.4}, good},
		"reflectance":  {site, Panel{GroundReflectance: 2}, good},
		"too bright":   {site, Panel{}, month(func(m *ClimateMonth) { m.GlobalWhM2 = 120e3 })}, // a monthly sum
		"negative":     {site, Panel{}, month(func(m *ClimateMonth) { m.GlobalWhM2 = -1 })},
		"NaN":          {site, Panel{}, month(func(m *ClimateMonth) { m.GlobalWhM2 = math.NaN() })},
		"celsius":      {site, Panel{}, month(func(m *ClimateMonth) { m.AirK = 12 })},
		"swing":        {site, Panel{}, month(func(m *ClimateMonth) { m.AirSwingK = -1 })},
		"model factor": {site, Panel{}, Climate{Months: good.Months, ModelFactor: 1.5}},
	} {
		if _, err := Monthly(c.s, c.p, c.c); err == nil {
			t.Errorf("%s: no error from Monthly", name)
		}
		if _, err := Daily(c.s, c.p, c.c); err == nil {
			t.Errorf("%s: no error from Daily", name)
		}
	}
	day := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	if _, err := Sunlit(site, day, day); err == nil {
		t.Error("no time at all: no error")
	}
	if _, err := Sunlit(site, day, day.AddDate(2, 0, 0)); err == nil {
		t.Error("two years: no error")
	}
	if _, err := SunHours(site, 3000); err == nil {
		t.Error("year 3000: no error")
	}
}

// The mean of the days is the mean of the month, whatever the month; and they
// never fall.
func TestDayClearnessProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		km := rapid.Float64Range(0, 0.9).Draw(t, "mean")
		n := rapid.IntRange(28, 31).Draw(t, "days")
		days := dayClearness(km, n)
		sum, last := 0.0, 0.0
		for _, k := range days {
			if !(k >= last && k <= 1) {
				t.Fatalf("%v", days)
			}
			sum, last = sum+k, k
		}
		if !(math.Abs(sum/float64(n)-km) <= 1e-9) {
			t.Fatalf("mean %g, want %g", sum/float64(n), km)
		}
	})
}

// Brighter weather never brings less, a higher skyline never more.
func TestModelProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := orb.Point{0, rapid.Float64Range(-90, 90).Draw(t, "latitude")}
		p := Panel{TiltDeg: rapid.Float64Range(0, 180).Draw(t, "tilt"), AzimuthDeg: rapid.Float64Range(-360, 360).Draw(t,
			"azimuth")}
		h := rapid.Float64Range(0, 40).Draw(t, "skyline")
		kt := rapid.Float64Range(0.05, 0.7).Draw(t, "clearness")
		of := func(elevDeg, kt float64) MonthlyEnergy {
			var all [12]float64
			for i := range all {
				all[i] = kt
			}
			c := ClimateFromClearness(at[1], all)
			c.ModelFactor = 1
			r, err := newRun(Site{At: at, Skyline: skylineOf(36, uniform(elevDeg))}, p, c)
			if err != nil {
				t.Fatal(err)
			}
			return r.monthly()
		}
		base, hidden := of(h, kt), of(h+5, kt)
		for i, m := range base.Months {
			if !(m.PlaneWhM2 >= 0 && !math.IsInf(m.PlaneWhM2, 0)) || hidden.Months[i].PlaneWhM2 > m.PlaneWhM2+1e-9 {
				t.Fatalf("month %d: %g, with the skyline 5° higher %g", i, m.PlaneWhM2, hidden.Months[i].PlaneWhM2)
			}
		}
	})
}
