package terrain

import (
	"math"

	"github.com/paulmach/orb"
)

// sight is what is found in one direction.
type sight struct {
	// tan is the tangent of the elevation of the skyline, -Inf before any known
	// ground, and distM where it stands.
	tan, distM float64
	// peak holds the samples beside which the ground may stand highest.
	peak    [16]peak
	peaks   int
	current int  // the one that rises or fell last
	last    peak // the sample taken in last
	rising  bool
	// nearM and farM bound the unknown ground, flag is what its near end is.
	nearM, farM float64
	flag        Flag
}

// peak is a sample and the tangent of its elevation.
type peak struct {
	sample int
	tan    float64
}

// add takes in a sample that stands high enough for ground beside it to be the
// skyline. Of neighbouring samples, one peak is kept for each rise and fall.
func (s *sight) add(p peak) {
	beside := s.peaks > 0 && p.sample == s.last.sample+1
	rises := p.tan > s.last.tan
	switch {
	case beside && rises && s.rising:
		s.peak[s.current] = p
	case beside && !rises:
		s.rising = false
	default:
		s.current = s.peaks
		if s.peaks < len(s.peak) {
			s.peaks++
		} else { // the lowest makes room
			s.current = 0
			for i := range s.peak {
				if s.peak[i].tan < s.peak[s.current].tan {
					s.current = i
				}
			}
		}
		s.peak[s.current], s.rising = p, true
	}
	s.last = p
	s.tan = max(s.tan, p.tan)
}

// unknown notes a sample without ground.
func (s *sight) unknown(distM float64, f Flag) {
	if s.farM == 0 {
		s.nearM, s.flag = distM, f
	}
	s.farM = distM
}

// tangent returns that of the elevation of a height at a distance.
func (w *horizonWalk) tangent(heightM, distM float64) float64 {
	sin, cos := math.Sincos(distM / w.radiusM)
	z := w.radiusM + heightM
	return (z*cos - w.radiusM - w.eyeM) / (z * sin)
}

// nothingMatters reports whether no ground from a distance on, as high as it may be, can rise above
// a skyline. On ground below the eye the tangent (z-z0)/s - s/2R has its maximum at s =
// √(2R(z0-z)).
func (w *horizonWalk) nothingMatters(tan, fromM float64) bool {
	if fromM == 0 || math.IsInf(tan, -1) {
		return false
	}
	return w.mostTangent(max(w.capM, w.highestM), fromM, w.distM[len(w.distM)-1]) <= tan
}

// mostTangent returns the highest tangent of ground of one height anywhere
// between two distances.
func (w *horizonWalk) mostTangent(heightM, nearM, farM float64) float64 {
	if below := w.eyeM - heightM; below > 0 {
		return w.tangent(heightM, min(max(math.Sqrt(2*w.radiusM*below), nearM), max(nearM, farM)))
	}
	return w.tangent(heightM, nearM)
}

// direction turns a sight into the answer, now that the highest ground is known.
func (w *horizonWalk) direction(s *sight, highestM float64) SkylineDirection {
	elevDeg := math.Atan(s.tan) * degreesPerRadian // -90 where the tangent is -Inf
	d := SkylineDirection{ElevDeg: elevDeg, MostDeg: elevDeg, DistM: s.distM, Flag: Ground}
	if s.farM > 0 {
		if most := math.Atan(w.mostTangent(highestM, s.nearM, s.farM)) * degreesPerRadian; most > elevDeg {
			d.MostDeg, d.Flag = most, s.flag
		}
	}
	return d
}

// gather reads the heights of many places from one grid in two passes, first where each place lies,
// then the posts, so that the processor has many reads under way at once: over a grid far larger
// than its caches, waiting for them is what a walk spends its time on.
type gather struct {
	post []int // of the north-western of four posts
	u, v []float64
}

func newGather(longest int) gather {
	return gather{make([]int, longest), make([]float64, longest), make([]float64, longest)}
}

// heights writes the heights at all places, or reports false if one of them lies
// outside or needs a void: then the answer is that of Grid.Heights.
func (s *gather) heights(g *Grid, at []orb.Point, heightM []float64) bool {
	n := len(at)
	post, u, v, heightM := s.post[:n], s.u[:n], s.v[:n], heightM[:n]
	perLon, perLat := 1/g.StepLonDeg, 1/g.StepLatDeg
	lastCol, lastRow := float64(g.Cols-1), float64(g.Rows-1)
	for k, p := range at {
		x, y := (p[0]-g.WestDeg)*perLon, (g.NorthDeg-p[1])*perLat
		if !(x >= 0 && x < lastCol && y >= 0 && y < lastRow) {
			return false
		}
		col, row := int(x), int(y)
		post[k], u[k], v[k] = row*g.Cols+col, x-float64(col), y-float64(row)
	}
	h, cols := g.HeightM, g.Cols
	sum := 0.0
	for k, i := range post {
		upper, lower := h[i:i+2], h[i+cols:i+cols+2]
		a, b := float64(upper[0]), float64(lower[0])
		a += u[k] * (float64(upper[1]) - a)
		b += u[k] * (float64(lower[1]) - b)
		z := a + v[k]*(b-a)
		heightM[k] = z
		sum += z
	}
	return finite(sum) // one void is enough to poison it
}
