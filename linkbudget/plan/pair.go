package plan

import (
	"github.com/polereach/polereach/linkbudget"
)

// Pair is what is kept of one examined path: every figure, no profile. Where
// Verdict is Unknown only the geometry, Verdict and Gap are set.
type Pair struct {
	// A and B are indices into Plan.Stations; A is Link.From of a wanted link,
	// the lower index otherwise.
	A int `json:"a"`
	B int `json:"b"`
	// Link is the index into Plan.Links, -1 for a pair nobody asked for by name;
	// Required says that the plan requires it to hold.
	Link     int  `json:"link"`
	Required bool `json:"required,omitempty"`

	// Along the ground; azimuths clockwise from north, elevations along the
	// refracted ray, at A and at B.
	DistM            float64 `json:"distance_m"`
	AzimuthDeg       float64 `json:"azimuth_deg"`
	BackAzimuthDeg   float64 `json:"back_azimuth_deg"`
	ElevationDeg     float64 `json:"elevation_deg,omitempty"`
	BackElevationDeg float64 `json:"back_elevation_deg,omitempty"`

	Path      linkbudget.PathClass `json:"path,omitempty"`
	Situation linkbudget.Situation `json:"situation,omitempty"`
	// Worst is the least clearance; nil on a path without inner points.
	Worst *PairClearance `json:"worst,omitempty"`

	// LossDB is the sum of the four above it. TroposcatterDB is 0 or negative,
	// ClutterDB everything around the two ends.
	FreeSpaceDB    linkbudget.DB `json:"free_space_db,omitempty"`
	DiffractionDB  linkbudget.DB `json:"diffraction_db,omitempty"`
	TroposcatterDB linkbudget.DB `json:"troposcatter_db,omitempty"`
	ClutterDB      linkbudget.DB `json:"clutter_db,omitempty"`
	LossDB         linkbudget.DB `json:"loss_db,omitempty"`

	// Forward is A transmitting to B.
	Forward  PairDirection `json:"forward"`
	Backward PairDirection `json:"backward"`
	// MarginDB is that of the weaker direction.
	MarginDB linkbudget.DB `json:"margin_db,omitempty"`
	// Doubt is itemised; SigmaDB the root of the sum of squares.
	Doubt   PairDoubt     `json:"doubt"`
	SigmaDB linkbudget.DB `json:"sigma_db,omitempty"`
	// Probability that the weaker direction closes, and the share of packets
	// that arrive at the median level.
	Probability float64 `json:"probability,omitempty"`
	Delivery    float64 `json:"delivery,omitempty"`
	// The same path when the air bends rays less.
	PessimisticMarginDB    linkbudget.DB `json:"pessimistic_margin_db,omitempty"`
	PessimisticProbability float64       `json:"pessimistic_probability,omitempty"`

	Verdict linkbudget.Verdict `json:"verdict"`
	// Gap says where terrain is missing; FilledPoints counts heights
	// interpolated over voids on request.
	Gap          *PairGap `json:"gap,omitempty"`
	FilledPoints int      `json:"filled_points,omitempty"`

	// BeyondRules says that an end of a wanted link, with the radio settings of
	// that link, is beyond the band's table; false without a band.
	BeyondRules bool `json:"beyond_rules,omitempty"`
	// Reasons are kept for wanted links only, Counsel with CheckOptions.Advice.
	Reasons []string            `json:"reasons,omitempty"`
	Counsel *linkbudget.Counsel `json:"counsel,omitempty"`
}

// PairClearance is the point of least clearance: as a fraction of the first
// Fresnel radius, in metres over the ground there, and where.
type PairClearance struct {
	F1     float64 `json:"clearance_f1"`
	M      float64 `json:"clearance_m"`
	AtM    float64 `json:"clearance_at_m"` // from A
	LonDeg float64 `json:"lon_deg"`
	LatDeg float64 `json:"lat_deg"`
}

// PairDirection is the budget one way.
type PairDirection struct {
	EIRPDBm        linkbudget.DBm `json:"eirp_dbm,omitempty"` // towards the other end
	RxDBm          linkbudget.DBm `json:"rx_dbm,omitempty"`
	SensitivityDBm linkbudget.DBm `json:"sensitivity_dbm,omitempty"`
	SNRDB          linkbudget.DB  `json:"snr_db,omitempty"`
	MarginDB       linkbudget.DB  `json:"margin_db,omitempty"`
}

// PairDoubt holds the standard deviations of the causes; OtherDB is clutter,
// cover and mounting together.
type PairDoubt struct {
	ModelDB    linkbudget.DB `json:"model_db,omitempty"`
	RippleDB   linkbudget.DB `json:"ripple_db,omitempty"`
	TerrainDB  linkbudget.DB `json:"terrain_db,omitempty"`
	HardwareDB linkbudget.DB `json:"hardware_db,omitempty"`
	OtherDB    linkbudget.DB `json:"other_db,omitempty"`
}

// PairGap is the first stretch without a known height, and how many there are.
type PairGap struct {
	What   string  `json:"what"` // the word of the terrain.Flag
	FromM  float64 `json:"from_m"`
	ToM    float64 `json:"to_m"`
	LonDeg float64 `json:"lon_deg"`
	LatDeg float64 `json:"lat_deg"`
	Count  int     `json:"count"`
}

// Weaker returns the direction with the smaller margin, and its sender and
// receiver; the forward one if equal.
func (p *Pair) Weaker() (d PairDirection, from, to int) {
	if p.Backward.MarginDB < p.Forward.MarginDB-linkbudget.EqualMargins {
		return p.Backward, p.B, p.A
	}
	return p.Forward, p.A, p.B
}

// Wanted reports whether a link of the plan joins the two.
func (p *Pair) Wanted() bool { return p.Link >= 0 }

// Solid reports whether the link counts in the graph of the mesh: its
// probability is at least the wanted one.
func (p *Pair) Solid() bool { return p.Verdict == linkbudget.Reaches }
