package linkbudget

import (
	"slices"

	"github.com/polereach/polereach/linkbudget/diffraction"
)

// standLater puts all that stands after the last pass on the profile, which asks for it where it may tell: it is
// what together returns.
func (s *standing) standLater(ground *diffraction.Relief, crest diffraction.Crest) []float64 {
	last := len(s.profile.DistM) - 1
	s.clutterM = slices.Grow(s.clutterM[:0], last+1)[:last+1]
	s.clutterM[0], s.clutterM[last] = 0, 0
	s.felled = s.felled[:0]
	for end := range s.ends {
		if w := &s.ends[end]; w.is {
			from, to := w.points(s.profile, end)
			s.felled = append(s.felled, diffraction.Span{From: from, To: to})
		}
	}
	ends := len(s.felled)
	for i := range s.stands {
		if stand := &s.stands[i]; stand.Through {
			from, to := stand.From, stand.To // all of the wood, below the edge too
			for from > 1 && s.treeM(from-1, -1, ends) > 0 {
				from--
			}
			for to < last && s.treeM(to, 1, ends) > 0 {
				to++
			}
			s.felled = append(s.felled, diffraction.Span{From: from, To: to})
		}
	}
	ground.StandLater(s.clutterM, s.mostM, crest, s)
	return s.clutterM
}

// Tell implements [diffraction.Teller].
func (s *standing) Tell(from, to int) {
	s.read(from, to)
	p, whole := s.profile, s.whole.RepresentativeHeightM()
	if p.DistM[from] < clearM || p.LengthM()-p.DistM[to-1] < clearM {
		for i := from; i < to; i++ {
			h, t := s.one(i, whole)
			s.clutterM[i] = h + t // of which one is 0
		}
	} else {
		standing, on := p.Standing[from:to], s.clutterM[from:to]
		for i := range standing {
			h, t := s.told(&standing[i])
			on[i] = h + t
		}
	}
	for _, f := range s.felled {
		for i := max(from, f.From); i < min(to, f.To); i++ {
			s.clutterM[i], _ = s.one(i, whole)
		}
	}
}

// treeM is how high trees stand at a point, beyond which others are asked after one step farther; those of the first
// of the felled do not.
func (s *standing) treeM(i, step, felled int) float64 {
	for _, f := range s.felled[:felled] {
		if i >= f.From && i < f.To {
			return 0
		}
	}
	from := i
	if step < 0 {
		from -= readAhead - 1
	}
	s.read(from, from+readAhead)
	_, t := s.one(i, 0)
	return t
}
