package report

import (
	"strings"

	"github.com/polereach/polereach/linkbudget"
)

// column is one figure of a link in the flat forms, CSV and GeoJSON. value is
// nil, a string, a bool, an int or a float64. "a" and "b" in a key are the ends
// called from and to: azimuth_a_deg is seen from there, rx_a_dbm arrives there.
type column struct {
	key   string
	value func(l *meshLink) any
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
func known(value func(l *meshLink) any) func(*meshLink) any {
	return func(l *meshLink) any {
		if !l.known() {
			return nil
		}
		return value(l)
	}
}

func decibels(key string, of func(l *meshLink) linkbudget.DB) column {
	return column{key, known(func(l *meshLink) any { return db(of(l)) })}
}

func levels(key string, of func(l *meshLink) linkbudget.DBm) column {
	return column{key, known(func(l *meshLink) any { return dbm(of(l)) })}
}

func chances(key string, of func(l *meshLink) float64) column {
	return column{key, known(func(l *meshLink) any { return fixed(of(l), 4) })}
}

// ranked drops what only a solid link has.
func ranked(key string, of func(l *meshLink) any) column {
	return column{key, func(l *meshLink) any {
		if l.rank == nil {
			return nil
		}
		return of(l)
	}}
}

var identityColumns = []column{
	{"from", func(l *meshLink) any { return l.from }},
	{"to", func(l *meshLink) any { return l.to }},
	{"wanted", func(l *meshLink) any { return l.Wanted() }},
	{"required", func(l *meshLink) any { return l.Required }},
	{"verdict", func(l *meshLink) any { return string(l.Verdict) }},
	ranked("role", func(l *meshLink) any { return string(l.rank.Role) }),
	ranked("joined_pairs", func(l *meshLink) any { return l.rank.JoinedPairs }),
	ranked("redundant_pairs", func(l *meshLink) any { return l.rank.RedundantPairs }),
	ranked("route_loss", func(l *meshLink) any { return fixed(l.rank.RouteLoss, 4) }),
}

var geometryColumns = []column{
	{"distance_m", func(l *meshLink) any { return metres(l.DistM) }},
	{"azimuth_a_deg", func(l *meshLink) any { return angleDeg(l.AzimuthDeg) }},
	{"azimuth_b_deg", func(l *meshLink) any { return angleDeg(l.BackAzimuthDeg) }},
	{"elevation_a_deg", known(func(l *meshLink) any { return angleDeg(l.ElevationDeg) })},
	{"elevation_b_deg", known(func(l *meshLink) any { return angleDeg(l.BackElevationDeg) })},
	{"path", known(func(l *meshLink) any { return string(l.Path) })},
	{"situation", known(func(l *meshLink) any { return string(l.Situation) })},
	clearance("clearance_f1", func(l *meshLink) any { return fixed(l.Worst.F1, 4) }),
	clearance("clearance_m", func(l *meshLink) any { return metres(l.Worst.M) }),
	clearance("clearance_at_m", func(l *meshLink) any { return metres(l.Worst.AtM) }),
	clearance("clearance_lon_deg", func(l *meshLink) any { return placeDeg(l.Worst.LonDeg) }),
	clearance("clearance_lat_deg", func(l *meshLink) any { return placeDeg(l.Worst.LatDeg) }),
}

func clearance(key string, of func(l *meshLink) any) column {
	return column{key, func(l *meshLink) any {
		if l.Worst == nil {
			return nil
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
	{"beyond_rules", func(l *meshLink) any {
		if !l.BeyondRules {
			return nil
		}
		return true
	}},
}

var gapColumns = []column{
	gap("gap", func(l *meshLink) any { return l.Gap.What }),
	gap("gap_from_m", func(l *meshLink) any { return metres(l.Gap.FromM) }),
	gap("gap_to_m", func(l *meshLink) any { return metres(l.Gap.ToM) }),
	gap("gap_lon_deg", func(l *meshLink) any { return placeDeg(l.Gap.LonDeg) }),
	gap("gap_lat_deg", func(l *meshLink) any { return placeDeg(l.Gap.LatDeg) }),
	gap("gaps", func(l *meshLink) any { return l.Gap.Count }),
	{"filled_points", func(l *meshLink) any {
		if l.FilledPoints == 0 {
			return nil
		}
		return l.FilledPoints
	}},
	{"reasons", func(l *meshLink) any {
		if len(l.Reasons) == 0 {
			return nil
		}
		return strings.Join(l.Reasons, "; ")
	}},
}

func gap(key string, of func(l *meshLink) any) column {
	return column{key, func(l *meshLink) any {
		if l.Gap == nil {
			return nil
		}
		return of(l)
	}}
}
