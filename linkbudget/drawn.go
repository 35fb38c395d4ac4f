package linkbudget

import (
	"slices"

	"github.com/polereach/polereach/terrain"
)

// solid reports whether point i, known and next to A or B, holds a house or the like that is drawn to stand there
// and in which that end does not stand itself. A wood in front of an end counts by itself, see atWood.
func (s *standing) solid(i int, nextToB bool) bool {
	standing := s.profile.Standing
	if standing == nil || !standing[i].Drawn || !standing[i].Class.Stands() || standing[i].Class == terrain.CoverWood {
		return false
	}
	from, to := 0, i
	if nextToB {
		from, to = i+1, len(standing)
	}
	s.read(from, to)
	return slices.ContainsFunc(standing[from:to], func(at terrain.Standing) bool { return !at.Class.Stands() })
}

// unknownCoverM is how far along a path nobody says what stands there, m; none where all that is known is
// what somebody drew.
func unknownCoverM(p *terrain.Profile) (lengthM float64) {
	isDrawn := func(s terrain.Standing) bool { return s.Drawn }
	isFound := func(s terrain.Standing) bool { return s.Class != terrain.CoverUnknown && !s.Drawn }
	if slices.ContainsFunc(p.Standing, isDrawn) && !slices.ContainsFunc(p.Standing, isFound) {
		return 0
	}
	for i := 1; i < len(p.Standing); i++ {
		for _, at := range p.Standing[i-1 : i+1] {
			if at.Class == terrain.CoverUnknown {
				lengthM += (p.DistM[i] - p.DistM[i-1]) / 2
			}
		}
	}
	return lengthM
}
