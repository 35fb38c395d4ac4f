package mesh

import (
	"context"
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// hopelessTimes is how many times as far apart as free space allows, 20 dB short both
// ways, two poles are not worth a profile: of such pairs with a doubt of 10 dB one in
// forty is heard.
const hopelessTimes = 10

// search finds the pairs of poles within the range of each other of which one
// could hear the other at all. Poles are sorted into cubes as wide as the range, so that only
// neighbouring cubes are looked at, and chords decide: a geodesic is computed
// only where the chord is in range and the arc may not be.
type search struct {
	p      *plan.Plan
	at     [][3]float64 // Cartesian
	sends  []float64    // sends of one times needs of the other is
	needs  []float64    // how far apart they close through free space, m
	rangeM float64
	sureM  float64              // a chord up to here is in range for sure
	cubes  map[[3]int32][]int32 // sorted

	listed   map[[2]int32]bool // pairs that are candidates already, the lower pole first
	limit    int64             // most pairs
	found    int64
	hopeless int64 // in range and not listed, but hopelessTimes too far apart
	tests    int64 // chords compared, with geodesics as so many
}

// maxTests is the most chords compared, about a second, before a plan counts
// as having too many poles within the range of each other; a geodesic takes the time
// of geodesicTests of them.
const (
	maxTests      = 200_000_000
	geodesicTests = 100
)

// roundingM is by how much a chord may be wrong, and differ from its arc, near minPathM.
const roundingM = 1e-6

func (o Options) newSearch(p *plan.Plan, stations []linkbudget.Station) *search {
	n := len(stations)
	s := &search{p: p, at: make([][3]float64, n), sends: make([]float64, n), needs: make([]float64, n),
		rangeM: o.RangeM, cubes: map[[3]int32][]int32{}}
	env := o.Settings.Environment
	noLossM := linkbudget.BestCase{}.ReachM(linkbudget.BestCase{}, env.FreqHz)
	// MaxArcM grows with the chord, by less than a part in a hundred up to 1000 km.
	s.sureM = 0.99 * s.rangeM
	for step := 0.01 * s.rangeM; step > 1e-3; step /= 2 {
		if terrain.MaxArcM(s.sureM+step) <= s.rangeM {
			s.sureM += step
		}
	}
	for i, st := range stations {
		if o.Covered && !st.Surroundings.Stated() { // houses low enough cost less than open country
			st.Surroundings.Inside = clutter.Free
		}
		best := st.BestCase(env)
		s.at[i] = terrain.Cartesian(p.Stations[i].At)
		s.sends[i] = math.Pow(10, float64(best.EIRPDBm.Add(-best.LostDB))/20)
		s.needs[i] = noLossM * math.Pow(10, -float64(best.NeedsDBm.Add(best.LostDB))/20)
		cube := s.cube(s.at[i])
		s.cubes[cube] = append(s.cubes[cube], int32(i))
	}
	return s
}

func (s *search) cube(at [3]float64) (c [3]int32) {
	for k := range c {
		c[k] = int32(math.Floor(at[k] / s.rangeM))
	}
	return c
}

// all appends every pair that is not listed yet; complete is false, and the
// list worth nothing, where they are more than the limit. The error is that of
// ctx, within the time that comparing one pole with its surroundings takes.
func (s *search) all(ctx context.Context, list []candidate) (_ []candidate, complete bool, err error) {
	listed := make(map[[2]int32]bool, len(list))
	for _, c := range list {
		listed[[2]int32{min(c.a, c.b), max(c.a, c.b)}] = true
	}
	s.found, s.listed = int64(len(list)), listed
	reach := make([][]int32, len(s.at)) // of each pole those of a higher number
	var others, room []int32
	pairs := 0
	for i := range s.at {
		if err := ctx.Err(); err != nil {
			return nil, false, err
		}
		others = others[:0]
		s.from(int32(i), int32(i)+1, func(j int32, _ float64) {
			if len(listed) == 0 || !listed[[2]int32{int32(i), j}] {
				others = append(others, j)
			}
		})
		slices.Sort(others)
		if len(others) > cap(room)-len(room) {
			room = make([]int32, 0, max(1<<14, len(others)))
		}
		room = append(room, others...)
		reach[i] = room[len(room)-len(others):]
		pairs += len(others)
		if s.found > s.limit+int64(len(listed)) || s.tests > maxTests {
			return nil, false, nil
		}
	}
	list = slices.Grow(list, pairs) // once: growing touches several times as much memory
	for i, others := range reach {
		for _, j := range others {
			list = append(list, candidate{a: int32(i), b: j, link: -1})
		}
	}
	return list, int64(len(list)) <= s.limit, nil
}

// from calls f with every pole in reach of pole i, from number first on, and
// the chord to it.
func (s *search) from(i, first int32, f func(j int32, chordM float64)) {
	home := s.cube(s.at[i])
	for dx := int32(-1); dx <= 1; dx++ {
		for dy := int32(-1); dy <= 1; dy++ {
			for dz := int32(-1); dz <= 1; dz++ {
				members := s.cubes[[3]int32{home[0] + dx, home[1] + dy, home[2] + dz}]
				skip, _ := slices.BinarySearch(members, first)
				s.test(i, members[skip:], f)
			}
		}
	}
}

func (s *search) test(i int32, members []int32, f func(j int32, chordM float64)) {
	s.tests += int64(len(members))
	a := s.at[i]
	for _, j := range members {
		b := s.at[j]
		x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]
		square := x*x + y*y + z*z
		if square > s.rangeM*s.rangeM || i == j {
			continue
		}
		chordM := math.Sqrt(square)
		if chordM < minPathM-roundingM {
			continue
		}
		if chordM < minPathM+roundingM || chordM > s.sureM {
			s.tests += geodesicTests
			distM := terrain.Inverse(s.p.Stations[i].At, s.p.Stations[j].At).DistM
			if distM < minPathM || distM > s.rangeM {
				continue
			}
		}
		if chordM > hopelessTimes*max(s.sends[i]*s.needs[j], s.sends[j]*s.needs[i]) {
			if len(s.listed) == 0 || !s.listed[[2]int32{min(i, j), max(i, j)}] {
				s.hopeless++
			}
			continue
		}
		s.found++
		f(j, chordM)
	}
}
