package mesh

import (
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
)

// Pair is what is kept of one examined path: every figure, no profile. Where
// Verdict is Unknown only the geometry, Verdict and the gap of Notes are set. A
// plan has many: what is looked at most stands together and first.
type Pair struct {
	// A and B are indices into Plan.Stations; A is Link.From of a wanted link,
	// the lower index otherwise.
	A, B int32
	// Link is the index into Plan.Links, -1 for a pair nobody asked for by name.
	Link int32
	// FilledPoints counts heights interpolated over voids on request.
	FilledPoints int32

	Verdict   linkbudget.Verdict
	Path      diffraction.PathClass
	Situation linkbudget.Situation
	// Required says that the plan requires Link to hold.
	Required bool
	// BeyondRules says that an end of a wanted link, with the radio settings of
	// that link, is beyond the band's table; false without a band.
	BeyondRules bool

	// Probability that the weaker direction closes, and the share of packets
	// that arrive at the median level.
	Probability, Delivery float64
	// MarginDB is that of the weaker direction.
	MarginDB linkbudget.DB

	// Along the ground; azimuths clockwise from north, elevations along the
	// refracted ray, at A and at B.
	DistM                          float64
	AzimuthDeg, BackAzimuthDeg     float64
	ElevationDeg, BackElevationDeg float64

	// LossDB is the sum of the four above it. TroposcatterDB is 0 or negative,
	// ClutterDB everything around the two ends.
	FreeSpaceDB    linkbudget.DB
	DiffractionDB  linkbudget.DB
	TroposcatterDB linkbudget.DB
	ClutterDB      linkbudget.DB
	LossDB         linkbudget.DB

	// Forward is A transmitting to B.
	Forward, Backward PairDirection
	// Doubt is itemised; SigmaDB the root of the sum of squares.
	Doubt   PairDoubt
	SigmaDB linkbudget.DB
	// The same path when the air bends rays less.
	PessimisticMarginDB    linkbudget.DB
	PessimisticProbability float64

	// Worst is the least clearance; nil on a path without inner points.
	Worst *PairClearance
	// Notes is what few pairs have, nil for none. Gap, Reasons and Counsel read it.
	Notes *PairNotes
}

// PairNotes is what few pairs have.
type PairNotes struct {
	// Gap says where terrain is missing.
	Gap *PairGap
	// Reasons are kept for wanted links only, Counsel with Options.Advice.
	Reasons []string
	Counsel *linkbudget.Counsel
}

// Gap returns where terrain is missing, nil where it is not.
func (p *Pair) Gap() *PairGap {
	if p.Notes == nil {
		return nil
	}
	return p.Notes.Gap
}

// Reasons returns why a wanted link has its verdict, nil for other pairs.
func (p *Pair) Reasons() []string {
	if p.Notes == nil {
		return nil
	}
	return p.Notes.Reasons
}

// Counsel returns what would make a wanted link reach, nil where nobody asked.
func (p *Pair) Counsel() *linkbudget.Counsel {
	if p.Notes == nil {
		return nil
	}
	return p.Notes.Counsel
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
		return p.Backward, int(p.B), int(p.A)
	}
	return p.Forward, int(p.A), int(p.B)
}

// Probabilities returns the chance that B hears A, and that A hears B: Probability
// is that of the weaker direction. Both are 0 where Verdict is Unknown.
func (p *Pair) Probabilities() (forward, backward float64) {
	doubt := linkbudget.Doubt{SigmaDB: p.SigmaDB}
	switch more := p.Forward.MarginDB - p.Backward.MarginDB; {
	case more > linkbudget.EqualMargins:
		return doubt.Probability(p.Forward.MarginDB), p.Probability
	case -more > linkbudget.EqualMargins:
		return p.Probability, doubt.Probability(p.Backward.MarginDB)
	}
	return p.Probability, p.Probability
}

// Wanted reports whether a link of the plan joins the two.
func (p *Pair) Wanted() bool { return p.Link >= 0 }

// Solid reports whether the link counts in the graph of the mesh: its
// probability is at least the wanted one.
func (p *Pair) Solid() bool { return p.Verdict == linkbudget.Reaches }

// keep takes the figures of a path over, the least clearance to where Worst
// points. Field by field: a struct just written is slow to copy.
func (p *Pair) keep(f *linkbudget.Brief) {
	worst := p.Worst
	p.Worst = nil
	p.DistM, p.AzimuthDeg, p.BackAzimuthDeg = f.DistM, f.AzimuthDeg, f.BackAzimuthDeg
	p.Verdict = f.Verdict
	if f.Verdict == linkbudget.Unknown {
		if len(f.Gaps) > 0 {
			g := f.Gaps[0]
			p.Notes = &PairNotes{Gap: &PairGap{g.Flag.String(), g.FromM, g.ToM, g.Place.Lon(), g.Place.Lat(), len(f.Gaps)}}
		}
		return
	}
	p.ElevationDeg, p.BackElevationDeg = f.ElevationDeg, f.BackElevationDeg
	p.Path, p.Situation, p.FilledPoints = f.Path, f.Situation, int32(f.FilledPoints)
	if f.HasWorst {
		w := &f.Worst
		worst.F1, worst.M, worst.AtM, worst.LonDeg, worst.LatDeg = w.Fraction, w.ClearanceM, w.AtM, f.WorstAt.LonDeg, f.WorstAt.LatDeg
		p.Worst = worst
	}
	p.FreeSpaceDB, p.DiffractionDB, p.TroposcatterDB, p.ClutterDB = f.FreeSpaceDB, f.DiffractionDB, f.TroposcatterDB, f.ClutterDB
	p.LossDB = f.LossDB
	p.Forward.keep(&f.Forward)
	p.Backward.keep(&f.Backward)
	p.MarginDB, p.SigmaDB = f.MarginDB, f.SigmaDB
	d := &p.Doubt
	d.ModelDB, d.RippleDB, d.TerrainDB, d.HardwareDB, d.OtherDB = f.Doubt.ModelDB, f.Doubt.RippleDB, f.Doubt.TerrainDB, f.Doubt.HardwareDB, f.Doubt.OtherDB
	p.Probability, p.Delivery = f.Probability, f.Delivery
	p.PessimisticMarginDB, p.PessimisticProbability = f.Pessimistic.MarginDB, f.Pessimistic.Probability
}

// keep takes a level over.
func (d *PairDirection) keep(l *linkbudget.BriefLevel) {
	d.EIRPDBm, d.RxDBm, d.SensitivityDBm, d.SNRDB, d.MarginDB = l.EIRPDBm, l.RxDBm, l.SensitivityDBm, l.SNRDB, l.MarginDB
}
