package report

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// meshLinkJSON has the keys of a link of the command "site" where both have the
// figure. Of terms and gaps a mesh keeps less: no sources, the first gap.
type meshLinkJSON struct {
	From           string           `json:"from"`
	To             string           `json:"to"`
	Wanted         bool             `json:"wanted"`
	Required       bool             `json:"required"`
	Role           string           `json:"role,omitempty"`
	JoinedPairs    int              `json:"joined_pairs,omitempty"`
	RedundantPairs int              `json:"redundant_pairs,omitempty"`
	RouteLoss      float64          `json:"route_loss,omitempty"`
	DistanceM      float64          `json:"distance_m"`
	AzimuthDeg     float64          `json:"azimuth_deg"`
	BackAzimuthDeg float64          `json:"back_azimuth_deg"`
	ElevationDeg   *float64         `json:"elevation_deg,omitempty"`
	Path           string           `json:"path,omitempty"`
	Situation      string           `json:"situation,omitempty"`
	ClearanceF1    *float64         `json:"clearance_f1,omitempty"`
	ClearanceM     *float64         `json:"clearance_m,omitempty"`
	ClearanceAtM   *float64         `json:"clearance_at_m,omitempty"`
	ClearanceAt    *placeJSON       `json:"clearance_at,omitempty"`
	Terms          []meshTermJSON   `json:"terms,omitempty"`
	LossDB         *float64         `json:"loss_db,omitempty"`
	Weaker         string           `json:"weaker_direction,omitempty"`
	RxDBm          *float64         `json:"rx_dbm,omitempty"`
	SNRDB          *float64         `json:"snr_db,omitempty"`
	SensitivityDBm *float64         `json:"sensitivity_dbm,omitempty"`
	MarginDB       *float64         `json:"margin_db,omitempty"`
	SigmaDB        *float64         `json:"sigma_db,omitempty"`
	Doubt          []meshTermJSON   `json:"doubt,omitempty"`
	Probability    *float64         `json:"probability,omitempty"`
	Delivery       *float64         `json:"delivery,omitempty"`
	Directions     []meshDirection  `json:"directions,omitempty"`
	Pessimistic    *meshPessimistic `json:"pessimistic,omitempty"`
	Verdict        string           `json:"verdict"`
	Reasons        []string         `json:"reasons,omitempty"`
	Advice         []adviceJSON     `json:"advice,omitempty"`
	AdviceBest     *float64         `json:"advice_best_probability,omitempty"`
	BeyondRules    bool             `json:"beyond_rules,omitempty"`
	Gaps           []gapJSON        `json:"gaps,omitempty"`
	GapCount       int              `json:"gap_count,omitempty"`
	FilledPoints   int              `json:"filled_points,omitempty"`
}

type meshTermJSON struct {
	Name string  `json:"name"`
	DB   float64 `json:"db"`
}

type meshDirection struct {
	From           string  `json:"from"`
	To             string  `json:"to"`
	EIRPDBm        float64 `json:"eirp_dbm"`
	RxDBm          float64 `json:"rx_dbm"`
	SNRDB          float64 `json:"snr_db"`
	SensitivityDBm float64 `json:"sensitivity_dbm"`
	MarginDB       float64 `json:"margin_db"`
}

type meshPessimistic struct {
	MarginDB    float64 `json:"margin_db"`
	Probability float64 `json:"probability"`
}

// meshTerms lists what is there; free space and diffraction always are.
func meshTerms(always int, names []string, values ...linkbudget.DB) []meshTermJSON {
	var out []meshTermJSON
	for i, v := range values {
		if i < always || v != 0 {
			out = append(out, meshTermJSON{names[i], db(v)})
		}
	}
	return out
}

func newMeshLinkJSON(m *plan.Mesh, l *meshLink) meshLinkJSON {
	j := meshLinkJSON{
		From: l.from, To: l.to, Wanted: l.Wanted(), Required: l.Required, DistanceM: metres(l.DistM),
		AzimuthDeg: angleDeg(l.AzimuthDeg), BackAzimuthDeg: angleDeg(l.BackAzimuthDeg),
		Verdict: string(l.Verdict), Reasons: l.Reasons, BeyondRules: l.BeyondRules, FilledPoints: l.FilledPoints,
	}
	if r := l.rank; r != nil {
		j.Role, j.JoinedPairs, j.RedundantPairs, j.RouteLoss = string(r.Role), r.JoinedPairs, r.RedundantPairs, fixed(r.RouteLoss, 4)
	}
	if g := l.Gap; g != nil {
		j.Gaps, j.GapCount = []gapJSON{{g.What, metres(g.FromM), metres(g.ToM), &placeJSON{placeDeg(g.LonDeg), placeDeg(g.LatDeg)}}}, g.Count
	}
	if !l.known() {
		return j
	}
	j.ElevationDeg, j.Path, j.Situation = ptr(angleDeg(l.ElevationDeg)), string(l.Path), string(l.Situation)
	if w := l.Worst; w != nil {
		j.ClearanceF1, j.ClearanceM, j.ClearanceAtM = ptr(fixed(w.F1, 4)), ptr(metres(w.M)), ptr(metres(w.AtM))
		j.ClearanceAt = &placeJSON{placeDeg(w.LonDeg), placeDeg(w.LatDeg)}
	}
	j.Terms = meshTerms(2, []string{"free space", "diffraction", "troposcatter", "clutter"}, l.FreeSpaceDB, l.DiffractionDB, l.TroposcatterDB, l.ClutterDB)
	d := l.Doubt
	j.Doubt = meshTerms(0, []string{"model", "ripple", "terrain", "hardware", "other"}, d.ModelDB, d.RippleDB, d.TerrainDB, d.HardwareDB, d.OtherDB)
	j.levels(m, l)
	if l.Counsel != nil {
		var with linkJSON
		with.counsel(*l.Counsel)
		j.Advice, j.AdviceBest = with.Advice, with.AdviceBest
	}
	return j
}

func (j *meshLinkJSON) levels(m *plan.Mesh, l *meshLink) {
	weaker, from, to := l.Weaker()
	j.Weaker = m.Stations[from].Station.Name + " to " + m.Stations[to].Station.Name
	j.LossDB, j.RxDBm, j.SNRDB = ptr(db(l.LossDB)), ptr(dbm(weaker.RxDBm)), ptr(db(weaker.SNRDB))
	j.SensitivityDBm, j.MarginDB, j.SigmaDB = ptr(dbm(weaker.SensitivityDBm)), ptr(db(l.MarginDB)), ptr(db(l.SigmaDB))
	j.Probability, j.Delivery = ptr(fixed(l.Probability, 4)), ptr(fixed(l.Delivery, 4))
	one := func(from, to string, d plan.PairDirection) meshDirection {
		return meshDirection{from, to, dbm(d.EIRPDBm), dbm(d.RxDBm), db(d.SNRDB), dbm(d.SensitivityDBm), db(d.MarginDB)}
	}
	j.Directions = []meshDirection{one(l.from, l.to, l.Forward), one(l.to, l.from, l.Backward)}
	j.Pessimistic = &meshPessimistic{db(l.PessimisticMarginDB), fixed(l.PessimisticProbability, 4)}
}
