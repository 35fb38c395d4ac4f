package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// meshLink is one examined pair with what it is to the mesh; rank is nil for a
// link that is not solid.
type meshLink struct {
	*mesh.Pair
	rank     *mesh.LinkRank
	from, to string
}

// meshLinks gives every pair as a meshLink, in the order of Mesh.Pairs.
type meshLinks struct {
	m    *mesh.Mesh
	rank []int32 // pair -> its place in Ranking, from 1; 0 for none
}

func newMeshLinks(m *mesh.Mesh) meshLinks {
	list := meshLinks{m, make([]int32, len(m.Pairs))}
	for k := range m.Ranking {
		list.rank[m.Ranking[k].Pair] = int32(k + 1)
	}
	return list
}

func (list meshLinks) at(i int) meshLink {
	p := &list.m.Pairs[i]
	l := meshLink{Pair: p, from: list.m.Stations[p.A].Station.Name, to: list.m.Stations[p.B].Station.Name}
	if k := list.rank[i]; k > 0 {
		l.rank = &list.m.Ranking[k-1]
	}
	return l
}

// byWeight orders pairs: solid links, those that matter most first, then the
// required ones that fail, worst first, then the others as in Mesh.Pairs.
func byWeight(m *mesh.Mesh) []int32 {
	order := make([]int32, 0, len(m.Pairs))
	done := make([]bool, len(m.Pairs))
	take := func(i int) {
		if !done[i] {
			done[i] = true
			order = append(order, int32(i))
		}
	}
	for _, r := range m.Ranking {
		take(r.Pair)
	}
	for _, i := range m.Failing {
		take(i)
	}
	for i := range m.Pairs {
		take(i)
	}
	return order
}

func (l *meshLink) known() bool { return l.Verdict != linkbudget.Unknown }

// poleNames turns indices of stations into names; never nil.
func poleNames(m *mesh.Mesh, poles []int) []string {
	names := make([]string, len(poles))
	for i, v := range poles {
		names[i] = m.Stations[v].Station.Name
	}
	return names
}

// meshWarnings are those of the plan file and of the check.
func meshWarnings(m *mesh.Mesh) []string {
	return append(append([]string(nil), m.Plan.Warnings...), m.Warnings...)
}

// appendMeshLink writes a link as a JSON object. It has the keys of a link of
// the command "site" where both have the figure. Of terms and gaps a mesh keeps
// less: no sources, the first gap. The error is a figure without JSON.
//
// There may be a million of them: hence not by encoding/json, which takes
// several times as long as the link itself is worth.
func appendMeshLink(dst []byte, m *mesh.Mesh, l *meshLink) ([]byte, error) {
	o := jsonAppender{b: dst}
	o.open('{')
	o.text("from", l.from)
	o.text("to", l.to)
	o.truth("wanted", l.Wanted())
	o.truth("required", l.Required)
	if r := l.rank; r != nil {
		o.textIfAny("role", string(r.Role))
		o.countIfAny("joined_pairs", r.JoinedPairs)
		o.countIfAny("redundant_pairs", r.RedundantPairs)
		if fixed(r.Detour, 3) != 0 {
			o.number("detour_transmissions", r.Detour, 3)
		}
	}
	o.number("distance_m", l.DistM, 3)
	o.number("azimuth_deg", l.AzimuthDeg, 4)
	o.number("back_azimuth_deg", l.BackAzimuthDeg, 4)
	if l.known() {
		o.path(l)
		o.losses(l.Pair)
		o.levels(m, l)
	}
	o.text("verdict", l.Verdict.String())
	o.reasons(l.Pair)
	if l.known() && l.Counsel() != nil {
		var with linkJSON
		with.counsel(*l.Counsel(), m.Options.Band != "")
		if len(with.Advice) > 0 {
			o.raw("advice", rawJSON(with.Advice))
		}
		if with.AdviceBest != nil {
			o.number("advice_best_probability", l.Counsel().Best, 4)
		}
	}
	if l.BeyondRules {
		o.truth("beyond_rules", true)
	}
	if g := l.Gap(); g != nil {
		o.key("gaps")
		o.open('[')
		o.open('{')
		o.text("what", g.What)
		o.number("from_m", g.FromM, 3)
		o.number("to_m", g.ToM, 3)
		o.place("place", g.LonDeg, g.LatDeg)
		o.close('}')
		o.close(']')
		o.countIfAny("gap_count", g.Count)
	}
	o.countIfAny("filled_points", int(l.FilledPoints))
	o.close('}')
	return o.b, o.err
}

func (o *jsonAppender) path(l *meshLink) {
	o.number("elevation_deg", l.ElevationDeg, 4)
	o.textIfAny("path", l.Path.String())
	o.textIfAny("situation", l.Situation.String())
	if w := l.Worst; w != nil {
		o.number("clearance_f1", w.F1, 4)
		o.number("clearance_m", w.M, 3)
		o.number("clearance_at_m", w.AtM, 3)
		o.place("clearance_at", w.LonDeg, w.LatDeg)
	}
}

// terms lists what is there; the first always are.
func (o *jsonAppender) terms(key string, always int, names []string, values ...linkbudget.DB) {
	some := always > 0
	for _, v := range values {
		some = some || v != 0
	}
	if !some {
		return
	}
	o.key(key)
	o.open('[')
	for i, v := range values {
		if i < always || v != 0 {
			o.open('{')
			o.text("name", names[i])
			o.number("db", float64(v), 3)
			o.close('}')
		}
	}
	o.close(']')
}

var (
	lossNames  = []string{"free space", "diffraction", "troposcatter", "clutter"}
	doubtNames = []string{"model", "ripple", "terrain", "hardware", "other"}
)

func (o *jsonAppender) losses(p *mesh.Pair) {
	o.terms("terms", 2, lossNames, p.FreeSpaceDB, p.DiffractionDB, p.TroposcatterDB, p.ClutterDB)
	o.number("loss_db", float64(p.LossDB), 3)
}

func (o *jsonAppender) levels(m *mesh.Mesh, l *meshLink) {
	weaker, from, to := l.Weaker()
	o.text("weaker_direction", m.Stations[from].Station.Name+" to "+m.Stations[to].Station.Name)
	o.number("rx_dbm", float64(weaker.RxDBm), 3)
	o.number("snr_db", float64(weaker.SNRDB), 3)
	o.number("sensitivity_dbm", float64(weaker.SensitivityDBm), 3)
	o.number("margin_db", float64(l.MarginDB), 3)
	o.number("sigma_db", float64(l.SigmaDB), 3)
	d := l.Doubt
	o.terms("doubt", 0, doubtNames, d.ModelDB, d.RippleDB, d.TerrainDB, d.HardwareDB, d.OtherDB)
	o.number("probability", l.Probability, 4)
	o.number("delivery", l.Delivery, 4)
	o.key("directions")
	o.open('[')
	o.direction(l.from, l.to, &l.Forward)
	o.direction(l.to, l.from, &l.Backward)
	o.close(']')
	o.key("pessimistic")
	o.open('{')
	o.number("margin_db", float64(l.PessimisticMarginDB), 3)
	o.number("probability", l.PessimisticProbability, 4)
	o.close('}')
}

func (o *jsonAppender) direction(from, to string, d *linkbudget.Level) {
	o.open('{')
	o.text("from", from)
	o.text("to", to)
	o.number("eirp_dbm", float64(d.EIRPDBm), 3)
	o.number("rx_dbm", float64(d.RxDBm), 3)
	o.number("snr_db", float64(d.SNRDB), 3)
	o.number("sensitivity_dbm", float64(d.SensitivityDBm), 3)
	o.number("margin_db", float64(d.MarginDB), 3)
	o.close('}')
}

func (o *jsonAppender) reasons(p *mesh.Pair) {
	if reasons := p.Reasons(); len(reasons) > 0 {
		o.raw("reasons", rawJSON(reasons))
	}
}

func (o *jsonAppender) place(key string, lonDeg, latDeg float64) {
	o.key(key)
	o.open('{')
	o.number("lon_deg", lonDeg, 7)
	o.number("lat_deg", latDeg, 7)
	o.close('}')
}
