package report

import (
	"strconv"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// columns takes the figures of a link in the flat forms, CSV and GeoJSON, one
// after the other. "a" and "b" in a key are the ends called from and to:
// azimuth_a_deg is seen from there, rx_a_dbm arrives there.
type columns interface {
	// when says whether the figures that follow are there, until it is called again.
	when(present bool)
	number(key string, v float64, decimals int)
	// budget gives all numbers of budgetKeys, each with three decimals.
	budget(v *budgetFigures)
	word(key, text string)
	count(key string, n int)
	truth(key string, v bool)
}

// What a link may lack, for eachColumn to read from.
var (
	noRank      mesh.LinkRank
	noClearance mesh.PairClearance
	noGap       mesh.PairGap
)

// eachColumn gives every figure of a link but the names of its ends. The keys
// are those of the JSON of a link where it has the same figure; only the
// azimuths differ, since azimuth_deg in a plan file turns a sector antenna. figures is
// room to work in.
func eachColumn(l *meshLink, figures *budgetFigures, to columns) {
	to.when(true)
	to.truth("wanted", l.Wanted())
	to.truth("required", l.Required)
	to.word("verdict", l.Verdict.String())
	rankColumns(l, to)
	geometryColumns(l, to)
	figures.fill(l.Pair)
	to.budget(figures)
	chanceColumns(l.Pair, to)
	gapColumns(l.Pair, to)
}

func rankColumns(l *meshLink, to columns) {
	r := l.rank
	to.when(r != nil)
	if r == nil {
		r = &noRank
	}
	to.word("role", string(r.Role))
	to.count("joined_pairs", r.JoinedPairs)
	to.count("redundant_pairs", r.RedundantPairs)
	to.number("detour_transmissions", r.Detour, 3)
}

func geometryColumns(l *meshLink, to columns) {
	to.when(true)
	to.number("distance_m", l.DistM, 3)
	to.number("azimuth_a_deg", l.AzimuthDeg, 4)
	to.number("azimuth_b_deg", l.BackAzimuthDeg, 4)
	to.when(l.known())
	to.number("elevation_a_deg", l.ElevationDeg, 4)
	to.number("elevation_b_deg", l.BackElevationDeg, 4)
	to.word("path", l.Path.String())
	to.word("situation", l.Situation.String())
	w := l.Worst
	to.when(w != nil)
	if w == nil {
		w = &noClearance
	}
	to.number("clearance_f1", w.F1, 4)
	to.number("clearance_m", w.M, 3)
	to.number("clearance_at_m", w.AtM, 3)
	to.number("clearance_lon_deg", w.LonDeg, 7)
	to.number("clearance_lat_deg", w.LatDeg, 7)
	to.when(l.known())
}

// budgetKeys are the keys of what a path loses, of the levels and of the doubt: the
// numbers that follow each other with three decimals.
var budgetKeys = [...]string{
	"free_space_db", "diffraction_db", "troposcatter_db", "clutter_db", "loss_db",
	"eirp_a_dbm", "eirp_b_dbm", "rx_a_dbm", "rx_b_dbm", "sensitivity_a_dbm", "sensitivity_b_dbm",
	"snr_a_db", "snr_b_db", "margin_a_db", "margin_b_db", "margin_db",
	"sigma_db", "doubt_model_db", "doubt_ripple_db", "doubt_terrain_db", "doubt_hardware_db", "doubt_other_db",
}

// budgetFigures are the numbers of budgetKeys.
type budgetFigures [len(budgetKeys)]float64

// fill takes the figures of a pair, in the order of budgetKeys.
func (f *budgetFigures) fill(p *mesh.Pair) {
	f[0], f[1], f[2], f[3] = float64(p.FreeSpaceDB), float64(p.DiffractionDB), float64(p.TroposcatterDB), float64(p.ClutterDB)
	f[4] = float64(p.LossDB)
	there, back := &p.Forward, &p.Backward
	f[5], f[6] = float64(there.EIRPDBm), float64(back.EIRPDBm)
	f[7], f[8] = float64(back.RxDBm), float64(there.RxDBm)
	f[9], f[10] = float64(back.SensitivityDBm), float64(there.SensitivityDBm)
	f[11], f[12] = float64(back.SNRDB), float64(there.SNRDB)
	f[13], f[14], f[15] = float64(back.MarginDB), float64(there.MarginDB), float64(p.MarginDB)
	f[16] = float64(p.SigmaDB)
	d := &p.Doubt
	f[17], f[18], f[19], f[20], f[21] = float64(d.ModelDB), float64(d.RippleDB), float64(d.TerrainDB), float64(d.HardwareDB), float64(d.OtherDB)
}

func chanceColumns(p *mesh.Pair, to columns) {
	to.number("probability", p.Probability, 4)
	to.number("delivery", p.Delivery, 4)
	to.number("pessimistic_margin_db", float64(p.PessimisticMarginDB), 3)
	to.number("pessimistic_probability", p.PessimisticProbability, 4)
	to.when(p.BeyondRules)
	to.truth("beyond_rules", true)
}

func gapColumns(p *mesh.Pair, to columns) {
	g := p.Gap()
	to.when(g != nil)
	if g == nil {
		g = &noGap
	}
	to.word("gap", g.What)
	to.number("gap_from_m", g.FromM, 3)
	to.number("gap_to_m", g.ToM, 3)
	to.number("gap_lon_deg", g.LonDeg, 7)
	to.number("gap_lat_deg", g.LatDeg, 7)
	to.count("gaps", g.Count)
	to.when(p.FilledPoints != 0)
	to.count("filled_points", int(p.FilledPoints))
	reasons := p.Reasons()
	to.when(len(reasons) > 0)
	to.word("reasons", strings.Join(reasons, "; "))
}

// columnKeys lists the keys of eachColumn.
func columnKeys() []string {
	var list keyList
	eachColumn(&meshLink{Pair: &mesh.Pair{}}, new(budgetFigures), &list)
	return list
}

type keyList []string

func (k *keyList) when(bool)                           {}
func (k *keyList) number(key string, _ float64, _ int) { *k = append(*k, key) }
func (k *keyList) budget(*budgetFigures)               { *k = append(*k, budgetKeys[:]...) }
func (k *keyList) word(key, _ string)                  { *k = append(*k, key) }
func (k *keyList) count(key string, _ int)             { *k = append(*k, key) }
func (k *keyList) truth(key string, _ bool)            { *k = append(*k, key) }

// lineWriter writes pairs that are no link of the plan as features, whose parts
// that come again and again it makes once.
type lineWriter struct {
	names, at [][]byte // of the stations
	out       members
	figures   budgetFigures
}

func newLineWriter(m *mesh.Mesh) *lineWriter {
	w := &lineWriter{}
	for i := range m.Stations {
		w.names, w.at = append(w.names, rawJSON(m.Stations[i].Station.Name)), append(w.at, rawJSON(m.Stations[i].At))
	}
	return w
}

// line holds until the next one is made.
func (w *lineWriter) line(l *meshLink) []byte {
	out := append(w.out.b[:0], `{"type":"Feature","properties":{"from":`...)
	out = append(append(append(out, w.names[l.A]...), `,"to":`...), w.names[l.B]...)
	w.out.b = append(out, `,"required":false,"`+schemaKey+`":1`...)
	eachColumn(l, &w.figures, &w.out)
	out = append(append(w.out.b, `},"geometry":{"type":"LineString","coordinates":[`...), w.at[l.A]...)
	w.out.b = append(append(append(out, ','), w.at[l.B]...), `]}}`...)
	return w.out.b
}

// ofPlan is the column that is the plan's own in GeoJSON.
const ofPlan = "required"

// members writes figures as members of a JSON object, each with a comma before.
type members struct {
	b  []byte
	on bool
}

func (m *members) when(present bool) { m.on = present }

func (m *members) key(key string) []byte {
	return append(append(append(m.b, `,"`...), key...), `":`...)
}

func (m *members) number(key string, v float64, decimals int) {
	if m.on {
		m.b = appendFixed(m.key(key), v, decimals)
	}
}

func (m *members) budget(v *budgetFigures) {
	for i, key := range budgetKeys {
		m.number(key, v[i], 3)
	}
}

func (m *members) word(key, text string) {
	if m.on {
		m.b = appendText(m.key(key), text)
	}
}

func (m *members) count(key string, n int) {
	if m.on {
		m.b = strconv.AppendInt(m.key(key), int64(n), 10)
	}
}

func (m *members) truth(key string, v bool) {
	if m.on && key != ofPlan {
		m.b = strconv.AppendBool(m.key(key), v)
	}
}

// memberList keeps figures as the members of a rawObject.
type memberList struct {
	list rawObject
	on   bool
}

func (m *memberList) when(present bool) { m.on = present }

func (m *memberList) add(key string, value []byte) {
	if m.on && key != ofPlan {
		m.list = append(m.list, rawMember{key, value})
	}
}

func (m *memberList) number(key string, v float64, decimals int) {
	m.add(key, appendFixed(nil, v, decimals))
}
func (m *memberList) budget(v *budgetFigures) {
	for i, key := range budgetKeys {
		m.number(key, v[i], 3)
	}
}
func (m *memberList) word(key, text string)    { m.add(key, appendText(nil, text)) }
func (m *memberList) count(key string, n int)  { m.add(key, strconv.AppendInt(nil, int64(n), 10)) }
func (m *memberList) truth(key string, v bool) { m.add(key, strconv.AppendBool(nil, v)) }
