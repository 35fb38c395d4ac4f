package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
)

// sightline is that of an official case.
func sightline(c official.Case) Sightline {
	return Sightline{
		DistM: c.DistM, GroundM: c.GroundM,
		AHeightM: c.Value["hts (m)"], BHeightM: c.Value["hrs (m)"],
		EffectiveRadiusM: c.Value["ae (km)"] * 1e3,
		WavelengthM:      radio.WavelengthM(c.Value["f (GHz)"] * 1e9),
	}
}

// Every official case at its own percentage of time (1, 10, 20 and 50): theta
// (eq 82), L_bs (eq 44-45) from the profile on, and L_bc (eq 63).
func TestTroposcatterOfficial(t *testing.T) {
	for _, c := range official.P1812(t) {
		v := c.Value
		aRad, bRad, _, _ := sightline(c).HorizonAngles()
		scatter := Troposcatter{
			DistM: v["d (km)"] * 1e3, FreqHz: v["f (GHz)"] * 1e9,
			EffectiveRadiusM: v["ae (km)"] * 1e3, AHorizonRad: aRad, BHorizonRad: bRad,
			SurfaceRefractivity: v["N0"], TimePercent: v["p (%)"],
		}
		check.Near(t, c.Name+" theta", scatter.AngularDistanceRad()*1e3, v["th (mrad)"], 1e-6)
		check.Near(t, c.Name+" L_bs", float64(scatter.Loss()), v["Lbs (dB)"], 1e-6)
		check.Near(t, c.Name+" L_bc", float64(CombineTroposcatter(radio.DB(v["Lbam (dB)"]), radio.DB(v["Lbs (dB)"]))),
			v["Lbc (dB)"], 1e-6)
	}
}

// Published: ITU-R P.1812-6 validation; the angle and L_bd50 as printed there.
func TestTroposcatterPublished(t *testing.T) {
	for _, row := range []struct {
		name           string
		freqHz         float64
		bd50, bs, want radio.DB
	}{
		{"5t rburg_urban_with_clutter_3", 0.5e9, 210.7036665, 203.9510182, 203.8562392},
		{"5u rburg_rural_noclutter_3", 98.2e6, 172.4449411, 182.9025767, 172.4274236},
	} {
		scatter := Troposcatter{
			DistM: 96.2e3, FreqHz: row.freqHz, EffectiveRadiusM: 8930.776786e3,
			AHorizonRad: 45.93966178e-3, BHorizonRad: -2.241021636e-3,
			SurfaceRefractivity: 323.947135, TimePercent: 50,
		}
		check.Near(t, row.name+" theta", scatter.AngularDistanceRad()*1e3, 54.47037953, 1e-6)
		check.Near(t, row.name+" L_bs", float64(scatter.Loss()), float64(row.bs), 1e-4)
		check.Near(t, row.name+" L_bc", float64(CombineTroposcatter(row.bd50, row.bs)), float64(row.want), 1e-4)
	}
}

func TestTroposcatterSmoothEarth(t *testing.T) {
	// Computed, reference section 5.7: 100 km, 10/10 m over smooth earth, 868
	// MHz, theta 8.42 mrad, 184.3 dB. The horizon of each antenna lies
	// sqrt(2 h/ae) below the horizontal. Its own defaults: N0 325, 50 %.
	const radiusM = 8500e3
	dip := -math.Sqrt(2 * 10 / radiusM)
	scatter := Troposcatter{
		DistM: 100e3, FreqHz: 868e6, EffectiveRadiusM: radiusM, AHorizonRad: dip, BHorizonRad: dip,
	}
	check.Near(t, "L_bs for theta 8.42 mrad", float64(scatter.Loss())+0.573*(8.42-1e3*scatter.AngularDistanceRad()),
		184.3, 0.05)
}

func TestTroposcatterLimits(t *testing.T) {
	base := Troposcatter{DistM: 80e3, FreqHz: 868e6, AHorizonRad: 0.01, BHorizonRad: 0.01}
	at := func(percent float64) radio.DB { s := base; s.TimePercent = percent; return s.Loss() }
	check.Near(t, "0 means 50 %", float64(at(0)), float64(at(50)), 0)
	check.Near(t, "above 50 % as 50 %", float64(at(80)), float64(at(50)), 0)
	check.Near(t, "below 1 % as 1 %", float64(at(0.01)), float64(at(1)), 0)
	if !(at(1) < at(10) && at(10) < at(50)) {
		t.Errorf("loss must rise with the share of time: %v, %v, %v", at(1), at(10), at(50))
	}
	down := Troposcatter{DistM: 1e3, AHorizonRad: -0.1, BHorizonRad: 0.05}
	check.Near(t, "angle not below 0", down.AngularDistanceRad(), 0, 0)
}

func TestCombineTroposcatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := radio.DB(rapid.Float64Range(60, 400).Draw(t, "a"))
		b := radio.DB(rapid.Float64Range(60, 400).Draw(t, "b"))
		got := CombineTroposcatter(a, b)
		if got != CombineTroposcatter(b, a) {
			t.Fatal("the order counts")
		}
		// Two equal ways: 5 log 2 below.
		if low := min(a, b); !(got <= low && got >= low-radio.DB(5*math.Log10(2))-1e-9) {
			t.Fatalf("%v and %v give %v", a, b, got)
		}
	})
	check.Near(t, "a blocked way does not count", float64(CombineTroposcatter(radio.DB(math.Inf(1)), 180)), 180, 0)
}
