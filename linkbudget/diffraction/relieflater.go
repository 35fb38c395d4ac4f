package diffraction

import "math"

// A Teller tells what stands on the ground of a path: it writes that of the points from one on and before
// another to the list that StandLater was given.
type Teller interface{ Tell(from, to int) }

// standsLater is what is told where it is asked for.
type standsLater struct {
	teller  Teller     // nil where all is told
	told    []bool     // by block
	atLeast reliefSure // of the questions to come
}

// reliefSure is what the ground with all that stands on it surely comes up to over the earth as it is.
type reliefSure struct {
	slopes Slopes
	at     int // a point that comes near the ray, 0 for none
}

// StandLater is Stand where what stands is known to be no higher than mostM and is told by blocks, those that
// a question cannot rule out by that height. The answers are those after Stand. The crest is no more
// than what stands makes it, and the one before was over the bare ground.
func (r *Relief) StandLater(clutterM []float64, mostM float64, crest Crest, t Teller) {
	l := &r.later
	if l.atLeast = (reliefSure{Slopes{-1, -1}, r.closestAt}); l.atLeast.at == 0 {
		l.atLeast.at = r.seeds[0]
	}
	if crest.Blocked && crest.A > 0 && crest.B > 0 {
		l.atLeast.slopes = Slopes{crest.A * aLittleLess, crest.B * aLittleLess}
	}
	r.clutterM, l.teller = clutterM, t
	r.seeds, r.closestAt, r.nearest = [2]int{}, 0, 0
	r.talls, l.told = r.talls[:0], l.told[:0]
	for _, top := range r.bareM {
		r.talls, l.told = append(r.talls, top+mostM), append(l.told, false)
	}
	r.topM = r.talls
}

// aLittleLess is below the rounding of slopes and of squares.
const aLittleLess = 1 - 1e-9

// Settle lets all be told that stands.
func (r *Relief) Settle() {
	for k := range r.blocks {
		r.settle(k)
	}
}

// settle lets be told what stands in a block.
func (r *Relief) settle(k int) {
	if l := &r.later; l.teller != nil && !l.told[k] {
		l.told[k] = true
		l.teller.Tell(r.block(k))
		r.talls[k] = r.tallest(k)
	}
}

// untold reports whether it is not told yet what stands in a block.
func (l *standsLater) untold(k int, v *reliefView) bool {
	return l.teller != nil && !v.bare && !l.told[k]
}

// sure is a closeness that a point from one on and before another surely surpasses, or floor.
func (r *Relief) sure(v *reliefView, from, to int, floor closeness) closeness {
	i := r.later.atLeast.at
	if r.later.teller == nil || v.bare || i < from || i >= to || i == 0 {
		return floor
	}
	r.settle((i - 1) / blockPoints)
	p := r.point(i, v)
	c := p.closeness()
	if c.square -= math.Abs(c.square) * (1 - aLittleLess); c.above(floor) {
		return c
	}
	return floor
}
