package report

import (
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/terrain/magnetic"
)

// link is one examined path with all that is told of it.
type link struct {
	*mesh.Pair
	from, to string
	// Of the antennas above the ground.
	heightAM, heightBM float64

	// At its ends, where told has them.
	compassA, compassB *magnetic.Compass

	rank    *mesh.LinkRank  // what it is to the mesh; nil for a link that is not solid
	banded  bool            // a band's table was there for the advice
	alone   *mesh.PathCheck // of a path that was looked at alone, with its lists; nil in a mesh
	profile []byte          // its sampled path as JSON, nil for none
	told    presence        // what may be told of it
}

// timed reports whether the share of time that it holds is told: a survey leaves that of pairs
// out that nobody asked for and whose median falls short.
func (l *link) timed() bool {
	return l.known() && (l.alone != nil || l.Wanted() || l.TimePercentHeld > 0)
}

func (l *link) known() bool { return l.Verdict != linkbudget.Unknown }

// presence is a set of conditions on which figures are there.
type presence uint32

const (
	planned    presence = 1 << iota // a plan says whether it is wanted
	named                           // its reader asks from where it goes
	located                         // the places of its ends are known,
	compassedA                      // and what a compass shows at the one
	compassedB                      // and the other
	judged                          // its verdict is not unknown
	listed                          // it is judged, and alone
	timed                           // it is told how much of the time it holds,
	shifted                         // and its loss is not the median
	ranked                          // it counts in the mesh
	joins                           // ranked: without it poles fall apart,
	doubles                         // have one way only,
	shortens                        // or a longer one
	cleared                         // it has a least clearance,
	placed                          // whose place is known
	beyond                          // an end is beyond the band's rules
	gapped                          // terrain is missing,
	gapPlaced                       // at a known place
	filled                          // terrain is filled in
	reasoned                        // it has reasons
	always                          // any link
	never      presence = 0
)

// compassed says at which ends a compass is of use.
func compassed(a, b *magnetic.Compass) (p presence) {
	if a.Known() {
		p |= compassedA
	}
	if b.Known() {
		p |= compassedB
	}
	return p
}

// present says which of the conditions hold.
func (l *link) present() presence {
	p := l.told | always
	when := func(holds bool, set presence) {
		if holds {
			p |= set
		}
	}
	when(l.known(), judged)
	when(l.known() && l.alone != nil, listed)
	when(l.timed(), timed)
	when(l.known() && l.TimeDB() != 0, shifted)
	if r := l.rank; r != nil {
		p |= ranked
		when(r.JoinedPairs != 0, joins)
		when(r.RedundantPairs != 0, doubles)
		when(fixed(r.Detour, 3) != 0, shortens)
	}
	when(l.Worst != nil, cleared)
	when(l.Worst != nil && (l.alone == nil || l.alone.WorstAt.Known), placed)
	when(l.BeyondRules, beyond)
	when(l.PairNotes != nil && l.PairNotes.Gap != nil, gapped)
	when(p&gapped != 0 && p&located != 0, gapPlaced)
	when(l.FilledPoints != 0, filled)
	when(len(l.Reasons()) > 0, reasoned)
	return p
}

// figure is one figure of a link in every form: a column of CSV and a property of GeoJSON,
// and a member of JSON, which in the middle of others may be an object or a list.
type figure struct {
	key    string   // of the column and the property
	when   presence // it has a value; never: it is neither
	member string   // its key in JSON
	in     presence // JSON has it
	// One of these takes it.
	number   func(l *link) float64
	decimals int
	count    func(l *link) int
	word     func(l *link) string
	truth    func(l *link) bool
	inner    func(l *link, o *object) // writes members of JSON
}

func numberOf(key string, decimals int, when presence, of func(l *link) float64) figure {
	return figure{key: key, when: when, member: key, in: when, number: of, decimals: decimals}
}

func countOf(key string, when presence, of func(l *link) int) figure {
	return figure{key: key, when: when, member: key, in: when, count: of}
}

func wordOf(key string, when presence, of func(l *link) string) figure {
	return figure{key: key, when: when, member: key, in: when, word: of}
}

func truthOf(key string, when presence, of func(l *link) bool) figure {
	return figure{key: key, when: when, member: key, in: when, truth: of}
}

func innerOf(in presence, write func(l *link, o *object)) figure { return figure{in: in, inner: write} }

// as is the figure with another key in JSON.
func (f figure) as(member string) figure { f.member = member; return f }

// column is the figure without a member of its own in JSON.
func (f figure) column() figure { f.in = never; return f }

// only is the figure that JSON has less often.
func (f figure) only(in presence) figure { f.in = in; return f }

// linkFigures are all figures of a link but the names of its ends, in their order. "a" and
// "b" in the key of a column are the ends called from and to: azimuth_a_deg is seen from
// there, rx_a_dbm arrives there; in a plan file azimuth_deg turns a sector antenna. Azimuths
// are true.
var linkFigures = []figure{
	truthOf("wanted", planned, func(l *link) bool { return l.Wanted() }),
	truthOf(ofPlan, planned, func(l *link) bool { return l.Required }),
	wordOf("verdict", always, func(l *link) string { return l.Verdict.String() }).column(),
	wordOf("role", ranked, func(l *link) string { return string(l.rank.Role) }),
	countOf("joined_pairs", ranked, func(l *link) int { return l.rank.JoinedPairs }).only(joins),
	countOf("redundant_pairs", ranked, func(l *link) int { return l.rank.RedundantPairs }).only(doubles),
	numberOf("detour_transmissions", 3, ranked, func(l *link) float64 { return l.rank.Detour }).only(shortens),
	numberOf("height_a_m", 3, always, func(l *link) float64 { return l.heightAM }),
	numberOf("height_b_m", 3, always, func(l *link) float64 { return l.heightBM }),
	numberOf("distance_m", 3, always, func(l *link) float64 { return l.DistM }),
	numberOf("azimuth_a_deg", 4, located, func(l *link) float64 { return l.AzimuthDeg }).as("azimuth_deg"),
	numberOf("azimuth_b_deg", 4, located, func(l *link) float64 { return l.BackAzimuthDeg }).as("back_azimuth_deg"),
	// A mesh has none: its figures do not depend on the date.
	numberOf("magnetic_deg", 1, never, func(l *link) float64 { return l.compassA.BearingDeg(l.AzimuthDeg) }).
		only(compassedA),
	numberOf("back_magnetic_deg", 1, never, func(l *link) float64 { return l.compassB.BearingDeg(l.BackAzimuthDeg) }).
		only(compassedB),
	numberOf("elevation_a_deg", 4, judged, func(l *link) float64 { return l.ElevationDeg }).as("elevation_deg"),
	numberOf("elevation_b_deg", 4, judged, func(l *link) float64 { return l.BackElevationDeg }).column(),
	wordOf("path", judged, func(l *link) string { return l.Path.String() }),
	wordOf("situation", judged, func(l *link) string { return l.Situation.String() }),
	numberOf("clearance_f1", 4, cleared, func(l *link) float64 { return l.Worst.F1 }),
	numberOf("clearance_m", 3, cleared, func(l *link) float64 { return l.Worst.M }),
	numberOf("clearance_at_m", 3, cleared, func(l *link) float64 { return l.Worst.AtM }),
	numberOf("clearance_lon_deg", 7, placed, func(l *link) float64 { return l.Worst.LonDeg }).column(),
	numberOf("clearance_lat_deg", 7, placed, func(l *link) float64 { return l.Worst.LatDeg }).column(),
	innerOf(placed, func(l *link, o *object) { o.place("clearance_at", l.Worst.LonDeg, l.Worst.LatDeg) }),
	innerOf(listed, (*link).obstacles),
	innerOf(judged, (*link).losses),
	numberOf("free_space_db", 3, judged, func(l *link) float64 { return float64(l.FreeSpaceDB) }).column(),
	numberOf("diffraction_db", 3, judged, func(l *link) float64 { return float64(l.DiffractionDB) }).column(),
	numberOf("troposcatter_db", 3, judged, func(l *link) float64 { return float64(l.TroposcatterDB) }).column(),
	numberOf("clutter_db", 3, judged, func(l *link) float64 { return float64(l.ClutterDB) }).column(),
	numberOf("time_db", 3, shifted, func(l *link) float64 { return float64(l.TimeDB()) }).column(),
	numberOf("loss_db", 3, judged, func(l *link) float64 { return float64(l.LossDB) }),
	innerOf(listed, (*link).ground),
	numberOf("eirp_a_dbm", 3, judged, func(l *link) float64 { return float64(l.Forward.EIRPDBm) }).column(),
	numberOf("eirp_b_dbm", 3, judged, func(l *link) float64 { return float64(l.Backward.EIRPDBm) }).column(),
	numberOf("rx_a_dbm", 3, judged, func(l *link) float64 { return float64(l.Backward.RxDBm) }).column(),
	numberOf("rx_b_dbm", 3, judged, func(l *link) float64 { return float64(l.Forward.RxDBm) }).column(),
	numberOf("sensitivity_a_dbm", 3, judged, func(l *link) float64 { return float64(l.Backward.SensitivityDBm) }).column(),
	numberOf("sensitivity_b_dbm", 3, judged, func(l *link) float64 { return float64(l.Forward.SensitivityDBm) }).column(),
	numberOf("snr_a_db", 3, judged, func(l *link) float64 { return float64(l.Backward.SNRDB) }).column(),
	numberOf("snr_b_db", 3, judged, func(l *link) float64 { return float64(l.Forward.SNRDB) }).column(),
	numberOf("margin_a_db", 3, judged, func(l *link) float64 { return float64(l.Backward.MarginDB) }).column(),
	numberOf("margin_b_db", 3, judged, func(l *link) float64 { return float64(l.Forward.MarginDB) }).column(),
	innerOf(judged, (*link).weaker),
	numberOf("margin_db", 3, judged, func(l *link) float64 { return float64(l.MarginDB) }),
	numberOf("sigma_db", 3, judged, func(l *link) float64 { return float64(l.SigmaDB) }),
	innerOf(judged, (*link).doubts),
	numberOf("doubt_model_db", 3, judged, func(l *link) float64 { return float64(l.Doubt.ModelDB) }).column(),
	numberOf("doubt_ripple_db", 3, judged, func(l *link) float64 { return float64(l.Doubt.RippleDB) }).column(),
	numberOf("doubt_terrain_db", 3, judged, func(l *link) float64 { return float64(l.Doubt.TerrainDB) }).column(),
	numberOf("doubt_hardware_db", 3, judged, func(l *link) float64 { return float64(l.Doubt.HardwareDB) }).column(),
	numberOf("doubt_other_db", 3, judged, func(l *link) float64 { return float64(l.Doubt.OtherDB) }).column(),
	numberOf("probability", 4, judged, func(l *link) float64 { return l.Probability }),
	numberOf("time_percent_held", 2, timed, func(l *link) float64 { return l.TimePercentHeld }),
	numberOf("delivery", 4, judged, func(l *link) float64 { return l.Delivery }),
	innerOf(judged, (*link).directions),
	innerOf(judged, (*link).pessimistic),
	numberOf("pessimistic_margin_db", 3, judged, func(l *link) float64 { return float64(l.PessimisticMarginDB) }).column(),
	numberOf("pessimistic_probability", 4, judged, func(l *link) float64 { return l.PessimisticProbability }).column(),
	innerOf(always, (*link).verdict),
	truthOf("beyond_rules", beyond, func(*link) bool { return true }),
	wordOf("gap", gapped, func(l *link) string { return l.PairNotes.Gap.What }).column(),
	numberOf("gap_from_m", 3, gapped, func(l *link) float64 { return l.PairNotes.Gap.FromM }).column(),
	numberOf("gap_to_m", 3, gapped, func(l *link) float64 { return l.PairNotes.Gap.ToM }).column(),
	numberOf("gap_lon_deg", 7, gapPlaced, func(l *link) float64 { return l.PairNotes.Gap.LonDeg }).column(),
	numberOf("gap_lat_deg", 7, gapPlaced, func(l *link) float64 { return l.PairNotes.Gap.LatDeg }).column(),
	countOf("gaps", gapped, func(l *link) int { return l.PairNotes.Gap.Count }).column(),
	innerOf(gapped, (*link).gaps),
	countOf("filled_points", filled, func(l *link) int { return int(l.FilledPoints) }),
	wordOf("reasons", reasoned, func(l *link) string { return strings.Join(l.Reasons(), "; ") }).column(),
}

// ofPlan is the column that is the plan's own in GeoJSON.
const ofPlan = "required"

// The figures that each form has.
var (
	linkColumns    = slices.DeleteFunc(slices.Clone(linkFigures), func(f figure) bool { return f.when == never })
	linkProperties = slices.DeleteFunc(slices.Clone(linkColumns), func(f figure) bool { return f.key == ofPlan })
	linkMembers    = slices.DeleteFunc(slices.Clone(linkFigures), func(f figure) bool { return f.in == never })
)

func keysOf(figures []figure) []string {
	keys := make([]string, len(figures))
	for i := range figures {
		keys[i] = figures[i].key
	}
	return keys
}

// write writes a link as a JSON object, of a mesh or alone. Of terms and gaps a mesh keeps
// less: no sources, the first gap.
//
// There may be a million of them: hence not by encoding/json, which takes
// several times as long as the link itself is worth.
func (l *link) write(o *object) {
	o.open('{')
	if l.told&named != 0 {
		o.text("from", l.from)
	}
	o.text("to", l.to)
	o.figures(linkMembers, l)
	if l.profile != nil {
		o.raw("profile", l.profile)
	}
	o.close('}')
}

// figures writes those that are there.
func (o *object) figures(list []figure, l *link) {
	present := l.present()
	for i := range list {
		switch f := &list[i]; {
		case f.in&present == 0:
		case f.inner != nil:
			f.inner(l, o)
		default:
			o.figure(f.member, f, l)
		}
	}
}

func (o *object) figure(key string, f *figure, l *link) {
	switch {
	case f.number != nil:
		o.number(key, f.number(l), f.decimals)
	case f.count != nil:
		o.count(key, f.count(l))
	case f.word != nil:
		o.text(key, f.word(l))
	default:
		o.truth(key, f.truth(l))
	}
}
