package mesh

import (
	"github.com/polereach/polereach/linkbudget"
)

// Pair is what is kept of one examined path: every figure, no profile. A plan has many:
// what is looked at most stands together and first. The tags are the keys of a part.
type Pair struct {
	// A and B are indices into Plan.Stations; A is Link.From of a wanted link,
	// the lower index otherwise.
	A int32 `json:"a"`
	B int32 `json:"b"`
	// Link is the index into Plan.Links, -1 for a pair nobody asked for by name.
	Link int32 `json:"link"`
	// Required says that the plan requires Link to hold.
	Required bool `json:"required,omitempty"`
	// BeyondRules says that an end of a wanted link, with the radio settings of
	// that link, is beyond the band's table; false without a band.
	BeyondRules bool `json:"beyond_rules,omitempty"`

	linkbudget.Figures
	// Worst is the least clearance; nil on a path without inner points.
	Worst *PairClearance `json:"worst,omitempty"`
	// Of what few pairs have, nil for none; the methods Gap, Reasons and Counsel read it.
	*PairNotes
}

// PairNotes is what few pairs have.
type PairNotes struct {
	// Gap says where terrain is missing.
	Gap *PairGap `json:"gap,omitempty"`
	// Rise is kept where the channel load is asked for and tells of it.
	Rise *PairRise `json:"rise,omitempty"`
	// Reasons are kept for wanted links only, Counsel with Options.Advice.
	Reasons []string            `json:"reasons,omitempty"`
	Counsel *linkbudget.Counsel `json:"counsel,omitempty"`
}

// PairRise is by how much the levels rise over those of the pair for 10 and 1 % of the time.
type PairRise struct {
	TenthDB     linkbudget.DB `json:"tenth_db,omitempty"`
	HundredthDB linkbudget.DB `json:"hundredth_db,omitempty"`
}

// Gap returns where terrain is missing, nil where it is not.
func (p *Pair) Gap() *PairGap {
	if p.PairNotes == nil {
		return nil
	}
	return p.PairNotes.Gap
}

// Reasons returns why a wanted link has its verdict, nil for other pairs.
func (p *Pair) Reasons() []string {
	if p.PairNotes == nil {
		return nil
	}
	return p.PairNotes.Reasons
}

// Counsel returns what would make a wanted link reach, nil where nobody asked.
func (p *Pair) Counsel() *linkbudget.Counsel {
	if p.PairNotes == nil {
		return nil
	}
	return p.PairNotes.Counsel
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
func (p *Pair) Weaker() (d *linkbudget.Level, from, to int) {
	if d = p.Figures.Weaker(); d == &p.Backward {
		return d, int(p.B), int(p.A)
	}
	return d, int(p.A), int(p.B)
}

// Probabilities returns the chance that B hears A, and that A hears B: Probability
// is that of the weaker direction. Both are 0 where Verdict is Unknown.
func (p *Pair) Probabilities() (forward, backward float64) {
	switch more := p.Forward.MarginDB - p.Backward.MarginDB; {
	case more > linkbudget.EqualMargins:
		return p.Chance(p.Forward.MarginDB), p.Probability
	case -more > linkbudget.EqualMargins:
		return p.Probability, p.Chance(p.Backward.MarginDB)
	}
	return p.Probability, p.Probability
}

// Wanted reports whether a link of the plan joins the two.
func (p *Pair) Wanted() bool { return p.Link >= 0 }

// Solid reports whether the link counts in the graph of the mesh: its
// probability is at least the wanted one.
func (p *Pair) Solid() bool { return p.Verdict == linkbudget.Reaches }

// keep takes the figures of a path over, the least clearance to where Worst points.
func (p *Pair) keep(f *linkbudget.Brief) {
	p.Figures = f.Figures
	if w := &f.Worst; f.HasWorst {
		*p.Worst = PairClearance{w.Fraction, w.ClearanceM, w.AtM, f.WorstAt.LonDeg, f.WorstAt.LatDeg}
	} else {
		p.Worst = nil
	}
	if len(f.Gaps) > 0 {
		g := f.Gaps[0]
		p.PairNotes = &PairNotes{Gap: &PairGap{g.Flag.String(), g.FromM, g.ToM, g.Place.Lon(), g.Place.Lat(), len(f.Gaps)}}
	}
}
