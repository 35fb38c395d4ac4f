package siting

import (
	"context"
	"encoding/json"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
)

// flat is level ground at sea level, void where blank says so.
func flat(west, south float64, blank func(p orb.Point) bool) *terrain.Grid {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: west, NorthDeg: south + 1, StepLonDeg: 0.005, StepLatDeg: 0.005, Cols: 201,
			Rows: 201},
		HeightM: make([]float32, 201*201),
	}
	for i := range g.HeightM {
		if blank != nil && blank(g.Post(i%201, i/201)) {
			g.HeightM[i] = terrain.VoidHeight()
		}
	}
	return g
}

// On level ground the hills take nothing, and the shortest day has the daylight
// of the almanac.
func TestSkyOverLevelGround(t *testing.T) {
	for _, c := range []struct {
		at        orb.Point
		month     string
		facingDeg float64
		daylightH float64
	}{
		// 2·acos((sin -0.833° - sin φ sin δ)/(cos φ cos δ))/15 with δ = ∓23.44°, the
		// sunrise equation (Meeus chapter 15), computed by hand.
		{orb.Point{10.5, 50.5}, "12-21", 180, 7.98},
		{orb.Point{10.5, -37.5}, "06-21", 0, 9.58},
	} {
		g := flat(math.Floor(c.at[0]), math.Floor(c.at[1]), nil)
		sky, err := clearSky().look(context.Background(), g, c.at, 5, verdict, nil)
		if err != nil {
			t.Fatal(err)
		}
		if sky.Day.Format("01-02") != c.month || sky.Plane.AzimuthDeg != c.facingDeg || sky.Plane.TiltDeg != 60 ||
			sky.PanelUpM != 5 {
			t.Errorf("%v: %+v", c.at, sky)
		}
		if !(math.Abs(sky.DaylightH-c.daylightH) <= 0.06) || !(math.Abs(sky.DirectH-sky.DaylightH) <= 0.1) {
			t.Errorf("%v: direct %.3f h of %.3f h, want %.2f", c.at, sky.DirectH, sky.DaylightH, c.daylightH)
		}
		if !(sky.Share() > 0.995) || sky.UnknownShare != 0 || sky.Power != nil {
			t.Errorf("%v: share %g, unknown %g", c.at, sky.Share(), sky.UnknownShare)
		}
	}
}

// A wall of 45° all round leaves no direct sun in winter.
func TestSkyInAPit(t *testing.T) {
	g := flat(10, 50, nil)
	at := orb.Point{10.5, 50.5}
	for i := range g.HeightM {
		if d := terrain.Inverse(at, g.Post(i%201, i/201)).DistM; d > 1500 {
			g.HeightM[i] = 2500
		}
	}
	sky, err := clearSky().look(context.Background(), g, at, 5, verdict, nil)
	if err != nil {
		t.Fatal(err)
	}
	if sky.DirectH != 0 || !(sky.Share() < 0.4) || sky.Month != 12 {
		t.Errorf("direct %g h, share %g in %v", sky.DirectH, sky.Share(), sky.Month)
	}
	if elev, _ := sky.Highest(); !(elev > 40 && elev < 75) {
		t.Errorf("skyline up to %g", elev)
	}
}

// The sun of a spot is that of the survey of a pole there, in whose months the
// hills count as known; in the demo nothing unknown stands in the sun.
func TestSkyAgreesWithTheSurvey(t *testing.T) {
	dem := cumberland(t)
	for _, at := range []orb.Point{{-84.2405, 36.5565}, {-84.104, 36.532}, {-84.175, 36.57}} {
		sky, err := clearSky().look(context.Background(), dem, at, 4, verdict, nil)
		if err != nil {
			t.Fatal(err)
		}
		survey, err := power.SurveyPole(context.Background(), at, 4, dem, clearSky().Pole(at))
		if err != nil {
			t.Fatal(err)
		}
		least := survey.Panels[0].Months[0]
		for _, m := range survey.Panels[0].Months {
			if m.PlaneWhM2 < least.PlaneWhM2 {
				least = m
			}
		}
		if sky.Month != least.Month || !(math.Abs(sky.SunWhM2/least.PlaneWhM2-1) <= 0.005) ||
			sky.FreeWhM2 != least.FreeWhM2 || sky.Assumed != survey.Assumed {
			t.Errorf("%v: %v %.1f of %.1f Wh/m2; survey %v %.1f of %.1f", at, sky.Month, sky.SunWhM2, sky.FreeWhM2, least.Month,
				least.PlaneWhM2, least.FreeWhM2)
		}
	}
}

// Unknown ground in the south counts as high as it could be, and is told.
func TestSkyBesideAVoid(t *testing.T) {
	at := orb.Point{10.5, 50.5}
	hill := func(g *terrain.Grid) *terrain.Grid {
		for i := range g.HeightM { // somewhere ground is high, so the void might be
			if p := g.Post(i%201, i/201); p[1] > 50.56 && p[1] < 50.58 {
				g.HeightM[i] = 200
			}
		}
		return g
	}
	known, err := clearSky().look(context.Background(), hill(flat(10, 50, nil)), at, 5, verdict, nil)
	if err != nil {
		t.Fatal(err)
	}
	unknown, err := clearSky().look(context.Background(),
		hill(flat(10, 50, func(p orb.Point) bool { return p[1] < 50.49 && p[1] > 50.4 })), at, 5, verdict, nil)
	if err != nil {
		t.Fatal(err)
	}
	if known.UnknownShare != 0 || !(unknown.UnknownShare > 0.3) || !(unknown.SunWhM2 < 0.97*known.SunWhM2) ||
		!(unknown.DirectH < known.DirectH-2) {
		t.Errorf("known: share %.2f, %.1f h, unknown %.2f; beside a void: %.2f, %.1f h, %.2f", known.Share(), known.DirectH,
			known.UnknownShare, unknown.Share(), unknown.DirectH, unknown.UnknownShare)
	}
}

// Polar night: no sun even on a flat horizon, and no division by it.
func TestSkyInThePolarNight(t *testing.T) {
	sky, err := clearSky().look(context.Background(), flat(20, 70, nil), orb.Point{20.5, 70.5}, 5, verdict, nil)
	if err != nil {
		t.Fatal(err)
	}
	if sky.DirectH != 0 || sky.DaylightH != 0 || !(sky.Share() >= 0 && sky.Share() <= 1) || math.IsNaN(sky.SunWhM2) {
		t.Errorf("%+v", sky)
	}
}

// A spot with panel and cell is told whether the node lives, as power does.
func TestSpotsTellWhetherTheNodeLives(t *testing.T) {
	o := bench()
	o.Top = 1
	o.Sun = clearSky()
	pole := o.Sun.Pole
	get := power.FromMap(map[string]json.RawMessage{"panel_w": json.RawMessage("5"), "cell_mah": json.RawMessage("3000"),
		"cells": json.RawMessage("3")})
	o.Sun.Pole = func(at orb.Point) power.PoleOptions {
		opt := pole(at)
		opt.System, opt.Stated, _ = power.Settings(get, power.SettingDefaults{LatDeg: at.Lat(), AirtimeS: 0.1})
		return opt
	}
	dem := cumberland(t)
	a, err := Search(context.Background(), dem, o)
	if err != nil {
		t.Fatal(err)
	}
	s := a.Spots[0]
	survey, err := power.SurveyPole(context.Background(), s.At, s.HeightM, dem, o.Sun.Pole(s.At))
	if err != nil {
		t.Fatal(err)
	}
	if s.Sky == nil || s.Sky.Power == nil || s.Sky.Power.Verdict != survey.Result.Verdict ||
		s.Sky.Power.Verdict == power.Unknown {
		t.Errorf("sky %+v, survey %v", s.Sky, survey.Result.Verdict)
	}
}
