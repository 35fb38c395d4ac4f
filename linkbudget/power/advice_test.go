package power

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// southern is a spot whose sun depends on how a panel faces: most at 60 degrees
// facing 180, less with the angle away from there, and none on two days. Not the
// real sun, but enough to tell a better plane from a worse one.
func southern(ht float64) Exposure {
	e := december(1, 5)
	e.Sun = func(p Plane) ([]DaySun, error) {
		rad := math.Pi / 180
		cos := math.Cos(p.TiltDeg*rad)*math.Cos(60*rad) +
			math.Sin(p.TiltDeg*rad)*math.Sin(60*rad)*math.Cos((p.AzimuthDeg-180)*rad)
		days := make([]DaySun, len(e.Air))
		for i := range days {
			if i == 10 || i == 11 {
				continue
			}
			for h := 10; h < 14; h++ {
				days[i][h] = ht / 4 * max(0, cos)
			}
		}
		return days, nil
	}
	return e
}

func advise(t *testing.T, s System, e Exposure, opt AdviceOptions) Counsel {
	t.Helper()
	c, err := Advise(s, e, survey(t, s, e), opt)
	if err != nil {
		t.Fatal(err)
	}
	// Every advice is surveyed again here, from its System alone.
	for _, a := range c.Advice {
		spot := e
		for _, o := range opt.Spots {
			if o.Name == a.Spot {
				spot = o.Exposure
			}
		}
		if v := survey(t, a.System, spot).Verdict; v != Lives || a.Text() == "" {
			t.Errorf("%q: %s", a.Text(), v)
		}
	}
	return c
}

func TestAdviceMakesItLive(t *testing.T) {
	south := AdviceOptions{EquatorAzimuthDeg: 180}
	turned := worked(2, Tracking)
	turned.Panels[0].Plane = Plane{30, 90}
	hot := worked(3, Tracking)
	box := small(0.95)
	hot.Box = &box
	heat := flat(365, 4, 10)
	heat.Air[200] = airOf(7, 29, 9, 1000)
	for _, c := range []struct {
		name  string
		s     System
		e     Exposure
		first string // some advice holds this
	}{
		{"one cell too few", worked(1, Tracking), southern(1.8037), "a second cell"},
		{"balance negative", worked(2, Linear), southern(1.2898), "a load of"},
		{"larger panel", worked(2, Linear), southern(1.2898), "a panel of 6 W instead of 3"},
		{"tracking", worked(2, Linear), southern(1.6), "a tracking charger"},
		{"wrong way", turned, southern(1.8037), "at a tilt of 60 deg facing 180 deg"},
		{"hot box", hot, heat, "a shade plate"},
		{"hot box, fan", hot, heat, "a 40 mm fan"},
		{"two things at once", worked(1, Linear), southern(0.55), " and "},
	} {
		t.Run(c.name, func(t *testing.T) {
			all := ""
			for _, a := range advise(t, c.s, c.e, south).Advice {
				all += a.Text() + "\n"
			}
			if !strings.Contains(all, c.first) {
				t.Errorf("no %q in:\n%s", c.first, all)
			}
		})
	}
}

// Advice on a hot box leaves the panels alone, advice on a hungry node the box.
func TestAdviceMendsWhatIsBroken(t *testing.T) {
	s := worked(1, Linear)
	box := small(0.25)
	s.Box = &box
	for _, kind := range advise(t, s, southern(0.2), AdviceOptions{EquatorAzimuthDeg: 180}).Tried {
		if kind == "shade plate" || kind == "vents" {
			t.Errorf("tried %s on a cool box", kind)
		}
	}
	hot := worked(6, Tracking)
	black := small(0.95)
	hot.Box = &black
	for _, kind := range advise(t, hot, func() Exposure { e := december(4, 5); e.Air[3].HourC[15] = 40; return e }(),
		AdviceOptions{}).Tried {
		if kind == "more cells" || kind == "lower load" {
			t.Errorf("tried %s on a node that only is hot", kind)
		}
	}
}

func TestAdviceIsHonestWhereNothingHelps(t *testing.T) {
	c := advise(t, worked(1, Linear), southern(0), AdviceOptions{EquatorAzimuthDeg: 180})
	if len(c.Advice) != 0 || c.Best.Verdict != Dies || len(c.Tried) == 0 {
		t.Errorf("%d pieces of advice without a sun, best %s, tried %v", len(c.Advice), c.Best.Verdict, c.Tried)
	}
}

func TestAnotherSpot(t *testing.T) {
	opt := AdviceOptions{EquatorAzimuthDeg: 180, Spots: []Spot{
		{"in the shade", southern(0)}, {"80 m east", southern(1.8037)},
	}}
	// Nothing but another spot helps where there is no sun at all; and of many
	// only the first two are named.
	for len(opt.Spots) < 6 {
		opt.Spots = append(opt.Spots, Spot{"farther", southern(1.8037)})
	}
	c := advise(t, worked(2, Tracking), southern(0), opt)
	if len(c.Advice) != 2 || c.Advice[0].Spot != "80 m east" || c.Advice[1].Spot != "farther" {
		t.Errorf("%d pieces of advice", len(c.Advice))
	}
}

func TestNoAdviceWithoutNeed(t *testing.T) {
	if c := advise(t, worked(2, Tracking), southern(1.8037),
		AdviceOptions{EquatorAzimuthDeg: 180}); len(c.Advice)+len(c.Tried) != 0 {
		t.Errorf("%+v", c)
	}
	c, err := Advise(worked(1, Linear), Exposure{}, Result{Verdict: Unknown}, AdviceOptions{})
	if err != nil || len(c.Advice) != 0 {
		t.Errorf("%+v, %v", c, err)
	}
}

// The settings that advice names, put into the plan, make the node live.
func TestAdviceAsProperties(t *testing.T) {
	for text, e := range map[string]Exposure{
		`{"panel_w": 3, "cell_mah": 3000, "load_ma": 25, "charger": "tracking"}`: southern(1.2898),
		`{"panel_w": 2, "panel2_w": 1, "panel2_azimuth_deg": 90, "cell_wh": 11.1, "load_airtime_ms": 300,
			"load_host_ma": 20}`: southern(1.2898),
		// Frost decides: warmer cells, titanate; the capacity stated either way.
		`{"panel_w": 5, "cell_mah": 3000, "cells": 3, "load_ma": 25}`:                        december(4, -2),
		`{"panel_w": 5, "cell_wh": 9.6, "cell_chemistry": "lfp", "cells": 3, "load_ma": 25}`: december(4, -20),
	} {
		s, _, err := Settings(props(t, text), SettingDefaults{LatDeg: 46})
		if err != nil {
			t.Fatal(err)
		}
		c := advise(t, s, e, AdviceOptions{EquatorAzimuthDeg: 180})
		if len(c.Advice) == 0 {
			t.Fatalf("no advice for %s: %+v", text, c.Best.Findings)
		}
		for _, a := range c.Advice {
			var m map[string]any
			if err := json.Unmarshal([]byte(text), &m); err != nil {
				t.Fatal(err)
			}
			for _, change := range a.Changes {
				for _, set := range change.Set {
					m[set.Key] = set.Value
				}
			}
			changed, err := json.Marshal(m)
			if err != nil {
				t.Fatal(err)
			}
			mended, _, err := Settings(props(t, string(changed)), SettingDefaults{LatDeg: 46})
			if err != nil {
				t.Fatal(err)
			}
			if r := survey(t, mended, e); r.Verdict != Lives {
				t.Errorf("%s: %s, %+v", changed, r.Verdict, r.Findings)
			}
		}
	}
}

func TestRoundToNeverRoundsUp(t *testing.T) {
	for v := 0.001; v < 1000; v *= 1.37 {
		if r := roundTo(v, 2); !(r <= v && r > 0.99*v-1e-12) {
			t.Errorf("%g became %g", v, r)
		}
	}
	near(t, "zero", roundTo(0, 2), 0, 0)
}

// A node that only the ban on charging in frost kills: told with the cells 5 K
// warmer, with titanate, and beside them with a larger panel, whether it lives with
// each or not; and what lives is proposed.
func TestDeathByFrostAloneIsTold(t *testing.T) {
	e := december(4, -2) // plenty of sun, two degrees of frost day and night
	s := worked(3, Tracking)
	r := survey(t, s, e)
	if r.Verdict != Dies || !r.FrostAlone || r.Months[0].NoCharge != 31 {
		t.Fatalf("%s, frost alone %v, %+v", r.Verdict, r.FrostAlone, r.Findings)
	}
	c := advise(t, s, e, AdviceOptions{EquatorAzimuthDeg: 180})
	told := map[string]Verdict{}
	for _, a := range c.AgainstFrost {
		told[a.Text()[:12]] = a.Result.Verdict
	}
	// Air at -2 C: 5 K warmer is +3 C, in air 3 K colder just 0 C.
	if len(told) != 3 || told["the cells ke"] != Lives || told["lithium tita"] != Lives || told["a panel of 1"] != Dies {
		t.Errorf("%v", told)
	}
	all := ""
	for _, a := range c.Advice {
		all += a.Text() + "\n"
	}
	if !strings.Contains(all, "5 K warmer") || !strings.Contains(all, "titanate") || strings.Contains(all, "a panel of") {
		t.Errorf("proposed:\n%s", all)
	}
	// In a harder frost 5 K are not enough, and that is told as well.
	c = advise(t, s, december(4, -12), AdviceOptions{EquatorAzimuthDeg: 180})
	if len(c.AgainstFrost) != 3 || c.AgainstFrost[0].Result.Verdict != Dies || c.AgainstFrost[1].Result.Verdict != Lives {
		t.Errorf("at -12 C: %d remedies", len(c.AgainstFrost))
	}
}
