package report

import (
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
)

// columns takes the figures of a link in the flat forms, CSV and GeoJSON, one
// after the other. "a" and "b" in a key are the ends called from and to:
// azimuth_a_deg is seen from there, rx_a_dbm arrives there.
type columns interface {
	// when says whether the figures that follow are there, until it is called again.
	when(present bool)
	number(key string, v float64, decimals int)
	word(key, text string)
	count(key string, n int)
	truth(key string, v bool)
}

// What a link may lack, for eachColumn to read from.
var (
	noRank      plan.LinkRank
	noClearance plan.PairClearance
	noGap       plan.PairGap
)

// eachColumn gives every figure of a link but the names of its ends. The keys
// are those of the JSON of a link where it has the same figure; only the
// azimuths differ, since azimuth_deg in a plan file turns a sector antenna.
func eachColumn(l *meshLink, to columns) {
	to.when(true)
	to.truth("wanted", l.Wanted())
	to.truth("required", l.Required)
	to.word("verdict", string(l.Verdict))
	rankColumns(l, to)
	geometryColumns(l, to)
	lossColumns(l.Pair, to)
	levelColumns(l.Pair, to)
	doubtColumns(l.Pair, to)
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
	to.number("route_loss", r.RouteLoss, 4)
}

func geometryColumns(l *meshLink, to columns) {
	to.when(true)
	to.number("distance_m", l.DistM, 3)
	to.number("azimuth_a_deg", l.AzimuthDeg, 4)
	to.number("azimuth_b_deg", l.BackAzimuthDeg, 4)
	to.when(l.known())
	to.number("elevation_a_deg", l.ElevationDeg, 4)
	to.number("elevation_b_deg", l.BackElevationDeg, 4)
	to.word("path", string(l.Path))
	to.word("situation", string(l.Situation))
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

func lossColumns(p *plan.Pair, to columns) {
	to.number("free_space_db", float64(p.FreeSpaceDB), 3)
	to.number("diffraction_db", float64(p.DiffractionDB), 3)
	to.number("troposcatter_db", float64(p.TroposcatterDB), 3)
	to.number("clutter_db", float64(p.ClutterDB), 3)
	to.number("loss_db", float64(p.LossDB), 3)
}

func levelColumns(p *plan.Pair, to columns) {
	there, back := &p.Forward, &p.Backward
	to.number("eirp_a_dbm", float64(there.EIRPDBm), 3)
	to.number("eirp_b_dbm", float64(back.EIRPDBm), 3)
	to.number("rx_a_dbm", float64(back.RxDBm), 3)
	to.number("rx_b_dbm", float64(there.RxDBm), 3)
	to.number("sensitivity_a_dbm", float64(back.SensitivityDBm), 3)
	to.number("sensitivity_b_dbm", float64(there.SensitivityDBm), 3)
	to.number("snr_a_db", float64(back.SNRDB), 3)
	to.number("snr_b_db", float64(there.SNRDB), 3)
	to.number("margin_a_db", float64(back.MarginDB), 3)
	to.number("margin_b_db", float64(there.MarginDB), 3)
	to.number("margin_db", float64(p.MarginDB), 3)
}

func doubtColumns(p *plan.Pair, to columns) {
	to.number("sigma_db", float64(p.SigmaDB), 3)
	to.number("doubt_model_db", float64(p.Doubt.ModelDB), 3)
	to.number("doubt_ripple_db", float64(p.Doubt.RippleDB), 3)
	to.number("doubt_terrain_db", float64(p.Doubt.TerrainDB), 3)
	to.number("doubt_hardware_db", float64(p.Doubt.HardwareDB), 3)
	to.number("doubt_other_db", float64(p.Doubt.OtherDB), 3)
	to.number("probability", p.Probability, 4)
	to.number("delivery", p.Delivery, 4)
	to.number("pessimistic_margin_db", float64(p.PessimisticMarginDB), 3)
	to.number("pessimistic_probability", p.PessimisticProbability, 4)
	to.when(p.BeyondRules)
	to.truth("beyond_rules", true)
}

func gapColumns(p *plan.Pair, to columns) {
	g := p.Gap
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
	to.count("filled_points", p.FilledPoints)
	to.when(len(p.Reasons) > 0)
	to.word("reasons", strings.Join(p.Reasons, "; "))
}

// columnKeys lists the keys of eachColumn.
func columnKeys() []string {
	var list keyList
	eachColumn(&meshLink{Pair: &plan.Pair{}}, &list)
	return list
}

type keyList []string

func (k *keyList) when(bool)                           {}
func (k *keyList) number(key string, _ float64, _ int) { *k = append(*k, key) }
func (k *keyList) word(key, _ string)                  { *k = append(*k, key) }
func (k *keyList) count(key string, _ int)             { *k = append(*k, key) }
func (k *keyList) truth(key string, _ bool)            { *k = append(*k, key) }
