package power

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyExposure draws sun and air day by day.
func anyExposure(t *rapid.T) Exposure {
	n := rapid.IntRange(1, 60).Draw(t, "days")
	var e Exposure
	sun := make([]DaySun, n)
	for i := range n {
		mean := rapid.Float64Range(-30, 40).Draw(t, "mean")
		half := rapid.Float64Range(0, 10).Draw(t, "half")
		e.Air = append(e.Air, airOf(i*12/n+1, mean, half, rapid.Float64Range(0, 1200).Draw(t, "peak")))
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
			Chemistry: Chemistry(rapid.IntRange(0, 2).Draw(t, "chemistry")), Cells: rapid.IntRange(1, 6).Draw(t, "cells"),
			CapacityAh: rapid.Float64Range(0.5, 5).Draw(t, "Ah"), SelfDischargePerMonth: rapid.Float64Range(0, 0.1).Draw(t,
				"leak"),
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
		for name, run := range map[string]Run{"low": r.Low, "mid": r.Mid, "high": r.High, "cold": r.Cold} {
			in, out := run.StartWh+run.InWh, run.EndWh+run.UsedWh+run.SpilledWh+run.LeakedWh
			if !(math.Abs(in-out) <= 1e-9*(1+in)) {
				t.Errorf("%s: %g in, %g out", name, in, out)
			}
			for i, s := range run.StateWh {
				if !(s >= 0 && s <= r.CapacityWh+1e-9) {
					t.Errorf("%s: hour %d holds %g of %g Wh", name, i, s, r.CapacityWh)
				}
			}
			if (len(run.EmptyOn) > 0) != (run.UnmetWh > 0) || len(run.StateWh) != r.Hours {
				t.Errorf("%s: %g Wh unmet, %v, %d hours", name, run.UnmetWh, run.EmptyOn, len(run.StateWh))
			}
		}
	})
}

// More of what helps never makes it worse; nor is a drier sky ever a gift.
func TestMoreNeverLivesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, e := anySystem(t), anyExposure(t)
		what := rapid.SampledFrom([]string{"panel", "second panel", "cell", "less load", "warmer cell", "no box sun"}).
			Draw(t, "more")
		if what == "cell" {
			s.Bank.SelfDischargePerMonth = 0 // a bank too large leaks more than it adds
		}
		was, err := Survey(s, e)
		if err != nil {
			t.Fatal(err)
		}
		more := s.clone()
		switch what {
		case "panel":
			more.Panels[0].PeakW *= rapid.Float64Range(1, 5).Draw(t, "factor")
		case "second panel":
			more.Panels = append(more.Panels, more.Panels[0])
		case "cell":
			more.Bank.Cells++
		case "less load":
			more.Load.MeasuredA *= rapid.Float64Range(0.01, 1).Draw(t, "factor")
		case "warmer cell":
			more.Bank.WarmerK = rapid.Float64Range(0, MaxWarmerK).Draw(t, "K")
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
		if !(len(is.Mid.EmptyOn) <= len(was.Mid.EmptyOn)) && what != "cell" && what != "warmer cell" {
			t.Errorf("more of %s: %d empty hours became %d", what, len(was.Mid.EmptyOn), len(is.Mid.EmptyOn))
		}
	})
}

// A poorer sun is never the better run, as long as the sun's own heat does not
// keep the cells from charging.
func TestLowMidHighAreInOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, e := anySystem(t), anyExposure(t)
		s.Box = nil
		for i := range e.Air {
			for h := range e.Air[i].HourC {
				e.Air[i].HourC[h] = min(e.Air[i].HourC[h], 40)
			}
		}
		r, err := Survey(s, e)
		if err != nil {
			t.Fatal(err)
		}
		if !(r.Cold.LowestWh <= r.Low.LowestWh+1e-9 && r.Low.LowestWh <= r.Mid.LowestWh+1e-9 &&
			r.Mid.LowestWh <= r.High.LowestWh+1e-9) {
			t.Errorf("lowest %g, %g, %g, %g", r.Cold.LowestWh, r.Low.LowestWh, r.Mid.LowestWh, r.High.LowestWh)
		}
		// A cold cell that thaws may feed an hour more, but not the whole of them.
		if len(r.Low.EmptyOn) > 0 && len(r.Cold.EmptyOn) == 0 || len(r.Low.EmptyOn) < len(r.Mid.EmptyOn) ||
			len(r.Mid.EmptyOn) < len(r.High.EmptyOn) {
			t.Errorf("empty %d, %d, %d, %d", len(r.Cold.EmptyOn), len(r.Low.EmptyOn), len(r.Mid.EmptyOn), len(r.High.EmptyOn))
		}
	})
}

// Each thing against the heat cools, all numbers stay finite.
func TestCoolingCools(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Box{
			HeightM: rapid.Float64Range(0.01, 3).Draw(t, "h"), WidthM: rapid.Float64Range(0.01, 3).Draw(t, "w"),
			DepthM:      rapid.Float64Range(0.01, 3).Draw(t, "d"),
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
		for name, k := range map[string]float64{"shade": shaded.RiseK(in), "white": white.RiseK(in),
			"vents": vented.RiseK(in), "fan": b.RiseK(blown)} {
			if !(k >= 0 && k <= was+1e-9) || math.IsInf(k, 0) {
				t.Errorf("%s: %g K became %g K", name, was, k)
			}
		}
	})
}
