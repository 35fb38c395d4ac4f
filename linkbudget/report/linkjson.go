package report

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/magnetic"
)

// newLink is a path that was looked at alone, from its A to its B, with the compasses there.
func newLink(c *mesh.PathCheck, told presence, compassA, compassB magnetic.Compass) *link {
	p := &mesh.Pair{Link: -1, PairNotes: &mesh.PairNotes{Reasons: c.Result.Reasons(), Counsel: &c.Counsel}}
	p.Figures = linkbudget.Figures{Summary: c.Summary, Forward: c.Forward.Level, Backward: c.Backward.Level,
		Doubt: c.Doubt.Parts()}
	p.BeyondRules = c.BeyondRules()
	if len(c.Gaps) > 0 {
		g := &c.Gaps[0]
		p.PairNotes.Gap = &mesh.PairGap{What: g.Flag.String(), FromM: g.FromM, ToM: g.ToM, LonDeg: g.Place.Lon(),
			LatDeg: g.Place.Lat(), Count: len(c.Gaps)}
	}
	if w := &c.Worst; c.HasWorst {
		p.Worst = &mesh.PairClearance{F1: w.Fraction, M: w.ClearanceM, AtM: w.AtM,
			LonDeg: c.WorstAt.LonDeg, LatDeg: c.WorstAt.LatDeg}
	}
	return &link{Pair: p, from: c.From, to: c.To, heightAM: c.HeightAM, heightBM: c.HeightBM,
		compassA: &compassA, compassB: &compassB,
		banded: c.RulesA != nil, alone: c, told: told | compassed(&compassA, &compassB)}
}

// terms writes a list of terms, with their sources where they are known.
func (o *object) terms(key string, list []linkbudget.Term, sources bool) {
	o.list(key, len(list), func(i int) {
		o.text("name", list[i].Name)
		o.number("db", float64(list[i].DB), 3)
		if sources {
			o.text("source", list[i].Source)
		}
	})
}

// parts writes terms without sources, those of 0 left out but the first ones.
func (o *object) parts(key string, always int, list ...linkbudget.Term) {
	n := 0
	for i, t := range list {
		if i < always || t.DB != 0 {
			list[n] = t
			n++
		}
	}
	if n > 0 {
		o.terms(key, list[:n], false)
	}
}

func (l *link) losses(o *object) {
	if l.alone != nil {
		o.terms("terms", l.alone.Terms, true)
		return
	}
	o.parts("terms", 2,
		linkbudget.Term{Name: "free space", DB: l.FreeSpaceDB}, linkbudget.Term{Name: "diffraction", DB: l.DiffractionDB},
		linkbudget.Term{Name: "troposcatter", DB: l.TroposcatterDB}, linkbudget.Term{Name: "clutter", DB: l.ClutterDB},
		linkbudget.Term{Name: "time", DB: l.TimeDB()})
}

func (l *link) doubts(o *object) {
	if l.alone != nil {
		o.terms("doubt", l.alone.Doubt.Items, true)
		return
	}
	d := &l.Doubt
	o.parts("doubt", 0, linkbudget.Term{Name: "model", DB: d.ModelDB}, linkbudget.Term{Name: "ripple", DB: d.RippleDB},
		linkbudget.Term{Name: "terrain", DB: d.TerrainDB}, linkbudget.Term{Name: "hardware", DB: d.HardwareDB},
		linkbudget.Term{Name: "other", DB: d.OtherDB})
}

func (l *link) obstacles(o *object) {
	list := l.alone.Obstacles
	if len(list) == 0 {
		return
	}
	o.list("obstacles", len(list), func(i int) {
		c := &list[i].Worst
		o.number("from_m", list[i].FromM, 3)
		o.number("to_m", list[i].ToM, 3)
		o.number("worst_at_m", c.AtM, 3)
		o.number("ground_m", c.GroundM, 3)
		o.number("clearance_m", c.ClearanceM, 3)
		o.number("clearance_f1", c.Fraction, 4)
	})
}

// ground writes what is assumed of it, and what it does to the wave.
func (l *link) ground(o *object) {
	r := &l.alone.Result
	if names := assumedNames(r); len(names) > 0 {
		o.value("assumed", names)
	}
	d := &r.Diffraction
	o.object("diffraction", func(o *object) {
		o.number("bullington_db", float64(d.BullingtonDB), 3)
		o.number("smooth_bullington_db", float64(d.SmoothDB), 3)
		o.number("spherical_earth_db", float64(d.SphericalDB), 3)
		o.number("loss_db", float64(d.LossDB), 3)
		o.truth("line_of_sight", d.LineOfSight)
		o.number("edge_at_m", d.EdgeAtM, 3)
		o.number("edge_nu", d.Nu, 4)
		o.number("effective_height_a_m", d.EffectiveAM, 3)
		o.number("effective_height_b_m", d.EffectiveBM, 3)
		if r.SingleEdgeDB != nil {
			o.number("single_edge_db", float64(*r.SingleEdgeDB), 3)
		}
	})
	if f := r.Reflection; f != nil {
		o.object("reflection", func(o *object) {
			o.truth("usable", f.Possible())
			o.number("at_m", f.AtM, 3)
			o.number("grazing_deg", f.GrazingDeg, 4)
			o.number("coefficient", f.Rho, 4)
			o.number("null_db", float64(f.NullDB), 3)
			o.number("peak_db", float64(f.PeakDB), 3)
			o.number("breakpoint_m", f.BreakpointM, 3)
		})
	}
}

func (l *link) weaker(o *object) {
	weaker, from, to := l.Figures.Weaker(), l.from, l.to
	if weaker == &l.Backward {
		from, to = to, from
	}
	o.text("weaker_direction", from+" to "+to)
	o.number("rx_dbm", float64(weaker.RxDBm), 3)
	o.number("snr_db", float64(weaker.SNRDB), 3)
	o.number("sensitivity_dbm", float64(weaker.SensitivityDBm), 3)
}

func (l *link) directions(o *object) {
	o.list("directions", 2, func(i int) {
		from, to, d := l.from, l.to, &l.Forward
		if i == 1 {
			from, to, d = to, from, &l.Backward
		}
		var whole *linkbudget.Direction
		if l.alone != nil {
			whole = [2]*linkbudget.Direction{&l.alone.Forward, &l.alone.Backward}[i]
		}
		o.text("from", from)
		o.text("to", to)
		if whole != nil {
			o.number("tx_dbm", float64(whole.TxDBm), 3)
			o.number("peak_eirp_dbm", float64(whole.PeakEIRPDBm), 3)
			o.terms("items", whole.Items, true)
		}
		o.number("eirp_dbm", float64(d.EIRPDBm), 3)
		o.number("rx_dbm", float64(d.RxDBm), 3)
		if whole != nil {
			o.number("thermal_dbm", float64(whole.ThermalDBm), 3)
			o.terms("noise", whole.Noise, true)
			o.number("noise_dbm", float64(whole.NoiseDBm), 3)
		}
		o.number("snr_db", float64(d.SNRDB), 3)
		o.number("sensitivity_dbm", float64(d.SensitivityDBm), 3)
		o.number("margin_db", float64(d.MarginDB), 3)
	})
}

func (l *link) pessimistic(o *object) {
	o.object("pessimistic", func(o *object) {
		if l.alone != nil {
			o.number("k", l.alone.PessimisticK, 4)
			o.text("path", l.PessimisticPath.String())
			o.number("loss_db", float64(l.PessimisticLossDB()), 3)
		}
		o.number("margin_db", float64(l.PessimisticMarginDB), 3)
		o.number("probability", l.PessimisticProbability, 4)
	})
}

// verdict writes it with its reasons, and what would mend it.
func (l *link) verdict(o *object) {
	o.text("verdict", l.Verdict.String())
	if reasons := l.Reasons(); l.alone != nil || len(reasons) > 0 {
		o.value("reasons", reasons)
	}
	if c := l.Counsel(); l.known() && c != nil {
		if len(c.Advice) > 0 {
			o.advice(c.Advice, l.banded)
		} else if c.Best > 0 {
			o.number("advice_best_probability", c.Best, 4)
		}
	}
	if c := l.alone; c != nil && c.RulesA != nil {
		o.list("rules", 2, func(i int) {
			if i == 0 {
				o.rulesOf(l.from, c.RulesA)
			} else {
				o.rulesOf(l.to, c.RulesB)
			}
		})
	}
}

func (l *link) gaps(o *object) {
	one := func(what string, fromM, toM float64, at orb.Point, placed bool) {
		o.text("what", what)
		o.number("from_m", fromM, 3)
		o.number("to_m", toM, 3)
		if placed {
			o.place("place", at.Lon(), at.Lat())
		}
	}
	if l.alone != nil {
		o.list("gaps", len(l.alone.Gaps), func(i int) {
			g := &l.alone.Gaps[i]
			one(g.Flag.String(), g.FromM, g.ToM, g.Place, g.Place != (orb.Point{}))
		})
		return
	}
	g := l.Gap()
	o.list("gaps", 1, func(int) { one(g.What, g.FromM, g.ToM, orb.Point{g.LonDeg, g.LatDeg}, true) })
	if g.Count != 0 {
		o.count("gap_count", g.Count)
	}
}

// sampled sets the profile: the sampled path. Ground, bulge, line of sight and first
// Fresnel radius are those the clearance was judged with, so that a reader can
// compute diffraction again from them. Unknown heights have no ground_m.
func (l *link) sampled(env linkbudget.Environment) {
	p, r := &l.alone.Profile, &l.alone.Result
	sight := r.Sightline(p, env.FreqHz)
	var o object
	o.open('[')
	for i := range p.DistM {
		o.open('{')
		o.number("distance_m", p.DistM[i], 3)
		if p.Points != nil {
			o.number("lon_deg", p.Points[i].Lon(), 7)
			o.number("lat_deg", p.Points[i].Lat(), 7)
		}
		if p.Flags == nil || p.Flags[i].Known() {
			o.number("ground_m", p.HeightM[i], 3)
		}
		c := diffraction.Clearance{}
		if l.known() {
			c = sight.At(i)
			if stands := c.GroundM - p.HeightM[i]; metres(stands) != 0 {
				o.number("clutter_m", stands, 3)
			}
		}
		if p.Flags != nil && p.Flags[i] != terrain.Ground {
			o.text("flag", p.Flags[i].String())
		}
		if l.known() {
			o.number("bulge_m", c.BulgeM, 3)
			o.number("line_of_sight_m", c.LineM, 3)
			o.number("f1_m", c.RadiusM, 3)
			o.number("clearance_m", c.ClearanceM, 3)
			if c.RadiusM > 0 {
				o.number("clearance_f1", c.Fraction, 4)
			}
		}
		o.close('}')
	}
	o.close(']')
	l.profile = o.b
}
