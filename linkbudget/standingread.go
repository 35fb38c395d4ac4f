package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// read makes sure of points.
func (s *standing) read(from, to int) {
	if s.along != nil {
		_ = s.along.Need(from, to) // which it keeps
	}
}

// failed is why the cover could not be read, nil where it could.
func (s *standing) failed() error {
	if s.along == nil {
		return nil
	}
	return s.along.Need(0, 0)
}

// mostStandsM is no less than the height of anything that a cover tells of, m.
func mostStandsM(c terrain.Cover, whole clutter.Class) float64 {
	highest := terrain.Standing{Class: terrain.CoverDenseUrban, HeightM: terrain.MostStandingM}
	if h, ok := c.(interface{ Highest() terrain.Standing }); ok {
		highest = h.Highest()
	}
	most := max(whole.RepresentativeHeightM(), float64(highest.HeightM))
	for class := range highest.Class + 1 {
		most = max(most, coverClass(class).RepresentativeHeightM())
	}
	return most
}

// look goes on with what may tell between the ends, over the bare ground.
func (s *standing) look(m *median, env *Environment) {
	p, n := s.profile, len(s.profile.DistM)
	whole := env.Cover.RepresentativeHeightM()
	if p.TopM == nil && p.Standing == nil && whole == 0 {
		return
	}
	all := diffraction.Span{From: 1, To: n - 1}
	s.later = s.along != nil && env.BareEarth && p.Standing != nil
	if (s.along == nil || env.BareEarth) && !s.later { // where all of it is on the profile
		s.read(all.From, all.To)
		s.filled = append(s.filled, all)
	}
	if s.along == nil {
		s.spans = append(s.spans, all)
	} else {
		s.spans = m.relief.Reached(s.spans, m.bare.Crest(m.slopes), s.mostM, m.conditions.wavelengthM)
		s.readSpans()
	}
	if len(s.filled) == 0 {
		s.filled = append(s.filled, s.spans...)
	}
	s.houses, s.woods = zeros(s.houses, n), zeros(s.woods, n)
	for class := range terrain.CoverDenseUrban + 1 {
		kind := 0
		if class == terrain.CoverWood {
			kind = 1
		}
		s.tops[class] = [2]float64{}
		s.tops[class][kind] = StandsM(terrain.Standing{Class: class}, env.Cover)
	}
	s.fill(env)
	for from := 1; s.later && s.housesM == nil && s.treesM == nil && from < n-1; from += readAhead {
		span := diffraction.Span{From: from, To: min(from+readAhead, n-1)} // does anything stand?
		s.read(span.From, span.To)
		s.filled = append(s.filled, span)
		s.put(span, whole)
	}
}

// complete reads all of the path, and says whether anything stands on it that tells nothing.
func (s *standing) complete(env *Environment, ground *diffraction.Relief) {
	last := len(s.profile.DistM) - 1
	s.read(0, last+1)
	ground.Settle()
	if s.along != nil && s.profile.Standing != nil && !env.BareEarth && !s.layered {
		s.filled = append(s.filled[:0], diffraction.Span{From: 1, To: last})
		s.fill(env)
	}
}

// fill puts what stands there on the profile.
func (s *standing) fill(env *Environment) {
	p := s.profile
	for _, span := range s.filled {
		s.put(span, env.Cover.RepresentativeHeightM())
	}
	for end := range s.ends {
		if w := &s.ends[end]; w.is && w.kept == 0 && s.treesM != nil {
			w.clear(p, end, s.treesM)
		}
	}
	s.layered = p.Standing != nil && p.TopM == nil && !env.BareEarth && (s.housesM != nil || s.treesM != nil)
}

// readSpans reads what stands there, and makes one of two between which a wood goes on.
func (s *standing) readSpans() {
	for _, span := range s.spans {
		s.read(span.From, span.To)
	}
	joined := s.spans[:0]
	for _, span := range s.spans {
		if last := len(joined) - 1; last >= 0 && s.wooded(joined[last].To-1, span.From+1) {
			joined[last].To = span.To
			continue
		}
		joined = append(joined, span)
	}
	s.spans = joined
}

const readAhead = 8 // points

// wooded reports whether there is wood at all points from one on and before another, of which the first and the
// last are known. Clearings are mostly found near one of them.
func (s *standing) wooded(from, to int) bool {
	standing := s.profile.Standing
	if standing[to-1].Class != terrain.CoverWood {
		return false
	}
	for i := from; i < to; i++ {
		if n := i - from; n%readAhead == 1 {
			s.read(i, min(i+readAhead, to))
		}
		if standing[i].Class != terrain.CoverWood {
			return false
		}
	}
	return true
}

// put writes how high all that stands in a span is.
func (s *standing) put(span diffraction.Span, whole float64) {
	p, from, to := s.profile, span.From, span.To
	if p.TopM != nil || p.Standing == nil {
		for i := from; i < to; i++ {
			s.putOne(i, whole)
		}
		return
	}
	lengthM := p.LengthM()
	for ; from < to && p.DistM[from] < clearM; from++ {
		s.putOne(from, whole)
	}
	for ; from < to && lengthM-p.DistM[to-1] < clearM; to-- {
		s.putOne(to-1, whole)
	}
	standing := p.Standing[from:to]
	houses, woods := s.houses[from:to][:len(standing)], s.woods[from:to][:len(standing)]
	classes := 0              // one bit each
	for i := range standing { // of classes in no order no branch is foreseen
		at := &standing[i]
		class := at.Class & 7
		h, t := s.tops[class][0], s.tops[class][1]
		if at.HeightM != 0 {
			h, t = s.told(at)
		}
		houses[i], woods[i] = h, t
		classes |= 1 << class
	}
	for class, tops := range s.tops {
		if classes>>class&1 == 0 {
			continue
		}
		if tops[0] > 0 {
			s.housesM = s.houses
		}
		if tops[1] > 0 {
			s.treesM = s.woods
		}
	}
}

// putOne is put for one point.
func (s *standing) putOne(i int, whole float64) {
	h, t := s.one(i, whole)
	if h > 0 {
		s.houses[i], s.housesM = h, s.houses
	}
	if t > 0 {
		s.woods[i], s.treesM = t, s.woods
	}
}

// one is how high what stands at a point is, which may stand before an antenna: a house or a wood.
func (s *standing) one(i int, whole float64) (h, t float64) {
	p, lengthM := s.profile, s.profile.LengthM()
	switch d := p.DistM[i]; {
	case p.TopM != nil:
		h = p.TopM[i] - p.HeightM[i]
	case (d < clearM || lengthM-d < clearM) && !s.solid(i, d > lengthM/2):
	case p.Standing == nil:
		h = whole
	default:
		h, t = s.told(&p.Standing[i])
	}
	return h, t
}

// told is how high what stands at a place is, a house or a wood.
func (s *standing) told(at *terrain.Standing) (houseM, treeM float64) {
	houseM, treeM = s.tops[at.Class&7][0], s.tops[at.Class&7][1]
	switch {
	case at.HeightM == 0 || at.Class <= terrain.CoverOpen:
	case treeM > 0:
		treeM = float64(at.HeightM)
	case houseM > 0:
		houseM = float64(at.HeightM)
	}
	return houseM, treeM
}

// zeros is so many of them, in list, which holds nothing else, where it is long enough.
func zeros(list []float64, n int) []float64 {
	if cap(list) < n {
		return make([]float64, n, n+n/4)
	}
	return list[:n]
}
