package power

import (
	"errors"
	"strings"
	"testing"
)

// Step 4 of the worked example: HT of the mean December day, flat or behind a
// ridge, at 0 C; gains, ratios and capacities computed independently. The verdict
// is that of the same sun every day in air of 10 C, by hand: it dies where the
// ratio is below 1, and is thin where 0.7 of it is.
func TestWorkedExample(t *testing.T) {
	const flatHT, ridgeHT = 1.8037, 1.2898
	for _, c := range []struct {
		name                   string
		ht                     float64
		kind                   ChargerKind
		cells                  int
		gainAh, ratio          float64
		usableAh, autonomyDays float64
		verdict                Verdict
	}{
		{"flat, linear, 1", flatHT, Linear, 1, 0.7502, 1.250, 1.92, 3.2, Thin},
		{"flat, linear, 2", flatHT, Linear, 2, 0.7502, 1.250, 3.84, 6.4, Thin},
		{"flat, tracking, 1", flatHT, Tracking, 1, 1.0340, 1.723, 1.92, 3.2, Lives},
		{"flat, tracking, 2", flatHT, Tracking, 2, 1.0340, 1.723, 3.84, 6.4, Lives},
		{"ridge, linear, 1", ridgeHT, Linear, 1, 0.5364, 0.894, 1.92, 3.2, Dies},
		{"ridge, linear, 2", ridgeHT, Linear, 2, 0.5364, 0.894, 3.84, 6.4, Dies},
		{"ridge, tracking, 1", ridgeHT, Tracking, 1, 0.7394, 1.232, 1.92, 3.2, Thin},
		{"ridge, tracking, 2", ridgeHT, Tracking, 2, 0.7394, 1.232, 3.84, 6.4, Thin},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, ok := func() (MonthBalance, bool) {
				r := survey(t, worked(c.cells, c.kind), december(c.ht, 0))
				return r.Worst()
			}()
			if !ok || m.Month != 12 {
				t.Fatal("no December")
			}
			near(t, "gain Ah", m.GainWh/3.7, c.gainAh, 0.0002)
			ratio, _ := m.Ratio()
			near(t, "ratio", ratio, c.ratio, 0.0007)
			near(t, "usable Ah", m.UsableWh/3.7, c.usableAh, 1e-9)
			days, _ := m.AutonomyDays()
			near(t, "autonomy", days, c.autonomyDays, 1e-9)
			near(t, "sun", m.SunKWhM2[0], c.ht, 1e-9)
			r := survey(t, worked(c.cells, c.kind), december(c.ht, 10))
			if r.Verdict != c.verdict || r.Month != map[bool]int{false: 12}[r.Verdict == Lives] {
				t.Errorf("%s in month %d, want %s: %+v", r.Verdict, r.Month, c.verdict, r.Findings)
			}
			if len(r.Findings) == 0 || r.Findings[0].Verdict != r.Verdict || !strings.HasPrefix(r.Findings[0].String(),
				"December") {
				t.Errorf("the first reason is %+v", r.Findings)
			}
		})
	}
}

func TestEdges(t *testing.T) {
	polar := flat(365, 4, 10)
	sun, _ := polar.Sun(Plane{})
	for i := range sun {
		if m := polar.Air[i].Month; m == 12 || m == 1 {
			sun[i] = DaySun{}
		}
	}
	frozen := flat(365, 4, -15)
	for _, c := range []struct {
		name    string
		s       System
		e       Exposure
		verdict Verdict
		text    string
	}{
		{"polar night", worked(6, Tracking), polar, Dies, "no sun reaches the panel"},
		{"facing a wall", worked(6, Tracking), flat(365, 0, 10), Dies, "no sun reaches the panel"},
		{"never warm enough", worked(6, Tracking), frozen, Dies, "below 0 C while the sun shines"},
		{"too hot to charge", worked(6, Tracking), flat(365, 4, 46), Dies, "heat keeps"},
		{"plenty", worked(6, Tracking), flat(365, 4, 10), Lives, "times the load"},
		{"load 0", System{Panels: worked(1, Linear).Panels, Bank: worked(1, Linear).Bank}, flat(365, 4, 10), Lives, "no load"},
		{"load 0, no sun", System{Panels: worked(1, Linear).Panels, Bank: worked(1, Linear).Bank}, flat(365, 0, 10), Lives, "no load"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := survey(t, c.s, c.e)
			if r.Verdict != c.verdict || !strings.Contains(r.Findings[0].Text, c.text) {
				t.Errorf("%s, %+v, want %s, %q", r.Verdict, r.Findings[0], c.verdict, c.text)
			}
		})
	}
	if r := survey(t, worked(6, Tracking), frozen); r.FrostDays != 365 || r.NoChargeDays != 365 {
		t.Errorf("frost on %d, no charge on %d days", r.FrostDays, r.NoChargeDays)
	}
	zero := survey(t, System{Panels: worked(1, Linear).Panels, Bank: worked(1, Linear).Bank}, flat(365, 4, 10))
	if !strings.Contains(strings.Join(zero.Warnings, "\n"), "the load is 0") {
		t.Errorf("load 0 without a word: %v", zero.Warnings)
	}
	if _, ok := zero.Months[0].AutonomyDays(); ok {
		t.Error("a number of days without a load")
	}
}

func TestUnknownSun(t *testing.T) {
	r := survey(t, worked(1, Linear), Exposure{Unknown: "terrain missing to the south"})
	if r.Verdict != Unknown || r.Findings[0].Text != "terrain missing to the south" {
		t.Errorf("%+v", r)
	}
}

// The cold hours of a day charge nothing: at a mean of 0 C with 5 K either way
// the air is above 0 from 9 to 21 h, so sun from 6 to 12 h counts by half.
func TestChargeOnlyWhileWarm(t *testing.T) {
	e := december(0, 0)
	sun, _ := e.Sun(Plane{})
	for i := range sun {
		e.Air[i] = airOf(12, 0, 5, 900)
		sun[i] = DaySun{}
		for h := 6; h < 12; h++ {
			sun[i][h] = 0.3
		}
	}
	r := survey(t, worked(2, Linear), e)
	near(t, "halves", r.Months[0].GainWh, r.Months[0].ColdLostWh, 1e-9)
	if r.FrostDays != 31 || r.NoChargeDays != 0 {
		t.Errorf("frost %d, no charge %d", r.FrostDays, r.NoChargeDays)
	}
}

func TestChargeCurrentLimit(t *testing.T) {
	s := worked(1, Linear)
	e := december(4, 10) // 1 kWh/m2 in each of four hours: Imp 0.5 A x 0.84
	s.Charger.MaxA = 0.2
	near(t, "limited", survey(t, s, e).Months[0].GainWh, 4*0.2*0.99*3.7, 1e-9)
}

func TestTwoPanelsAdd(t *testing.T) {
	s := worked(2, Linear)
	one := survey(t, s, december(1.8, 10)).Months[0]
	s.Panels = append(s.Panels, s.Panels[0])
	s.Panels[1].AzimuthDeg = 90
	two := survey(t, s, december(1.8, 10)).Months[0]
	near(t, "gain", two.GainWh, 2*one.GainWh, 1e-9)
	if len(two.SunKWhM2) != 2 {
		t.Errorf("sun on %d panels", len(two.SunKWhM2))
	}
}

func TestHeatFinding(t *testing.T) {
	box := small(0.90)
	for _, c := range []struct {
		name    string
		shade   Shade
		absorb  float64
		airC    float64
		verdict Verdict
		text    string
	}{
		// 35 C air and 24 K of sun on a black box: at the cell's limit. White: 42 C.
		{"black", NoShade, 0.90, 35, Thin, "near the 60 C of the cell"},
		{"black, hotter", NoShade, 0.90, 37, Dies, "above the 60 C of the cell"},
		{"black, shaded", ShadeRoofSides, 0.90, 37, Lives, "charging pauses above 45 C"},
		{"white", NoShade, 0.25, 35, Lives, "reaches 41.9 C"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := worked(6, Tracking)
			b := box
			b.Shade, b.Absorptance = c.shade, c.absorb
			s.Box = &b
			e := flat(365, 4, 10)
			e.Air[200].HourC[14], e.Air[200].PeakWm2 = c.airC, 1000
			r := survey(t, s, e)
			if r.Heat.Verdict != c.verdict || r.Heat.Day != 200 || r.Heat.Month != 7 || r.Verdict != c.verdict {
				t.Fatalf("%s, day %d, %+v", r.Heat.Verdict, r.Heat.Day, r.Findings)
			}
			all := ""
			for _, f := range r.Findings {
				all += f.Text + "\n"
			}
			if !strings.Contains(all, c.text) {
				t.Errorf("want %q in %s", c.text, all)
			}
		})
	}
	s := worked(6, Tracking)
	b := small(0.9)
	b.ElectronicsMaxC = 50
	s.Box = &b
	if h := survey(t, s, flat(365, 4, 30)).Heat; h.LimitOf != "electronics" || h.LimitC != 50 || h.Verdict != Dies {
		t.Errorf("%+v", h)
	}
}

func TestFanOnTheCellIsALoad(t *testing.T) {
	s := worked(6, Tracking)
	b := small(0.9)
	s.Box, s.Fan = &b, &Fan{FreeFlowM3h: 9.6, PowerW: 0.25}
	e := flat(365, 4, 20) // four hours at 1000 W/m2
	near(t, "load", survey(t, s, e).Months[0].LoadWh, 2.22+4*0.25, 1e-9)
	s.Fan.PanelW = 1
	near(t, "own panel", survey(t, s, e).Months[0].LoadWh, 2.22, 1e-9)
}

func TestSurveyListsEveryFault(t *testing.T) {
	s := worked(0, Linear)
	s.Panels[0].PeakW = -1
	s.Fan = &Fan{}
	e := flat(30, 1, 10)
	e.Air[3].HourC[7] = 99
	e.Air[4].Month = 13
	_, err := Survey(s, e)
	for _, part := range []string{"peak power", "cells", "flow", "fan: found one without a box", "day 4: hour 7",
		"day 5: month"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("no %q in %v", part, err)
		}
	}
	for i := range e.Air {
		e.Air[i].Month = 0
	}
	if err := e.Validate(); strings.Count(err.Error(), "month") > 12 || !strings.Contains(err.Error(),
		"and 20 more days") {
		t.Errorf("a flood: %v", err)
	}
	if err := (Exposure{Air: make([]Air, 1)}).Validate(); err == nil {
		t.Error("no sun accepted")
	}
}

func TestBrokenSun(t *testing.T) {
	e := flat(30, 1, 10)
	boom := errors.New("boom")
	for name, sun := range map[string]func(Plane) ([]DaySun, error){
		"error":    func(Plane) ([]DaySun, error) { return nil, boom },
		"too few":  func(Plane) ([]DaySun, error) { return make([]DaySun, 3), nil },
		"too much": func(Plane) ([]DaySun, error) { d := make([]DaySun, 30); d[3][4] = 1000; return d, nil },
	} {
		e.Sun = sun
		_, err := Survey(worked(1, Linear), e)
		if err == nil || name == "error" && !errors.Is(err, boom) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestWarnings(t *testing.T) {
	s := worked(1, Linear)
	s.Bank.CapacityAh = 9.9
	s.Panels[0].VmpV = 5
	s.Panels = append(s.Panels, NewPanel(3, Plane{}), NewPanel(3, Plane{}))
	s.Panels[1].VmpV, s.Panels[2].VmpV = 18, 4
	b := small(1)
	s.Box, s.Fan = &b, &Fan{FreeFlowM3h: 10, PowerW: 2, PanelW: 1}
	e := flat(30, 1, 10)
	e.Air[0].HourC[5] = -30
	all := strings.Join(survey(t, s, e).Warnings, "\n")
	for _, want := range []string{"18650", "below -20 C", "panel 1 of 5.0 V stalls", "panel 2 of 18.0 V gives 21 %",
		"panel 3 of 4.0 V cannot", "the fan's own panel"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in:\n%s", want, all)
		}
	}
}
