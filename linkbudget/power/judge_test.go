package power

import (
	"strings"
	"testing"
)

// By hand: 24 h of 1 Wh, charged from 10 to 14 h only. A day has 20 hours of
// night in a row, so that 20 Wh go between the last sun and the first: a bank of
// 19 Wh is empty at dawn though each day brings as much as it takes.
func TestDawnIsSeen(t *testing.T) {
	s := System{
		Panels: []Panel{NewPanel(10, Plane{60, 180})}, Charger: Charger{Kind: Tracking},
		Bank: Bank{Cells: 1, CapacityAh: 19, NominalV: 1, AgeFactor: 1, Curve: []CapacityPoint{{0,
			1}}}, Load: Load{MeasuredA: 1},
	}
	e := flat(60, 4, 20) // 4 kWh/m2 on 10 W: 28 Wh
	r := survey(t, s, e)
	if r.Verdict != Dies || len(r.Mid.EmptyOn) != 60 || r.Months[0].GainWh < r.Months[0].LoadWh {
		t.Errorf("%s, %d hours empty, %g Wh in, %g out", r.Verdict, len(r.Mid.EmptyOn), r.Months[0].GainWh,
			r.Months[0].LoadWh)
	}
	s.Bank.CapacityAh = 30
	r = survey(t, s, e)
	if len(r.Mid.EmptyOn) != 0 {
		t.Errorf("%d hours empty of 30 Wh", len(r.Mid.EmptyOn))
	}
	near(t, "lowest", r.Mid.LowestWh, 10, 1e-9)
	if at := r.Mid.LowestStep % 24; at != 9 {
		t.Errorf("lowest in hour %d, want the one before the sun", at)
	}
}

// The reserve: a fifth or three days, the less of them, but a day at least. And
// the verdict on either side of it, in both doubts.
func TestReserve(t *testing.T) {
	for _, c := range []struct{ full, load, want float64 }{{26.6, 2.22, 5.32}, {26.6, 0.89, 2.67}, {8.88, 2.22, 2.22},
		{8.88, 0.89, 1.776}, {10, 0, 0}} {
		near(t, "reserve", reserveWh(c.full, c.load), c.want, 1e-9)
	}
	// Plenty of sun but on one black day: a day and a night go from full, 8.88 Wh
	// at 25 C less 44 h x 0.0925 Wh = 4.81 Wh.
	s := worked(1, Tracking)
	black := func(days int) Exposure {
		e := december(4, 25)
		sun, _ := e.Sun(Plane{})
		for i := range days {
			sun[10+i] = DaySun{}
		}
		return e
	}
	r := survey(t, s, black(1))
	near(t, "a black day", r.Low.LowestWh, 8.88-44*0.0925, 1e-6)
	if r.Verdict != Lives {
		t.Errorf("%s %v", r.Verdict, r.Findings)
	}
	// Two black days: 68 h, 2.59 Wh are left, above the day's 2.22; three: nothing.
	if r = survey(t, s, black(2)); r.Verdict != Lives {
		t.Errorf("two black days: %s %v", r.Verdict, r.Findings)
	}
	s.Load.MeasuredA = 0.028 // 2.49 Wh a day, 8.88 - 68 h x 0.1036 = 1.84 Wh: thin, though nothing runs empty
	if r = survey(t, s, black(2)); r.Verdict != Thin || len(r.Low.EmptyOn) != 0 || !strings.Contains(r.Findings[0].Text,
		"1.8 Wh are left at the lowest hour, wanted are 2.5") {
		t.Errorf("little left: %s %v", r.Verdict, r.Findings)
	}
}

// In air of 2 C it lives, 3 K colder it could not be charged: frost decides.
func TestColderAirMakesThin(t *testing.T) {
	s := worked(3, Tracking)
	r := survey(t, s, december(4, 2))
	if r.Verdict != Thin || !strings.Contains(r.Findings[0].Text, "frost decides") || !r.FrostAlone {
		t.Errorf("%s %v", r.Verdict, r.Findings)
	}
	s.Bank.WarmerK = 5
	if r = survey(t, s, december(4, 2)); r.Verdict != Lives {
		t.Errorf("5 K warmer: %s %v", r.Verdict, r.Findings)
	}
	s.Bank.WarmerK, s.Bank.Chemistry = 0, LTO
	if r = survey(t, s, december(4, -20)); r.Verdict != Lives {
		t.Errorf("titanate: %s %v", r.Verdict, r.Findings)
	}
	// Without any sun it is not frost that decides.
	if r = survey(t, worked(3, Tracking), december(0, -5)); r.Verdict != Dies || r.FrostAlone {
		t.Errorf("dark and cold: %s, frost alone %v", r.Verdict, r.FrostAlone)
	}
}
