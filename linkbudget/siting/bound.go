package siting

import (
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/radio"
)

// slack is how much surer than its sweep a path may turn out when computed alone, in standard
// deviations of its doubt. Of 34000 paths of the demo with masts of 1, 4 and 16 m, 5 % were surer
// by 0.25 and more, 1 % by 0.6, 0.1 % by 1.2; TestSlackHolds measures it again.
const slack = 1.5

// leastDoubtDB is below the doubt of any path, see linkbudget.Doubt: 3 dB of the
// method and 3 dB of the hardware.
const leastDoubtDB = 4.2

// leastSurety is the quantile of 2^-28, the least chance that a cell tells from none.
const leastSurety = -5.7804

// suretyOf is the margin of a cell over its doubt, NaN where it is not judged.
func suretyOf(c coverage.Cell) float64 {
	if c.State() != coverage.Judged {
		return math.NaN()
	}
	p := c.Probability()
	switch {
	case p > 1-1e-6: // the float32 of a sweep knows no more digits: no less than it can be
		return max(4.7, float64(c.MarginDB())/leastDoubtDB)
	case p == 0: // below the least step of a cell: no more than it can be
		return leastSurety
	}
	z, err := radio.NormalQuantile(p)
	if err != nil {
		return math.NaN()
	}
	return z
}

// wish is what a spot has to offer, and what of the cells the sweeps leave open.
type wish struct {
	musts   []bool
	must    int // how many
	atLeast int
	need    float64 // surety from which a path reaches
}

func (o Options) wish(neighbours []Neighbour) wish {
	w := wish{atLeast: o.AtLeast}
	w.need, _ = radio.NormalQuantile(o.wantPercent() / 100) // checked: 50 to 99.9
	for _, n := range neighbours {
		w.musts = append(w.musts, n.Must)
		if n.Must {
			w.must++
		}
	}
	return w
}

// standing sums up sureties as the sweeps know them.
func (w wish) standing(surety []float64) standing {
	return w.sum(surety, func(k int) bool { return surety[k] >= w.need })
}

// sum sums up sureties; those that are not known (NaN) count as never.
func (w wish) sum(surety []float64, reaches func(k int) bool) standing {
	s := standing{}
	known := make([]float64, 0, len(surety))
	weakest := math.Inf(1)
	for k, z := range surety {
		if math.IsNaN(z) {
			z = math.Inf(-1)
		}
		known = append(known, z)
		s.chance += radio.Phi(z)
		if w.musts[k] {
			weakest = min(weakest, z)
		}
		if reaches(k) {
			s.reached++
			if w.musts[k] {
				s.musts++
			}
		}
	}
	slices.Sort(known)
	s.weakest = min(weakest, known[len(known)-w.atLeast])
	s.least = known[len(known)-max(s.reached, 1)] // those that reach are the surest
	return s
}

func (w wish) met(s standing) bool { return s.musts == w.must && s.reached >= w.atLeast }

// best fills in how sure the paths of a cell can be with any mast above that of
// the sweep before h and up to that of sweep h.
func (f *field) best(cell, h int, out []float64) {
	for k := range f.neighbours {
		z := f.surety[h][k][cell]
		if h > 0 {
			z = max(z, f.surety[h-1][k][cell]) // NaN stays
		}
		out[k] = float64(z) + slack
	}
}

// lowest returns the least mast with which a cell might serve, and how it might
// stand with it.
func (f *field) lowest(cell int, w wish, o Options, surety []float64) (float64, standing, bool) {
	for h := range f.heightsM {
		f.best(cell, h, surety)
		if s := w.standing(surety); w.met(s) {
			heightM := o.lowestM()
			if h > 0 {
				heightM = o.nextStepM(f.heightsM[h-1])
			}
			return heightM, s, true
		}
	}
	return 0, standing{}, false
}

// atBest is a key that no exact key of the cell should beat; sunPercent is the most sun that it may
// have.
func (f *field) atBest(cell int, w wish, o Options, sunPercent, roadM float64, surety []float64) key {
	for k := range f.neighbours {
		surety[k] = float64(f.surety[f.asked][k][cell]) + slack
	}
	asked := w.standing(surety)
	if w.met(asked) {
		lowestM := 0.0
		if o.Rank == ByMast {
			lowestM, _, _ = f.lowest(cell, w, o, surety)
		}
		return asked.asked(o.Rank, lowestM, sunPercent, roadM)
	}
	if heightM, s, ok := f.lowest(cell, w, o, surety); ok {
		return s.withMast(heightM)
	}
	return asked.failing()
}

// open reports whether a cell that does not serve would if the paths that could
// not be judged reached.
func (f *field) open(cell int, w wish, surety []float64) bool {
	unknown := false
	f.best(cell, len(f.heightsM)-1, surety)
	for k, z := range surety {
		if math.IsNaN(z) {
			surety[k], unknown = math.Inf(1), true
		}
	}
	return unknown && w.met(w.standing(surety))
}

// unjudged reports whether no path of a cell could be judged.
func (f *field) unjudged(cell int) bool {
	for k := range f.neighbours {
		if !math.IsNaN(float64(f.surety[0][k][cell])) {
			return false
		}
	}
	return true
}
