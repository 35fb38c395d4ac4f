package linkbudget

import (
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// coverClass is the class of clutter of what stands at a place; water is open country, as in
// ITU-R P.2108-1 §3.1.
func coverClass(c terrain.CoverClass) clutter.Class {
	if c > terrain.CoverDenseUrban {
		return clutter.Unstated
	}
	return [...]clutter.Class{
		terrain.CoverUnknown: clutter.Unstated, terrain.CoverWater: clutter.Open, terrain.CoverOpen: clutter.Open,
		terrain.CoverSuburban: clutter.Suburban, terrain.CoverWood: clutter.Wood, terrain.CoverUrban: clutter.Urban,
		terrain.CoverDenseUrban: clutter.DenseUrban,
	}[c]
}

// StandsM is how far what stands at a place rises above the ground, R of ITU-R P.1812-6 §3.2, m: its
// height, where only the class is known that of table 2, and where nothing is known that of a class
// for the whole path.
func StandsM(s terrain.Standing, whole clutter.Class) float64 {
	class := coverClass(s.Class)
	switch {
	case class == clutter.Unstated:
		return whole.RepresentativeHeightM()
	case class <= clutter.Open || s.HeightM == 0:
		return class.RepresentativeHeightM()
	}
	return float64(s.HeightM)
}

// Beside is the station with what a cover says of its place, where the plan says nothing: houses
// stand around it, or it stands in no town. A wood is not told so: that depends on the path.
func (s Station) Beside(at terrain.Standing, env Environment) Station {
	s.Surroundings = s.beside(at, &env)
	return s
}

func (s *Station) beside(at terrain.Standing, env *Environment) Surroundings {
	around, class := s.Surroundings, coverClass(at.Class)
	houses := class > clutter.Open && class != clutter.Wood
	switch {
	case around.Stated():
	case houses:
		around = Surroundings{Inside: class, TopM: min(float64(at.HeightM), clutter.MaxTopM)}
	case class != clutter.Unstated && env.TownPercent != 0:
		around.Inside = clutter.Open
	}
	return around
}

// resolved is an end as it stands beside what the cover says, prepared, where that changes anything.
type resolved struct {
	station  Station
	prepared PreparedStation
}

func (r *resolved) of(s *PreparedStation, at terrain.Standing, env *Environment) *PreparedStation {
	around := s.station.beside(at, env)
	if around == s.station.Surroundings {
		return s
	}
	r.station = *s.station
	r.station.Surroundings = around
	r.prepared.prepare(&r.station, env)
	r.prepared.told = true
	return &r.prepared
}

// standing is what stands along one path, and how it enters the loss. Houses, and what nobody has told
// apart from them, stand on the profile. A wood between the ends is passed over its tops, which stand on
// the profile, or through it, by the loss of ITU-R P.833-10 §2.1 over its depth; see [diffraction.Stand].
// The loss is the mean of passes, of which nearly every path has one: with and without what stands,
// where the terrain may hold it already, and with and without a wood that begins just before an end.
type standing struct {
	houses, woods   []float64 // memory
	cut             []float64
	housesM, treesM []float64 // on the profile, m; nil for nothing
	profile         *terrain.Profile
	ends            [2]atWood
	same            bool // both ends are in one wood, or before it
	layered         bool // the terrain may hold it
	whole           clutter.Class
	tops            [8][2]float64       // of the classes, where no height is known: a house, a wood
	spans           []diffraction.Span  // of the profile, outside of which nothing rises over the edge
	filled          []diffraction.Span  // that hold what stands on the profile
	along           *terrain.CoverAlong // nil where all of the profile is known
	mostM           float64             // no higher stands anything
	stands          []diffraction.Stand // of the last pass, those that tell
	later           bool                // all that stands is on the profile, and read where it is asked for
	clutterM        []float64           // memory of it
	felled          []diffraction.Span  // the woods passed through
}

// The passes are numbered by what they keep on the profile: the wood at A, that at B, and, where
// the terrain may hold it, all that stands.
const (
	keepA = 1 << iota
	keepB
	keepLayer
)

// find begins with a path: what stands at its ends.
func (s *standing) find(p *terrain.Profile, a, b *PreparedStation, env *Environment) {
	s.profile, s.housesM, s.treesM, s.ends, s.layered, s.whole = p, nil, nil, [2]atWood{}, false, env.Cover
	for _, span := range s.filled { // nothing is left of the last path
		clear(s.houses[span.From:span.To])
		clear(s.woods[span.From:span.To])
	}
	s.stands, s.spans, s.filled = s.stands[:0], s.spans[:0], s.filled[:0]
	if p.Standing == nil || p.TopM != nil {
		return
	}
	s.ends[0].find(p, 0, s.firstTrees(0), a, env)
	s.ends[1].find(p, 1, s.firstTrees(1), b, env)
	lengthM, last := p.LengthM(), len(p.DistM)-1
	for end := range s.ends {
		if w := &s.ends[end]; !w.is || s.along == nil {
			continue
		} else if end == 0 {
			s.read(0, sort.SearchFloat64s(p.DistM, w.wood.FarM)+1)
		} else {
			s.read(sort.SearchFloat64s(p.DistM, lengthM-w.wood.FarM)-1, last+1)
		}
	}
	w := &s.ends
	s.same = w[0].is && w[1].is && w[0].wood.FarM >= lengthM-w[1].wood.NearM-1
	if s.same && (w[0].own || w[1].own) { // the loss of an end counts the trees
		w[0].own, w[0].kept = true, 0
		w[1].is, w[1].kept = false, 0
	}
}

// clearM is how far nothing stands on the profile before an antenna: ITU-R P.452-18, where the
// Recommendation fits a terminal into land cover of high resolution.
const clearM = terrain.AtWoodM

// passes is one more than the highest number of a pass.
func (s *standing) passes() int {
	n := 1
	switch {
	case s.ends[1].kept > 0:
		n = keepA + keepB + 1
	case s.ends[0].kept > 0:
		n = keepA + 1
	}
	if s.layered {
		n += keepLayer
	}
	return n
}

// weight is the share of a pass in the loss.
func (s *standing) weight(pass int) float64 {
	w := 1.0
	for i, keep := range [2]int{keepA, keepB} {
		if kept := s.ends[i].kept; pass&keep != 0 {
			w *= kept
		} else {
			w *= 1 - kept
		}
	}
	if s.layered {
		w /= 2
	}
	return w
}

// onProfile is what a pass has on the profile, nil for nothing: houses, and the woods that it may pass
// through as well.
func (s *standing) onProfile(pass int) (housesM, treesM []float64) {
	if s.layered && pass&keepLayer == 0 {
		return nil, nil
	}
	treesM = s.treesM
	for end := range s.ends {
		if w := &s.ends[end]; w.kept > 0 && pass&(keepA<<end) == 0 && treesM != nil {
			if &treesM[0] == &s.woods[0] {
				s.cut = append(s.cut[:0], s.woods...)
				treesM = s.cut
			}
			w.clear(s.profile, end, treesM)
		}
	}
	return s.housesM, treesM
}

// together is what stands on the profile after a pass: all but the woods passed through.
func (s *standing) together(housesM, treesM []float64) []float64 {
	if treesM == nil {
		return housesM
	}
	s.cut = append(s.cut[:0], treesM...)
	for i := range s.stands {
		stand := &s.stands[i]
		if !stand.Through {
			continue
		}
		from, to := stand.From, stand.To // all of the wood, below the edge too
		for from > 1 && treesM[from-1] > 0 {
			from--
		}
		for to < len(treesM)-1 && treesM[to] > 0 {
			to++
		}
		clear(s.cut[from:to])
	}
	for i, h := range housesM {
		s.cut[i] += h
	}
	return s.cut
}

// through is how far the last pass goes through woods, m, and through how many.
func (s *standing) through() (depthM float64, woods int) {
	for i := range s.stands {
		if stand := &s.stands[i]; stand.Through {
			depthM, woods = depthM+stand.DepthM, woods+1
		}
	}
	return depthM, woods
}

// deciding is how far what stands at the point of least clearance decides the path, 0 to 1: none
// where it is not high, or nothing is lost. Engineering judgement.
func (s *standing) deciding(on []float64, at int, diffraction DB) float64 {
	if on == nil || s.profile.Standing == nil {
		return 0
	}
	return min(on[at]/15, 1) * -math.Expm1(-float64(diffraction)/6)
}

// bare is how far the ground reflects at a place, 0 to 1: not where a wood at an end or anything
// else stands over it.
func (s *standing) bare(atM float64) float64 {
	if s.profile.Standing == nil {
		return 1
	}
	share := 1.0
	for _, w := range s.ends {
		if w.is {
			share = min(share, w.kept)
		}
	}
	i := min(sort.SearchFloat64s(s.profile.DistM, atM), len(s.profile.DistM)-1)
	s.read(i-1, i+1)
	if s.profile.Standing[i].Class.Stands() || i > 0 && s.profile.Standing[i-1].Class.Stands() {
		return 0
	}
	return share
}
