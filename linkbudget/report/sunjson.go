package report

import (
	"io"
	"slices"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/magnetic"
)

// SunJSON writes the object of the command "sun".
func SunJSON(w io.Writer, s *power.PoleSurvey, opt SunOptions) (err error) {
	defer fault.Recovered(&err)
	r := &s.Result
	compass := magnetic.NewCompass(s.Skyline.At, opt.Date)
	return writeCommand(w, "sun", func(o *object) {
		o.object("pole", func(o *object) {
			o.some("name", opt.Name)
			o.stands(s.Skyline.At)
			o.numberIf(len(s.Skyline.Directions) > 0, "ground_m", s.Skyline.EyeM-opt.PanelUpM, 3)
			o.number("panel_height_m", opt.PanelUpM, 3)
		})
		o.magnetic(compass)
		o.object("climate", func(o *object) {
			o.text("source", s.Source)
			o.truth("assumed", s.Assumed)
			o.some("basis", r.Basis)
			o.some("snow_counted", s.SnowCounted)
			if s.Assumed {
				o.some("next", opt.Next)
			}
		})
		if s.Stated.Enough() {
			o.object("system", func(o *object) { o.system(s, compass) })
		}
		o.text("verdict", string(r.Verdict))
		o.some("month", r.Month)
		var ends []string // of the dullest and the brightest weather
		for _, end := range s.Ends {
			ends = append(ends, string(end.Verdict))
		}
		o.some("could_be", ends)
		o.some("verdict_without_hills", string(s.Free))
		o.list("reasons", len(r.Findings), func(i int) {
			o.text("verdict", string(r.Findings[i].Verdict))
			o.some("month", r.Findings[i].Month)
			o.text("text", r.Findings[i].String())
		})
		o.value("sun_doubt_share", power.SunDoubt)
		o.sunMonths(s)
		if r.Verdict != power.Unknown {
			o.object("charge", func(o *object) { o.charge(r) })
		}
		if h := &r.Heat; h.Known {
			o.object("heat", func(o *object) {
				o.count("month", h.Month)
				o.number("air_c", h.AirC, 1)
				o.number("rise_k", h.RiseK, 1)
				o.number("inside_c", h.InsideC, 1)
				o.value("limit_c", h.LimitC)
				o.text("limit_of", h.LimitOf)
				o.text("verdict", string(h.Verdict))
			})
		}
		o.some("frost_alone", r.FrostAlone)
		o.sunAdvice("against_frost", s.Counsel.AgainstFrost)
		o.sunAdvice("advice", s.Counsel.Advice)
		o.some("advice_tried", s.Counsel.Tried)
		o.list("thieves", len(s.Thieves), func(i int) {
			t := &s.Thieves[i]
			o.value("from_deg", t.FromDeg)
			o.value("to_deg", t.ToDeg)
			o.number("elevation_deg", t.HighestDeg, 4)
			o.some("distance_m", fixed(t.DistM, 0))
			o.some("obstacle", t.Obstacle)
			o.number("takes_wh_m2", t.TakesWhM2, 0)
			o.number("share", t.Share, 3)
			o.count("month", t.Month)
		})
		o.skyline(s.Skyline)
		o.some("warnings", slices.Concat(opt.Warnings, r.Warnings))
		o.value("cautions", opt.Cautioning)
	})
}

func (o *object) system(s *power.PoleSurvey, c magnetic.Compass) {
	panels := s.System.Panels
	o.list("panels", len(panels), func(i int) {
		o.value("peak_w", panels[i].PeakW)
		o.value("tilt_deg", panels[i].TiltDeg)
		o.value("azimuth_deg", panels[i].AzimuthDeg)
		o.numberIf(c.Known(), "magnetic_deg", c.BearingDeg(panels[i].AzimuthDeg), 1)
		o.number("derate", panels[i].Derates.Product(), 4)
	})
	o.text("charger", s.System.Charger.Kind.String())
	o.count("cells", s.System.Bank.Cells)
	o.number("capacity_wh", s.Result.CapacityWh, 3) // aged and warm
	o.number("load_wh_per_day", s.Result.LoadWh, 3)
	o.truth("load_stated", s.Stated.Load)
}

func (o *object) sunMonths(s *power.PoleSurvey) {
	n := 0
	if len(s.Panels) > 0 {
		n = len(s.Panels[0].Months)
	}
	o.list("months", n, func(i int) {
		m := &s.Panels[0].Months[i]
		o.count("month", i+1)
		o.number("sun_free_h", s.SunHours[i].FreeH, 2)
		o.number("sun_h", s.SunHours[i].SeenH, 2)
		o.number("free_wh_m2", m.FreeWhM2, 0)
		o.number("plane_wh_m2", m.PlaneWhM2, 0)
		b, ok := s.Result.MonthOf(i + 1)
		if !ok {
			return
		}
		o.number("gain_wh", b.GainWh, 3)
		o.number("load_wh", b.LoadWh, 3)
		ratio, known := b.Ratio()
		o.numberIf(known, "ratio", ratio, 3)
		days, known := b.AutonomyDays()
		o.numberIf(known, "autonomy_days", days, 2)
		o.number("usable_wh", b.UsableWh, 3)
		o.number("lowest_poor_wh", b.LowestWh, 3)
		o.number("lowest_poor_cold_wh", b.ColdestWh, 3)
		o.count("empty_hours", b.EmptyHours)
		o.count("frost_days", b.FrostDays)
		o.some("verdict", string(b.Verdict))
	})
}

// charge writes the runs with the sun poor, as computed, rich, and poor in colder air.
func (o *object) charge(r *power.Result) {
	var lowest, share [4]float64
	var hours [4]int
	for i, run := range []power.Run{r.Low, r.Mid, r.High, r.Cold} {
		lowest[i], hours[i], share[i] = fixed(run.LowestWh, 3), len(run.EmptyOn), fixed(r.EmptyShare(run), 4)
	}
	o.number("reserve_wh", r.ReserveWh, 3)
	o.value("lowest_wh", lowest)
	o.value("empty_hours", hours)
	o.value("empty_share", share)
	if len(r.Mid.EmptyOn) > 0 { // as computed, from 1
		o.count("first_empty_day", r.Mid.EmptyOn[0]/24+1)
	}
	o.count("frost_days", r.FrostDays)
	o.count("no_charge_days", r.NoChargeDays)
}

// sunAdvice writes changes; null in "set" takes the key away.
func (o *object) sunAdvice(key string, list []power.Advice) {
	o.someList(key, len(list), func(i int) {
		a := &list[i]
		o.text("text", a.Text())
		o.text("verdict", string(a.Result.Verdict))
		set := map[string]any{}
		for _, c := range a.Changes {
			for _, s := range c.Set {
				set[s.Key] = s.Value
			}
		}
		if len(set) > 0 {
			o.value("set", set)
		}
		o.some("spot", a.Spot)
	})
}

func (o *object) skyline(s terrain.Skyline) {
	o.list("skyline", len(s.Directions), func(i int) {
		d := &s.Directions[i]
		o.number("azimuth_deg", s.StepDeg*float64(i), 4)
		o.number("elevation_deg", d.ElevDeg, 2)
		o.numberIf(d.MostDeg > d.ElevDeg, "most_deg", d.MostDeg, 2) // missing ground could stand higher
		o.some("distance_m", fixed(d.DistM, 0))
		o.some("obstacle", d.Obstacle)
	})
}
