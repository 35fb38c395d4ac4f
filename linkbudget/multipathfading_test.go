package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestQuickMultipathFading(t *testing.T) {
	// 7h, computed from the formula from memory: dN1 -200, h_L 50 m, eps_p 1
	// mrad, 10 dB.
	for distM, want := range map[float64]float64{20e3: 0.0310, 40e3: 0.266} {
		m := QuickMultipathFading{DistM: distM, FreqHz: 868e6, AHeightM: 50, BHeightM: 50 + distM/1e3, DN1: -200}
		p0, err := m.Occurrence()
		if err != nil {
			t.Error(err)
		}
		near(t, fmt.Sprintf("7h %v m", distM), DeepFadePercent(p0, 10), want, 0.01*want)
	}
}

// No published case is at hand for P.530-18: the formula is put together here a
// second time, as a product, on numbers by hand (d 40 km, f 1 GHz, h_c 4.31 m).
func TestMultipathFading(t *testing.T) {
	m := MultipathFading{DistM: 40e3, FreqHz: 1e9, AHeightM: 100, BHeightM: 140, MeanGroundM: 100, LogK: -7, DN75: 20}
	hc := 120 - 1600.0/102 - 100
	vsr := min(math.Pow(0.4, 1.8)*math.Exp(-hc/(2.5*math.Sqrt(40))), 20*math.Pow(40, 1.5)/24730)
	want := 1e-7 * math.Pow(40, 3.51) * math.Pow(14, 0.447) *
		math.Exp(math.Ln10*(-0.376*math.Tanh((hc-147)/125)-0.334-0.027+17.85*vsr))
	got, err := m.Occurrence()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "hc", hc, 4.314, 0.001)
	near(t, "P.530-18", got, want, 1e-9*want)
	m.DistM, m.BHeightM = 4900, 100
	if got, err := m.Occurrence(); got != 0 || err != nil {
		t.Errorf("below 5 km: %v, %v", got, err)
	}
}

func TestMultipathFadingShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := MultipathFading{
			DistM:       rapid.Float64Range(34e3, 185e3).Draw(t, "distM"),
			FreqHz:      rapid.Float64Range(0.45e9, 37e9).Draw(t, "freqHz"),
			AHeightM:    rapid.Float64Range(-500, 9000).Draw(t, "aM"),
			BHeightM:    rapid.Float64Range(-500, 9000).Draw(t, "bM"),
			MeanGroundM: rapid.Float64Range(-500, 9000).Draw(t, "groundM"),
			LogK:        rapid.Float64Range(-12, 0).Draw(t, "logK"),
			DN75:        rapid.Float64Range(0, 300).Draw(t, "dN75"),
		}
		p0, err := m.Occurrence()
		if err != nil || !(p0 >= 0 && p0 <= 1e3*(1+1e-12)) {
			t.Fatalf("%+v: %v, %v", m, p0, err)
		}
		m.AHeightM, m.BHeightM = m.BHeightM, m.AHeightM
		if swapped, _ := m.Occurrence(); swapped != p0 {
			t.Fatalf("%+v: %v, ends swapped %v", m, p0, swapped)
		}
		q := QuickMultipathFading{m.DistM, m.FreqHz, m.AHeightM, m.BHeightM, -m.DN75}
		p0, err = q.Occurrence()
		if err != nil || !(p0 >= 0 && p0 <= 1e3*(1+1e-12)) {
			t.Fatalf("%+v: %v, %v", q, p0, err)
		}
		q.DN1 -= 10 // stronger layers
		if worse, _ := q.Occurrence(); !(worse >= p0) {
			t.Fatalf("%+v: %v, stronger layers %v", q, p0, worse)
		}
	})
}

func TestMultipathFadingBadValues(t *testing.T) {
	good := QuickMultipathFading{DistM: 20e3, FreqHz: 868e6, AHeightM: 50, BHeightM: 60, DN1: -200}
	for _, change := range []func(*QuickMultipathFading){
		func(m *QuickMultipathFading) { m.DistM = 17.2e3 }, // 15/f is 17.3 km
		func(m *QuickMultipathFading) { m.DistM = 6e3; m.FreqHz = 5e9 },
		func(m *QuickMultipathFading) { m.DistM = 186e3 },
		func(m *QuickMultipathFading) { m.DistM = math.NaN() },
		func(m *QuickMultipathFading) { m.FreqHz = 433e6 },
		func(m *QuickMultipathFading) { m.AHeightM = math.Inf(1) },
		func(m *QuickMultipathFading) { m.BHeightM = -501 },
		func(m *QuickMultipathFading) { m.DN1 = 1 },
	} {
		m := good
		change(&m)
		if p0, err := m.Occurrence(); err == nil {
			t.Errorf("%+v: %v", m, p0)
		}
		// The full form has the same range, but for paths below 7 km.
		full := MultipathFading{m.DistM, m.FreqHz, m.AHeightM, m.BHeightM, 0, -7, -good.DN1}
		if m.DN1 > 0 {
			full.DN75 = -m.DN1
		}
		if p0, err := full.Occurrence(); (err == nil) != (m.DistM == 6e3) {
			t.Errorf("%+v: %v, %v", full, p0, err)
		}
	}
	if _, err := good.Occurrence(); err != nil {
		t.Error(err)
	}
	err := MultipathFading{DistM: 2e5, FreqHz: 1e8, MeanGroundM: 1e4, LogK: 1, DN75: 301}.Validate()
	for _, part := range []string{"path 200000 m", "1e+08 Hz", "mean ground 10000 m", "log K 1", "dN75 301"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%v lacks %q", err, part)
		}
	}
	if err := (MultipathFading{DistM: 15e3, FreqHz: 868e6}).Validate(); err == nil || !strings.Contains(err.Error(), "17281 m") {
		t.Errorf("%v", err)
	}
}
