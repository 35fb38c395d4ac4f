package report

import (
	"strings"

	"github.com/polereach/polereach/linkbudget"
)

// column is one figure of a link in the flat forms, CSV and GeoJSON. "a" and "b"
// in a key are the ends called from and to: azimuth_a_deg is seen from there,
// rx_a_dbm arrives there.
type column struct {
	key   string
	value func(l *meshLink) figure
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

// known drops the figures that a link without terrain does not have.
func known(value func(l *meshLink) figure) func(*meshLink) figure {
	return func(l *meshLink) figure {
		if !l.known() {
			return figure{}
		}
		return value(l)
	}
}

func decibels(key string, of func(l *meshLink) linkbudget.DB) column {
	return column{key, known(func(l *meshLink) figure { return decimal(float64(of(l)), 3) })}
}

func levels(key string, of func(l *meshLink) linkbudget.DBm) column {
	return column{key, known(func(l *meshLink) figure { return decimal(float64(of(l)), 3) })}
}

func chances(key string, of func(l *meshLink) float64) column {
	return column{key, known(func(l *meshLink) figure { return decimal(of(l), 4) })}
}

// ranked drops what only a solid link has.
func ranked(key string, of func(l *meshLink) figure) column {
	return column{key, func(l *meshLink) figure {
		if l.rank == nil {
			return figure{}
		}
		return of(l)
	}}
}

var identityColumns = []column{
	{"from", func(l *meshLink) figure { return word(l.from) }},
	{"to", func(l *meshLink) figure { return word(l.to) }},
	{"wanted", func(l *meshLink) figure { return truth(l.Wanted()) }},
	{"required", func(l *meshLink) figure { return truth(l.Required) }},
	{"verdict", func(l *meshLink) figure { return word(string(l.Verdict)) }},
	ranked("role", func(l *meshLink) figure { return word(string(l.rank.Role)) }),
	ranked("joined_pairs", func(l *meshLink) figure { return whole(l.rank.JoinedPairs) }),
	ranked("redundant_pairs", func(l *meshLink) figure { return whole(l.rank.RedundantPairs) }),
	ranked("route_loss", func(l *meshLink) figure { return decimal(l.rank.RouteLoss, 4) }),
}

var geometryColumns = []column{
	{"distance_m", func(l *meshLink) figure { return decimal(l.DistM, 3) }},
	{"azimuth_a_deg", func(l *meshLink) figure { return decimal(l.AzimuthDeg, 4) }},
	{"azimuth_b_deg", func(l *meshLink) figure { return decimal(l.BackAzimuthDeg, 4) }},
	{"elevation_a_deg", known(func(l *meshLink) figure { return decimal(l.ElevationDeg, 4) })},
	{"elevation_b_deg", known(func(l *meshLink) figure { return decimal(l.BackElevationDeg, 4) })},
	{"path", known(func(l *meshLink) figure { return word(string(l.Path)) })},
	{"situation", known(func(l *meshLink) figure { return word(string(l.Situation)) })},
	clearance("clearance_f1", func(l *meshLink) figure { return decimal(l.Worst.F1, 4) }),
	clearance("clearance_m", func(l *meshLink) figure { return decimal(l.Worst.M, 3) }),
	clearance("clearance_at_m", func(l *meshLink) figure { return decimal(l.Worst.AtM, 3) }),
	clearance("clearance_lon_deg", func(l *meshLink) figure { return decimal(l.Worst.LonDeg, 7) }),
	clearance("clearance_lat_deg", func(l *meshLink) figure { return decimal(l.Worst.LatDeg, 7) }),
}

func clearance(key string, of func(l *meshLink) figure) column {
	return column{key, func(l *meshLink) figure {
		if l.Worst == nil {
			return figure{}
		}
		return of(l)
	}}
}

var lossColumns = []column{
	decibels("free_space_db", func(l *meshLink) linkbudget.DB { return l.FreeSpaceDB }),
	decibels("diffraction_db", func(l *meshLink) linkbudget.DB { return l.DiffractionDB }),
	decibels("troposcatter_db", func(l *meshLink) linkbudget.DB { return l.TroposcatterDB }),
	decibels("clutter_db", func(l *meshLink) linkbudget.DB { return l.ClutterDB }),
	decibels("loss_db", func(l *meshLink) linkbudget.DB { return l.LossDB }),
}

var levelColumns = []column{
	levels("eirp_a_dbm", func(l *meshLink) linkbudget.DBm { return l.Forward.EIRPDBm }),
	levels("eirp_b_dbm", func(l *meshLink) linkbudget.DBm { return l.Backward.EIRPDBm }),
	levels("rx_a_dbm", func(l *meshLink) linkbudget.DBm { return l.Backward.RxDBm }),
	levels("rx_b_dbm", func(l *meshLink) linkbudget.DBm { return l.Forward.RxDBm }),
	levels("sensitivity_a_dbm", func(l *meshLink) linkbudget.DBm { return l.Backward.SensitivityDBm }),
	levels("sensitivity_b_dbm", func(l *meshLink) linkbudget.DBm { return l.Forward.SensitivityDBm }),
	decibels("snr_a_db", func(l *meshLink) linkbudget.DB { return l.Backward.SNRDB }),
	decibels("snr_b_db", func(l *meshLink) linkbudget.DB { return l.Forward.SNRDB }),
	decibels("margin_a_db", func(l *meshLink) linkbudget.DB { return l.Backward.MarginDB }),
	decibels("margin_b_db", func(l *meshLink) linkbudget.DB { return l.Forward.MarginDB }),
	decibels("margin_db", func(l *meshLink) linkbudget.DB { return l.MarginDB }),
}

var doubtColumns = []column{
	decibels("sigma_db", func(l *meshLink) linkbudget.DB { return l.SigmaDB }),
	decibels("doubt_model_db", func(l *meshLink) linkbudget.DB { return l.Doubt.ModelDB }),
	decibels("doubt_ripple_db", func(l *meshLink) linkbudget.DB { return l.Doubt.RippleDB }),
	decibels("doubt_terrain_db", func(l *meshLink) linkbudget.DB { return l.Doubt.TerrainDB }),
	decibels("doubt_hardware_db", func(l *meshLink) linkbudget.DB { return l.Doubt.HardwareDB }),
	decibels("doubt_other_db", func(l *meshLink) linkbudget.DB { return l.Doubt.OtherDB }),
	chances("probability", func(l *meshLink) float64 { return l.Probability }),
	chances("delivery", func(l *meshLink) float64 { return l.Delivery }),
	decibels("pessimistic_margin_db", func(l *meshLink) linkbudget.DB { return l.PessimisticMarginDB }),
	chances("pessimistic_probability", func(l *meshLink) float64 { return l.PessimisticProbability }),
	{"beyond_rules", func(l *meshLink) figure {
		if !l.BeyondRules {
			return figure{}
		}
		return truth(true)
	}},
}

var gapColumns = []column{
	gap("gap", func(l *meshLink) figure { return word(l.Gap.What) }),
	gap("gap_from_m", func(l *meshLink) figure { return decimal(l.Gap.FromM, 3) }),
	gap("gap_to_m", func(l *meshLink) figure { return decimal(l.Gap.ToM, 3) }),
	gap("gap_lon_deg", func(l *meshLink) figure { return decimal(l.Gap.LonDeg, 7) }),
	gap("gap_lat_deg", func(l *meshLink) figure { return decimal(l.Gap.LatDeg, 7) }),
	gap("gaps", func(l *meshLink) figure { return whole(l.Gap.Count) }),
	{"filled_points", func(l *meshLink) figure {
		if l.FilledPoints == 0 {
			return figure{}
		}
		return whole(l.FilledPoints)
	}},
	{"reasons", func(l *meshLink) figure {
		if len(l.Reasons) == 0 {
			return figure{}
		}
		return word(strings.Join(l.Reasons, "; "))
	}},
}

func gap(key string, of func(l *meshLink) figure) column {
	return column{key, func(l *meshLink) figure {
		if l.Gap == nil {
			return figure{}
		}
		return of(l)
	}}
}
