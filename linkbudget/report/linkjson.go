package report

import (
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// The structs below are the JSON of a link; DESIGN of the keys: a unit suffix,
// absent when there is no value.
type linkJSON struct {
	From            string          `json:"from,omitempty"`
	To              string          `json:"to"`
	Wanted          *bool           `json:"wanted,omitempty"`
	Required        *bool           `json:"required,omitempty"`
	DistanceM       float64         `json:"distance_m"`
	AzimuthDeg      *float64        `json:"azimuth_deg,omitempty"`
	BackAzimuthDeg  *float64        `json:"back_azimuth_deg,omitempty"`
	ElevationDeg    *float64        `json:"elevation_deg,omitempty"`
	Path            string          `json:"path,omitempty"`
	Situation       string          `json:"situation,omitempty"`
	ClearanceF1     *float64        `json:"clearance_f1,omitempty"`
	ClearanceM      *float64        `json:"clearance_m,omitempty"`
	ClearanceAtM    *float64        `json:"clearance_at_m,omitempty"`
	ClearanceAt     *placeJSON      `json:"clearance_at,omitempty"`
	Obstacles       []obstacleJSON  `json:"obstacles,omitempty"`
	Terms           []termJSON      `json:"terms,omitempty"`
	LossDB          *float64        `json:"loss_db,omitempty"`
	Assumed         []string        `json:"assumed,omitempty"`
	Diffraction     *diffractJSON   `json:"diffraction,omitempty"`
	Reflection      *reflectionJSON `json:"reflection,omitempty"`
	WeakerDirection string          `json:"weaker_direction,omitempty"`
	RxDBm           *float64        `json:"rx_dbm,omitempty"`
	SNRDB           *float64        `json:"snr_db,omitempty"`
	SensitivityDBm  *float64        `json:"sensitivity_dbm,omitempty"`
	MarginDB        *float64        `json:"margin_db,omitempty"`
	SigmaDB         *float64        `json:"sigma_db,omitempty"`
	Doubt           []termJSON      `json:"doubt,omitempty"`
	Probability     *float64        `json:"probability,omitempty"`
	Delivery        *float64        `json:"delivery,omitempty"`
	Directions      []directionJSON `json:"directions,omitempty"`
	Pessimistic     *refractionJSON `json:"pessimistic,omitempty"`
	Verdict         string          `json:"verdict"`
	Reasons         []string        `json:"reasons"`
	Advice          []adviceJSON    `json:"advice,omitempty"`
	AdviceBest      *float64        `json:"advice_best_probability,omitempty"`
	Rules           []rulesJSON     `json:"rules,omitempty"`
	Gaps            []gapJSON       `json:"gaps,omitempty"`
	FilledPoints    int             `json:"filled_points,omitempty"`
	Profile         []pointJSON     `json:"profile,omitempty"`
}

type placeJSON struct {
	LonDeg float64 `json:"lon_deg"`
	LatDeg float64 `json:"lat_deg"`
}

type termJSON struct {
	Name   string  `json:"name"`
	DB     float64 `json:"db"`
	Source string  `json:"source"`
}

type obstacleJSON struct {
	FromM       float64 `json:"from_m"`
	ToM         float64 `json:"to_m"`
	WorstAtM    float64 `json:"worst_at_m"`
	GroundM     float64 `json:"ground_m"`
	ClearanceM  float64 `json:"clearance_m"`
	ClearanceF1 float64 `json:"clearance_f1"`
}

type diffractJSON struct {
	BullingtonDB float64  `json:"bullington_db"`
	SmoothDB     float64  `json:"smooth_bullington_db"`
	SphericalDB  float64  `json:"spherical_earth_db"`
	LossDB       float64  `json:"loss_db"`
	LineOfSight  bool     `json:"line_of_sight"`
	EdgeAtM      float64  `json:"edge_at_m"`
	EdgeNu       float64  `json:"edge_nu"`
	EffectiveAM  float64  `json:"effective_height_a_m"`
	EffectiveBM  float64  `json:"effective_height_b_m"`
	SingleEdgeDB *float64 `json:"single_edge_db,omitempty"`
}

type reflectionJSON struct {
	Usable      bool    `json:"usable"`
	AtM         float64 `json:"at_m"`
	GrazingDeg  float64 `json:"grazing_deg"`
	Coefficient float64 `json:"coefficient"`
	NullDB      float64 `json:"null_db"`
	PeakDB      float64 `json:"peak_db"`
	BreakpointM float64 `json:"breakpoint_m"`
}

type directionJSON struct {
	From           string     `json:"from"`
	To             string     `json:"to"`
	TxDBm          float64    `json:"tx_dbm"`
	PeakEIRPDBm    float64    `json:"peak_eirp_dbm"`
	Items          []termJSON `json:"items"`
	EIRPDBm        float64    `json:"eirp_dbm"`
	RxDBm          float64    `json:"rx_dbm"`
	ThermalDBm     float64    `json:"thermal_dbm"`
	Noise          []termJSON `json:"noise"`
	NoiseDBm       float64    `json:"noise_dbm"`
	SNRDB          float64    `json:"snr_db"`
	SensitivityDBm float64    `json:"sensitivity_dbm"`
	MarginDB       float64    `json:"margin_db"`
}

type refractionJSON struct {
	K           float64 `json:"k"`
	Path        string  `json:"path"`
	LossDB      float64 `json:"loss_db"`
	MarginDB    float64 `json:"margin_db"`
	Probability float64 `json:"probability"`
}

type gapJSON struct {
	What  string     `json:"what"`
	FromM float64    `json:"from_m"`
	ToM   float64    `json:"to_m"`
	Place *placeJSON `json:"place,omitempty"`
}

type pointJSON struct {
	DistanceM   float64  `json:"distance_m"`
	LonDeg      *float64 `json:"lon_deg,omitempty"`
	LatDeg      *float64 `json:"lat_deg,omitempty"`
	GroundM     *float64 `json:"ground_m,omitempty"`
	ClutterM    float64  `json:"clutter_m,omitempty"`
	Flag        string   `json:"flag,omitempty"`
	BulgeM      *float64 `json:"bulge_m,omitempty"`
	LineM       *float64 `json:"line_of_sight_m,omitempty"`
	RadiusM     *float64 `json:"f1_m,omitempty"`
	ClearanceM  *float64 `json:"clearance_m,omitempty"`
	ClearanceF1 *float64 `json:"clearance_f1,omitempty"`
}

func terms(in []linkbudget.Term) []termJSON {
	out := make([]termJSON, len(in))
	for i, t := range in {
		out[i] = termJSON{t.Name, db(t.DB), t.Source}
	}
	return out
}

// newLinkJSON carries a result over; an unknown one has only what is known.
func newLinkJSON(r *linkbudget.Result) linkJSON {
	j := linkJSON{
		From: r.From, To: r.To, DistanceM: metres(r.DistM),
		AzimuthDeg: ptr(angleDeg(r.AzimuthDeg)), BackAzimuthDeg: ptr(angleDeg(r.BackAzimuthDeg)),
		Verdict: r.Verdict.String(), Reasons: r.Reasons(), FilledPoints: int(r.FilledPoints),
	}
	if r.Verdict == linkbudget.Unknown {
		j.Gaps = gaps(r.Gaps)
		return j
	}
	j.ElevationDeg = ptr(angleDeg(r.ElevationDeg))
	j.Path, j.Situation = r.Path.String(), r.Situation.String()
	j.clearance(r)
	j.Terms = terms(r.Terms)
	j.LossDB, j.Assumed = ptr(db(r.LossDB)), assumedNames(r)
	j.Diffraction = diffractionJSON(r)
	j.Reflection = reflection(r.Reflection)
	w := r.Weaker()
	j.WeakerDirection = w.From + " to " + w.To
	j.RxDBm, j.SNRDB = ptr(dbm(w.RxDBm)), ptr(db(w.SNRDB))
	j.SensitivityDBm, j.MarginDB = ptr(dbm(w.SensitivityDBm)), ptr(db(r.MarginDB))
	j.SigmaDB, j.Doubt = ptr(db(r.Doubt.SigmaDB)), terms(r.Doubt.Items)
	j.Probability = ptr(fixed(r.Probability, 4))
	j.Directions = []directionJSON{directionOf(r.Forward), directionOf(r.Backward)}
	j.Pessimistic = &refractionJSON{fixed(r.PessimisticK, 4), r.PessimisticPath.String(), db(r.PessimisticLossDB()),
		db(r.PessimisticMarginDB), fixed(r.PessimisticProbability, 4)}
	return j
}

func (j *linkJSON) clearance(r *linkbudget.Result) {
	if !r.HasWorst {
		return
	}
	j.ClearanceF1 = ptr(fixed(r.Worst.Fraction, 4))
	j.ClearanceM = ptr(metres(r.Worst.ClearanceM))
	j.ClearanceAtM = ptr(metres(r.Worst.AtM))
	if r.WorstAt.Known {
		j.ClearanceAt = &placeJSON{placeDeg(r.WorstAt.LonDeg), placeDeg(r.WorstAt.LatDeg)}
	}
	for _, o := range r.Obstacles {
		j.Obstacles = append(j.Obstacles, obstacleJSON{metres(o.FromM), metres(o.ToM),
			metres(o.Worst.AtM), metres(o.Worst.GroundM), metres(o.Worst.ClearanceM), fixed(o.Worst.Fraction, 4)})
	}
}

func diffractionJSON(r *linkbudget.Result) *diffractJSON {
	d := r.Diffraction
	j := &diffractJSON{
		BullingtonDB: db(d.BullingtonDB), SmoothDB: db(d.SmoothDB), SphericalDB: db(d.SphericalDB), LossDB: db(d.LossDB),
		LineOfSight: d.LineOfSight, EdgeAtM: metres(d.EdgeAtM), EdgeNu: fixed(d.Nu, 4),
		EffectiveAM: metres(d.EffectiveAM), EffectiveBM: metres(d.EffectiveBM),
	}
	if r.SingleEdgeDB != nil {
		j.SingleEdgeDB = ptr(db(*r.SingleEdgeDB))
	}
	return j
}

func reflection(r *linkbudget.Reflection) *reflectionJSON {
	if r == nil {
		return nil
	}
	return &reflectionJSON{r.Possible(), metres(r.AtM), angleDeg(r.GrazingDeg),
		fixed(r.Rho, 4), db(r.NullDB), db(r.PeakDB), metres(r.BreakpointM)}
}

func directionOf(d linkbudget.Direction) directionJSON {
	return directionJSON{d.From, d.To, dbm(d.TxDBm), dbm(d.PeakEIRPDBm), terms(d.Items), dbm(d.EIRPDBm), dbm(d.RxDBm),
		dbm(d.ThermalDBm), terms(d.Noise), dbm(d.NoiseDBm), db(d.SNRDB), dbm(d.SensitivityDBm), db(d.MarginDB)}
}

func gaps(in []terrain.Gap) []gapJSON {
	var out []gapJSON
	for _, g := range in {
		j := gapJSON{What: g.Flag.String(), FromM: metres(g.FromM), ToM: metres(g.ToM)}
		if g.Place != (orb.Point{}) {
			j.Place = &placeJSON{placeDeg(g.Place.Lon()), placeDeg(g.Place.Lat())}
		}
		out = append(out, j)
	}
	return out
}

// profilePoints lists the sampled path. Ground, bulge, line of sight and first
// Fresnel radius are those the clearance was judged with, so that a reader can
// compute diffraction again from them. Unknown heights have no ground_m.
func profilePoints(p terrain.Profile, r *linkbudget.Result, env linkbudget.Environment) []pointJSON {
	out := make([]pointJSON, len(p.DistM))
	for i := range p.DistM {
		j := pointJSON{DistanceM: metres(p.DistM[i])}
		if p.Points != nil {
			j.LonDeg, j.LatDeg = ptr(placeDeg(p.Points[i].Lon())), ptr(placeDeg(p.Points[i].Lat()))
		}
		if p.Flags != nil && p.Flags[i] != terrain.Ground {
			j.Flag = p.Flags[i].String()
		}
		if p.Flags == nil || p.Flags[i].Known() {
			j.GroundM = ptr(metres(p.HeightM[i]))
		}
		out[i] = j
	}
	if r.Verdict == linkbudget.Unknown {
		return out
	}
	sight := diffraction.Sightline{
		DistM: p.DistM, GroundM: p.HeightM, ClutterM: linkbudget.ProfileClutter(&p, r.Cover),
		AHeightM: r.GroundAM + r.ReckonedAM, BHeightM: r.GroundBM + r.ReckonedBM,
		EffectiveRadiusM: radio.EffectiveRadiusM(r.KFactor),
		WavelengthM:      radio.WavelengthM(env.FreqHz),
	}
	for i := range out {
		c := sight.At(i)
		out[i].ClutterM = metres(c.GroundM - p.HeightM[i])
		out[i].BulgeM, out[i].LineM = ptr(metres(c.BulgeM)), ptr(metres(c.LineM))
		out[i].RadiusM, out[i].ClearanceM = ptr(metres(c.RadiusM)), ptr(metres(c.ClearanceM))
		if c.RadiusM > 0 {
			out[i].ClearanceF1 = ptr(fixed(c.Fraction, 4))
		}
	}
	return out
}
