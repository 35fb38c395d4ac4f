package power

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

// ground is a DEM of a formula; NaN is a void.
type ground func(lonDeg, latDeg float64) float64

func (g ground) Heights(at []orb.Point, heights []float64, flags []terrain.Flag) error {
	for i, p := range at {
		heights[i], flags[i] = g(p.Lon(), p.Lat()), terrain.Ground
		if math.IsNaN(heights[i]) {
			heights[i], flags[i] = 0, terrain.Void
		}
	}
	return nil
}

func (ground) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, StepLonDeg: 1. / 1200,
		StepLatDeg: 1. / 1200}
}

func plain(float64, float64) float64 { return 100 }

// wallSouth is a ridge of 400 m along a parallel, 1.1 km south of 46.5 N.
func wallSouth(_, lat float64) float64 {
	if lat < 46.49 && lat > 46.47 {
		return 500
	}
	return 100
}

func quick(s System) PoleOptions {
	var kt [12]float64
	for i := range kt {
		kt[i] = 0.35
	}
	return PoleOptions{
		System: s, Stated: Stated{Panel: true, Cell: true, Load: true},
		Weather: func(groundM float64) Weather {
			c := sun.ClimateFromClearness(46.5, kt)
			c.HeightM = groundM
			for i := range c.Months {
				c.Months[i].AirK = 273.15 + 8
			}
			return WeatherOf(c)
		},
		Horizon: terrain.HorizonOptions{StepDeg: 5, MaxM: 4e3, HighestM: 600},
	}
}

func pole(t *testing.T, g ground, opt PoleOptions) *PoleSurvey {
	t.Helper()
	s, err := SurveyPole(context.Background(), orb.Point{8, 46.5}, 3, g, opt)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The worked example's site on a plain and behind a ridge: the ridge decides.
func TestRidgeDecidesInWinter(t *testing.T) {
	s := worked(4, Tracking)
	s.Load.MeasuredA = 0.022
	open, shut := pole(t, plain, quick(s)), pole(t, wallSouth, quick(s))
	if open.Result.Verdict != Lives || len(open.Thieves) != 0 || open.Free != "" {
		t.Errorf("on the plain: %s, %+v, %+v", open.Result.Verdict, open.Result.Findings, open.Thieves)
	}
	if shut.Result.Verdict != Thin || shut.Free != Lives || !(shut.Result.Month == 12 || shut.Result.Month == 1) {
		t.Errorf("behind the ridge: %s in %d, without hills %s", shut.Result.Verdict, shut.Result.Month, shut.Free)
	}
	if len(shut.Thieves) == 0 {
		t.Fatal("no direction is named")
	}
	// The ridge stands just below the noon sun of winter: it takes the morning and
	// the afternoon alike, from either side of noon.
	first, second := shut.Thieves[0], shut.Thieves[1]
	if len(shut.Thieves) != 2 {
		t.Fatalf("%+v", shut.Thieves)
	}
	// Mirrored about 180 to one stretch of 15 degrees.
	near(t, "mirrored", (first.FromDeg+second.FromDeg+first.ToDeg+second.ToDeg)/4, 180, 7.5)
	near(t, "morning and afternoon", first.Share, second.Share, 0.03)
	month := shut.Panels[0].Months[shut.Result.Month-1]
	near(t, "both of what is lost", first.Share+second.Share, 1-month.PlaneWhM2/month.FreeWhM2, 0.06)
	// 397 m over the eye, from 1 km on: about 20 degrees.
	near(t, "its height", shut.Skyline.Directions[180/5].ElevDeg, math.Atan2(397, 1112)*180/math.Pi, 0.8)
}

func TestAdviceAtThePoleLives(t *testing.T) {
	opt := quick(worked(2, Linear))
	opt.SearchM = 3000 // north of the ridge the sun comes over it
	s := pole(t, wallSouth, opt)
	for _, a := range s.Counsel.Advice {
		if a.Spot != "" {
			continue
		}
		opt := quick(a.System)
		if again := pole(t, wallSouth, opt); again.Result.Verdict != Lives {
			t.Errorf("%q: %s", a.Text(), again.Result.Verdict)
		}
	}
	if len(s.Counsel.Advice) == 0 || len(s.Counsel.Tried) == 0 {
		t.Errorf("no advice; tried %v", s.Counsel.Tried)
	}
}

func TestVoidUnderThePoleIsUnknown(t *testing.T) {
	s := pole(t, func(float64, float64) float64 { return math.NaN() }, quick(worked(1, Linear)))
	if s.Result.Verdict != Unknown || !strings.Contains(s.Result.Findings[0].Text, "not known (void)") {
		t.Errorf("%+v", s.Result)
	}
}

// Missing ground to the south could be a ridge: nobody knows. To the north it
// does not matter, and that is said.
func TestMissingGroundDecidesOnlyBeforeTheSun(t *testing.T) {
	half := func(south bool) ground {
		return func(_, lat float64) float64 {
			if south && lat < 46.495 || !south && lat > 46.505 {
				return math.NaN()
			}
			return 100
		}
	}
	// Eight cells live with a free horizon.
	if s := pole(t, half(true), quick(worked(8,
		Tracking))); s.Result.Verdict != Unknown || !strings.Contains(s.Result.Findings[0].Text, "lives if nothing stands "+
		"there") {
		t.Errorf("south: %s, %+v", s.Result.Verdict, s.Result.Findings)
	}
	if s := pole(t, half(false), quick(worked(8,
		Tracking))); s.Result.Verdict != Lives || !strings.Contains(strings.Join(s.Result.Warnings, "\n"), "the verdict "+
		"holds") {
		t.Errorf("north: %s, %v", s.Result.Verdict, s.Result.Warnings)
	}
}

func TestNothingStatedShowsTheSunAlone(t *testing.T) {
	opt := quick(System{})
	opt.Stated = Stated{}
	s := pole(t, plain, opt)
	if s.Result.Verdict != Unknown || len(s.Panels) != 1 || !(s.Panels[0].Months[5].PlaneWhM2 > 2000) ||
		len(s.Paths) != 3 {
		t.Errorf("%+v", s.Result)
	}
}

// Noon elevations by hand, 90 - |latitude - declination|, and the direction of
// noon; beyond the polar circle no path in winter.
func TestSunPaths(t *testing.T) {
	for _, c := range []struct{ lat, june, december, noonDeg float64 }{
		{46.5, 66.9, 20.1, 180}, {-35, 31.6, 78.4, 0}, {0, 66.6, 66.6, -1}, {78, 35.4, -1, 180},
	} {
		paths, err := SunPaths(sun.Site{At: orb.Point{179.9, c.lat}})
		if err != nil {
			t.Fatal(err)
		}
		highest := func(p SunPath) SunPoint {
			best := SunPoint{ElevDeg: -1}
			for _, q := range p.Points {
				if q.ElevDeg > best.ElevDeg {
					best = q
				}
			}
			return best
		}
		june, december := highest(paths[0]), highest(paths[2])
		near(t, fmt.Sprintf("june at %g", c.lat), june.ElevDeg, c.june, 0.1)
		near(t, fmt.Sprintf("december at %g", c.lat), december.ElevDeg, c.december, 0.1)
		if c.noonDeg >= 0 {
			near(t, "noon", math.Abs(math.Remainder(june.AzimuthDeg-c.noonDeg, 360)), 0, 1)
			near(t, "noon hour", june.SolarH, 12, 1e-9)
		}
	}
	if _, err := SunPaths(sun.Site{At: orb.Point{0, 95}}); err == nil {
		t.Error("latitude 95 accepted")
	}
}

func TestRunsAround(t *testing.T) {
	for _, c := range []struct {
		ring string
		want string
	}{
		{"0000", "[]"}, {"0110", "[[1 3]]"}, {"1001", "[[3 5]]"}, {"1111", "[[0 4]]"}, {"1010", "[[2 3] [0 1]]"}, {"1100", "[[0 2]]"},
	} {
		ring := make([]bool, len(c.ring))
		for i := range ring {
			ring[i] = c.ring[i] == '1'
		}
		got := fmt.Sprint(runsAround(ring))
		// The order of the stretches does not matter.
		if got != c.want && !(c.ring == "1010" && got == "[[0 1] [2 3]]") {
			t.Errorf("%s: %s, want %s", c.ring, got, c.want)
		}
	}
}

func TestSurveyPoleRefuses(t *testing.T) {
	if _, err := SurveyPole(context.Background(), orb.Point{8, 95}, 3, ground(plain),
		quick(worked(1, Linear))); err == nil {
		t.Error("latitude 95 accepted")
	}
	if _, err := SurveyPole(context.Background(), orb.Point{8, 46.5}, -3, ground(plain),
		quick(worked(1, Linear))); err == nil {
		t.Error("a panel under the ground accepted")
	}
}
