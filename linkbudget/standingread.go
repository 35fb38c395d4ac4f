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
	if s.along != nil && !env.BareEarth {
		s.spans = m.relief.Reached(s.spans, m.bare.Crest(m.slopes), s.mostM, m.conditions.wavelengthM)
		s.readSpans()
	} else {
		s.read(1, n-1)
		s.spans = append(s.spans, diffraction.Span{From: 1, To: n - 1})
	}
	s.houses, s.woods = zeros(s.houses, n), zeros(s.woods, n)
	for class := range terrain.CoverDenseUrban + 1 {
		s.tops[class] = StandsM(terrain.Standing{Class: class}, env.Cover)
	}
	for _, span := range s.spans {
		s.put(span, whole)
	}
	for end := range s.ends {
		if w := &s.ends[end]; w.is && w.kept == 0 && s.treesM != nil {
			w.clear(p, end, s.treesM)
		}
	}
	s.layered = p.Standing != nil && p.TopM == nil && !env.BareEarth && (s.housesM != nil || s.treesM != nil)
}

// readSpans reads what stands there, and where a wood may go on between two of them.
func (s *standing) readSpans() {
	for _, span := range s.spans {
		s.read(span.From, span.To)
	}
	joined, standing := s.spans[:0], s.profile.Standing
	for _, span := range s.spans {
		if last := len(joined) - 1; last >= 0 && standing[joined[last].To-1].Class == terrain.CoverWood &&
			standing[span.From].Class == terrain.CoverWood {
			s.read(joined[last].To, span.From)
			joined[last].To = span.To
			continue
		}
		joined = append(joined, span)
	}
	s.spans = joined
}

// put writes how high all that stands in a span is.
func (s *standing) put(span diffraction.Span, whole float64) {
	p, lengthM := s.profile, s.profile.LengthM()
	for i := span.From; i < span.To; i++ {
		h, on, list := 0.0, s.houses, &s.housesM
		switch d := p.DistM[i]; {
		case p.TopM != nil:
			h = p.TopM[i] - p.HeightM[i]
		case (d < clearM || lengthM-d < clearM) && !s.solid(i, d > lengthM/2):
		case p.Standing == nil:
			h = whole
		default:
			at := p.Standing[i]
			if at.Class == terrain.CoverOpen || at.Class == terrain.CoverWater {
				continue
			}
			if h = s.tops[at.Class&7]; h != 0 && at.HeightM != 0 && at.Class != terrain.CoverUnknown {
				h = float64(at.HeightM)
			}
			if at.Class == terrain.CoverWood {
				on, list = s.woods, &s.treesM
			}
		}
		if h > 0 {
			on[i], *list = h, on
		}
	}
}

// zeros is so many of them, in list, which holds nothing else, where it is long enough.
func zeros(list []float64, n int) []float64 {
	if cap(list) < n {
		return make([]float64, n, n+n/4)
	}
	return list[:n]
}
