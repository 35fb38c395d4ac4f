package power

import (
	"fmt"
	"math"
	"testing"
)

func same(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// By hand: start 1.0, full 1.0, load 0.6, gains 0.2 0.2 0.9 0.2 0.1.
func TestStateOfChargeByHand(t *testing.T) {
	r, err := Simulate(RunInput{StartWh: 1, FullWh: 1, GainWh: []float64{0.2, 0.2, 0.9, 0.2, 0.1}, LoadWh: same(5, 0.6)})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{0.6, 0.2, 0.5, 0.1, 0} {
		near(t, fmt.Sprintf("day %d", i+1), r.StateWh[i], want, 1e-12)
	}
	if len(r.EmptyOn) != 1 || r.EmptyOn[0] != 4 || r.LowestStep != 4 {
		t.Errorf("empty on %v, lowest on %d", r.EmptyOn, r.LowestStep)
	}
	near(t, "unmet", r.UnmetWh, 0.4, 1e-12)
}

// The day-by-day table: 31 quantiles of mean clearness 0.35, darkest first, load
// 0.6 Ah; figures of the table were computed independently of this package.
func TestDayByDayTable(t *testing.T) {
	for _, c := range []struct {
		ridge bool
		kind  ChargerKind
		lost  [3]int // for 1.8, 3.6 and 5.4 Ah
	}{
		{false, Linear, [3]int{15, 11, 6}},
		{false, Tracking, [3]int{13, 8, 0}},
		{true, Linear, [3]int{18, 14, 10}},
		{true, Tracking, [3]int{14, 10, 3}},
	} {
		sun := workedDays(c.ridge)
		mean, brightest := 0.0, 0.0
		for _, h := range sun {
			mean += h / 31
			brightest = max(brightest, h)
		}
		if !c.ridge {
			near(t, "mean", mean, 1.7331, 0.0005)
			near(t, "darkest", sun[0], 0.138, 0.001)
			near(t, "brightest", brightest, 5.779, 0.01)
		}
		s := worked(1, c.kind)
		p := s.Panels[0]
		gain := make([]float64, len(sun))
		for i, h := range sun {
			gain[i] = s.Charger.CurrentA(p, p.PeakW*h*p.Derates.Product(), 1, 3.7) * CoulombEfficiency
		}
		for i, usable := range []float64{1.8, 3.6, 5.4} {
			r, err := Simulate(RunInput{StartWh: usable, FullWh: usable, GainWh: gain, LoadWh: same(31, 0.6)})
			if err != nil {
				t.Fatal(err)
			}
			if len(r.EmptyOn) != c.lost[i] {
				t.Errorf("ridge %v, %v, %.1f Ah: %d lost days, want %d", c.ridge, c.kind, usable, len(r.EmptyOn), c.lost[i])
			}
			if !c.ridge && c.kind == Tracking && i == 2 {
				near(t, "lowest", r.LowestWh, 0.415, 0.01)
			}
		}
	}
}

// What a cold cell holds back comes back with the warmth; by hand.
func TestColdHoldsBackWarmthReturns(t *testing.T) {
	r, err := Simulate(RunInput{StartWh: 10, FullWh: 10, GainWh: same(3, 0), LoadWh: same(3, 3),
		FloorWh: []float64{0, 5, 0}})
	if err != nil {
		t.Fatal(err)
	}
	// day 1: 7 left; day 2: 5 held back, 2 used, short by 1; day 3: 5 - 3.
	for i, want := range []float64{7, 0, 2} {
		near(t, "state", r.StateWh[i], want, 1e-12)
	}
	near(t, "unmet", r.UnmetWh, 1, 1e-12)
}

// Autumn is poor: each year of 3 ends 2 lower, so that after some years it is
// empty by then, and stays so.
func TestSettledYearEndsAsItBegan(t *testing.T) {
	r, err := Settled(RunInput{FullWh: 10, GainWh: []float64{1, 0, 0}, LoadWh: same(3, 1)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "start", r.StartWh, 0, 1e-12)
	near(t, "unmet", r.UnmetWh, 2, 1e-12)
	// One that fills up again starts full, or where autumn left it.
	r, err = Settled(RunInput{FullWh: 10, GainWh: []float64{5, 0, 0}, LoadWh: same(3, 1)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "start", r.StartWh, 8, 1e-12)
	near(t, "end", r.EndWh, 8, 1e-12)
}

func TestSimulateRefuses(t *testing.T) {
	for name, in := range map[string]RunInput{
		"lengths":  {FullWh: 1, GainWh: same(2, 1), LoadWh: same(3, 1)},
		"floors":   {FullWh: 1, GainWh: same(2, 1), LoadWh: same(2, 1), FloorWh: same(1, 0)},
		"negative": {FullWh: 1, GainWh: same(2, -1), LoadWh: same(2, 1)},
		"NaN":      {FullWh: 1, GainWh: same(2, 1), LoadWh: same(2, math.NaN())},
		"start":    {StartWh: 2, FullWh: 1},
		"leak":     {FullWh: 1, LeakPerStep: 2},
		"infinite": {FullWh: math.Inf(1)},
		"floor":    {FullWh: 1, GainWh: same(1, 1), LoadWh: same(1, 1), FloorWh: same(1, 2)},
	} {
		if _, err := Simulate(in); err == nil {
			t.Errorf("%s: accepted", name)
		}
		if _, err := Settled(in); err == nil && name != "start" {
			t.Errorf("%s: settled", name)
		}
	}
	if r, err := Simulate(RunInput{StartWh: 1, FullWh: 1}); err != nil || r.LowestStep != -1 || r.EndWh != 1 {
		t.Errorf("no days: %+v, %v", r, err)
	}
}
