package report

import "strings"

// column is one figure of a link in the flat forms, CSV and GeoJSON. "a" and "b"
// in a key are the ends called from and to: azimuth_a_deg is seen from there,
// rx_a_dbm arrives there.
type column struct {
	key  string
	when presence
	// number is written with so many decimals; nil for what other gives.
	number   func(l *meshLink) float64
	decimals int
	other    func(l *meshLink) figure
}

// presence is what a link must have for a figure to be there, one bit each.
type presence uint8

const (
	ifKnown   presence = 1 << iota // terrain all along
	ifRanked                       // it is solid
	ifCleared                      // inner points
	ifGap
)

// present is what a link has.
func (l *meshLink) present() (p presence) {
	if l.known() {
		p |= ifKnown
	}
	if l.rank != nil {
		p |= ifRanked
	}
	if l.Worst != nil {
		p |= ifCleared
	}
	if l.Gap != nil {
		p |= ifGap
	}
	return p
}

// value is the figure of a link that has what present says.
func (c *column) value(l *meshLink, present presence) figure {
	switch {
	case c.when&^present != 0:
		return figure{}
	case c.number != nil:
		return decimal(c.number(l), c.decimals)
	}
	return c.other(l)
}

// linkColumns are the columns in their order. The keys are those of the JSON of
// a link where it has the same figure; only the azimuths differ, since
// azimuth_deg in a plan file turns a sector antenna.
var linkColumns = concat(identityColumns, geometryColumns, lossColumns, levelColumns, doubtColumns, gapColumns)

func concat(lists ...[]column) (all []column) {
	for _, l := range lists {
		all = append(all, l...)
	}
	return all
}

func measure(key string, when presence, decimals int, of func(l *meshLink) float64) column {
	return column{key: key, when: when, decimals: decimals, number: of}
}

func other(key string, when presence, of func(l *meshLink) figure) column {
	return column{key: key, when: when, other: of}
}

var identityColumns = []column{
	other("from", 0, func(l *meshLink) figure { return word(l.from) }),
	other("to", 0, func(l *meshLink) figure { return word(l.to) }),
	other("wanted", 0, func(l *meshLink) figure { return truth(l.Wanted()) }),
	other("required", 0, func(l *meshLink) figure { return truth(l.Required) }),
	other("verdict", 0, func(l *meshLink) figure { return word(string(l.Verdict)) }),
	other("role", ifRanked, func(l *meshLink) figure { return word(string(l.rank.Role)) }),
	other("joined_pairs", ifRanked, func(l *meshLink) figure { return whole(l.rank.JoinedPairs) }),
	other("redundant_pairs", ifRanked, func(l *meshLink) figure { return whole(l.rank.RedundantPairs) }),
	measure("route_loss", ifRanked, 4, func(l *meshLink) float64 { return l.rank.RouteLoss }),
}

var geometryColumns = []column{
	measure("distance_m", 0, 3, func(l *meshLink) float64 { return l.DistM }),
	measure("azimuth_a_deg", 0, 4, func(l *meshLink) float64 { return l.AzimuthDeg }),
	measure("azimuth_b_deg", 0, 4, func(l *meshLink) float64 { return l.BackAzimuthDeg }),
	measure("elevation_a_deg", ifKnown, 4, func(l *meshLink) float64 { return l.ElevationDeg }),
	measure("elevation_b_deg", ifKnown, 4, func(l *meshLink) float64 { return l.BackElevationDeg }),
	other("path", ifKnown, func(l *meshLink) figure { return word(string(l.Path)) }),
	other("situation", ifKnown, func(l *meshLink) figure { return word(string(l.Situation)) }),
	measure("clearance_f1", ifCleared, 4, func(l *meshLink) float64 { return l.Worst.F1 }),
	measure("clearance_m", ifCleared, 3, func(l *meshLink) float64 { return l.Worst.M }),
	measure("clearance_at_m", ifCleared, 3, func(l *meshLink) float64 { return l.Worst.AtM }),
	measure("clearance_lon_deg", ifCleared, 7, func(l *meshLink) float64 { return l.Worst.LonDeg }),
	measure("clearance_lat_deg", ifCleared, 7, func(l *meshLink) float64 { return l.Worst.LatDeg }),
}

var lossColumns = []column{
	measure("free_space_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.FreeSpaceDB) }),
	measure("diffraction_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.DiffractionDB) }),
	measure("troposcatter_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.TroposcatterDB) }),
	measure("clutter_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.ClutterDB) }),
	measure("loss_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.LossDB) }),
}

var levelColumns = []column{
	measure("eirp_a_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Forward.EIRPDBm) }),
	measure("eirp_b_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Backward.EIRPDBm) }),
	measure("rx_a_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Backward.RxDBm) }),
	measure("rx_b_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Forward.RxDBm) }),
	measure("sensitivity_a_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Backward.SensitivityDBm) }),
	measure("sensitivity_b_dbm", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Forward.SensitivityDBm) }),
	measure("snr_a_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Backward.SNRDB) }),
	measure("snr_b_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Forward.SNRDB) }),
	measure("margin_a_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Backward.MarginDB) }),
	measure("margin_b_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Forward.MarginDB) }),
	measure("margin_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.MarginDB) }),
}

var doubtColumns = []column{
	measure("sigma_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.SigmaDB) }),
	measure("doubt_model_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Doubt.ModelDB) }),
	measure("doubt_ripple_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Doubt.RippleDB) }),
	measure("doubt_terrain_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Doubt.TerrainDB) }),
	measure("doubt_hardware_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Doubt.HardwareDB) }),
	measure("doubt_other_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.Doubt.OtherDB) }),
	measure("probability", ifKnown, 4, func(l *meshLink) float64 { return l.Probability }),
	measure("delivery", ifKnown, 4, func(l *meshLink) float64 { return l.Delivery }),
	measure("pessimistic_margin_db", ifKnown, 3, func(l *meshLink) float64 { return float64(l.PessimisticMarginDB) }),
	measure("pessimistic_probability", ifKnown, 4, func(l *meshLink) float64 { return l.PessimisticProbability }),
	other("beyond_rules", 0, func(l *meshLink) figure {
		if !l.BeyondRules {
			return figure{}
		}
		return truth(true)
	}),
}

var gapColumns = []column{
	other("gap", ifGap, func(l *meshLink) figure { return word(l.Gap.What) }),
	measure("gap_from_m", ifGap, 3, func(l *meshLink) float64 { return l.Gap.FromM }),
	measure("gap_to_m", ifGap, 3, func(l *meshLink) float64 { return l.Gap.ToM }),
	measure("gap_lon_deg", ifGap, 7, func(l *meshLink) float64 { return l.Gap.LonDeg }),
	measure("gap_lat_deg", ifGap, 7, func(l *meshLink) float64 { return l.Gap.LatDeg }),
	other("gaps", ifGap, func(l *meshLink) figure { return whole(l.Gap.Count) }),
	other("filled_points", 0, func(l *meshLink) figure {
		if l.FilledPoints == 0 {
			return figure{}
		}
		return whole(l.FilledPoints)
	}),
	other("reasons", 0, func(l *meshLink) figure {
		if len(l.Reasons) == 0 {
			return figure{}
		}
		return word(strings.Join(l.Reasons, "; "))
	}),
}
