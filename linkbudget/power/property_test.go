package power

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyExposure draws sun and air day by day.
func anyExposure(t *rapid.T) Exposure {
	n := rapid.IntRange(1, 60).Draw(t, "days")
	e := Exposure{DayOrder: rapid.Bool().Draw(t, "order"), NoClimate: rapid.Bool().Draw(t, "default climate")}
	sun := make([]DaySun, n)
	for i := range n {
		mean := rapid.Float64Range(-30, 40).Draw(t, "mean")
		half := rapid.Float64Range(0, 10).Draw(t, "half")
		e.Air = append(e.Air, Air{Month: i*12/n + 1, MeanC: mean, MinC: mean - half, MaxC: mean + half, PeakWm2: rapid.Float64Range(0, 1200).Draw(t, "peak")})
		v := rapid.Float64Range(0, 0.9).Draw(t, "sun")
		for h := 8; h < 16; h++ {
			sun[i][h] = v
		}
	}
	e.Sun = func(Plane) ([]DaySun, error) { return sun, nil }
	return e
}

func anySystem(t *rapid.T) System {
	p := NewPanel(rapid.Float64Range(0.1, 10).Draw(t, "panel"), Plane{60, 180})
	s := System{
		Panels:  []Panel{p},
		Charger: Charger{Kind: ChargerKind(rapid.IntRange(0, 1).Draw(t, "charger"))},
		Bank: Bank{
			Chemistry: Chemistry(rapid.IntRange(0, 1).Draw(t, "chemistry")), Cells: rapid.IntRange(1, 6).Draw(t, "cells"),
			CapacityAh: rapid.Float64Range(0.5, 5).Draw(t, "Ah"), SelfDischargePerMonth: rapid.Float64Range(0, 0.1).Draw(t, "leak"),
		},
		Load: Load{MeasuredA: rapid.Float64Range(0.0001, 0.2).Draw(t, "load")},
	}
	if rapid.Bool().Draw(t, "limited") {
		s.Charger.MaxA = rapid.Float64Range(0.05, 2).Draw(t, "limit")
	}
	if rapid.Bool().Draw(t, "boxed") {
		b := small(rapid.Float64Range(0.1, 1).Draw(t, "absorptance"))
		b.VentM2, b.VentRiseM = rapid.Float64Range(0, 0.01).Draw(t, "vents"), 0.1
		s.Box = &b
	}
	return s
}

// What comes in and what was there is stored, used, spilled or leaked.
func TestEnergyBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := Survey(anySystem(t), anyExposure(t))
		if err != nil {
			t.Fatal(err)
		}
		for name, run := range map[string]Run{"low": r.Low, "mid": r.Mid, "high": r.High, "twice": r.Twice} {
			in, out := run.StartWh+run.InWh, run.EndWh+run.UsedWh+run.SpilledWh+run.LeakedWh
			if !(math.Abs(in-out) <= 1e-9*(1+in)) {
				t.Errorf("%s: %g in, %g out", name, in, out)
			}
			for i, s := range run.StateWh {
				if !(s >= 0 && s <= r.CapacityWh+1e-9) {
					t.Errorf("%s: day %d holds %g of %g Wh", name, i, s, r.CapacityWh)
				}
			}
			if len(run.EmptyOn) != run.EmptyDays || (run.FirstEmpty >= 0) != (run.EmptyDays > 0) {
				t.Errorf("%s: %d empty days, first %d, list %v", name, run.EmptyDays, run.FirstEmpty, run.EmptyOn)
			}
		}
	})
}

// More of what helps never makes it worse; nor is a drier sky ever a gift.
func TestMoreNeverLivesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, e := anySystem(t), anyExposure(t)
		was, err := Survey(s, e)
		if err != nil {
			t.Fatal(err)
		}
		more := s.clone()
		what := rapid.SampledFrom([]string{"panel", "second panel", "cell", "less load", "climate known", "no box sun"}).Draw(t, "more")
		switch what {
		case "panel":
			more.Panels[0].PeakW *= rapid.Float64Range(1, 5).Draw(t, "factor")
		case "second panel":
			more.Panels = append(more.Panels, more.Panels[0])
		case "cell":
			more.Bank.Cells++
		case "less load":
			more.Load.MeasuredA *= rapid.Float64Range(0.01, 1).Draw(t, "factor")
		case "climate known":
			e.NoClimate = false
		case "no box sun":
			if more.Box != nil {
				more.Box.Shade = ShadeRoofSides
			}
		}
		is, err := Survey(more, e)
		if err != nil {
			t.Fatal(err)
		}
		if is.Verdict.rank() > was.Verdict.rank() {
			t.Errorf("more of %s: %s became %s: %+v", what, was.Verdict, is.Verdict, is.Findings)
		}
		if !(is.Mid.EmptyDays <= was.Mid.EmptyDays) && what != "cell" {
			t.Errorf("more of %s: %d empty days became %d", what, was.Mid.EmptyDays, is.Mid.EmptyDays)
		}
	})
}

// A poorer sun is never the better run.
func TestLowMidHighAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, err := Survey(anySystem(t), anyExposure(t))
		if err != nil {
			t.Fatal(err)
		}
		if !(r.Low.LowestWh <= r.Mid.LowestWh+1e-9 && r.Mid.LowestWh <= r.High.LowestWh+1e-9) {
			t.Errorf("lowest %g, %g, %g", r.Low.LowestWh, r.Mid.LowestWh, r.High.LowestWh)
		}
		if r.Low.EmptyDays < r.Mid.EmptyDays || r.Mid.EmptyDays < r.High.EmptyDays {
			t.Errorf("empty %d, %d, %d", r.Low.EmptyDays, r.Mid.EmptyDays, r.High.EmptyDays)
		}
	})
}

// Each thing against the heat cools, all numbers stay finite.
func TestCoolingCools(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Box{
			HeightM: rapid.Float64Range(0.01, 3).Draw(t, "h"), WidthM: rapid.Float64Range(0.01, 3).Draw(t, "w"), DepthM: rapid.Float64Range(0.01, 3).Draw(t, "d"),
			Absorptance: rapid.Float64Range(0.05, 1).Draw(t, "absorptance"),
		}
		in := HeatInput{
			AirC: rapid.Float64Range(-50, 55).Draw(t, "air"), IrradianceWm2: rapid.Float64Range(0, 1500).Draw(t, "sun"),
			InsideW: rapid.Float64Range(0, 50).Draw(t, "inside"), AltitudeM: rapid.Float64Range(-400, 6000).Draw(t, "altitude"),
		}
		was := b.RiseK(in)
		shaded, white, vented := b, b, b
		shaded.Shade = ShadeRoof
		white.Absorptance = 0.05
		vented.VentM2, vented.VentRiseM = 0.002, 0.1
		blown := in
		blown.FanM3h = 5
		for name, k := range map[string]float64{"shade": shaded.RiseK(in), "white": white.RiseK(in), "vents": vented.RiseK(in), "fan": b.RiseK(blown)} {
			if !(k >= 0 && k <= was+1e-9) || math.IsInf(k, 0) {
				t.Errorf("%s: %g K became %g K", name, was, k)
			}
		}
	})
}
