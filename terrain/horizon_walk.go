package terrain

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// earthRadiusM serves where some per cent do not matter.
const earthRadiusM = 6371e3

// horizonWalk looks along one direction after the other. What depends on the
// distance alone is computed once for all of them.
type horizonWalk struct {
	dem      DEM
	at       orb.Point
	eyeM     float64
	radiusM  float64 // of the earth as light sees it
	capM     float64 // no ground is higher
	extent   Extent
	rough    bool // no sample is looked at again
	segments []walkSegment
	// distM are the distances of the samples; sin and cos those of the angle
	// they span at the centre of the earth.
	// margin is how much the tangent may rise between a sample and the next over
	// ground of 45°.
	distM, sin, cos, margin []float64
	end                     waypoint // of the last stretch placed in this direction
	endM                    float64
	// Scratch space for the longest segment.
	places  []orb.Point
	heightM []float64
	flags   []Flag
	grid    *Grid // the DEM, if it is one
	gather  gather
	// highestM is the highest ground met.
	highestM float64
}

// walkSegment is a stretch of the walk, and the samples in it.
type walkSegment struct {
	startM, endM float64
	first, after int
	exact        bool // each place by the exact solution
}

const (
	growth      = 1. / 300 // of a step, per distance
	finestStep  = 1. / 4   // of the post spacing
	finer       = 4        // times finer each round of refinement looks
	rounds      = 4        // of refinement
	segmentM    = 8e3      // longest segment
	mostSamples = 1 << 18  // per direction: 1000 km at 4 m
)

// newHorizonWalk lays out the samples.
func newHorizonWalk(dem DEM, at orb.Point, eyeM float64, opt HorizonOptions) (*horizonWalk, error) {
	w := &horizonWalk{dem: dem, at: at, eyeM: eyeM, radiusM: earthRadiusM / (1 - opt.KLight),
		capM: cmp.Or(opt.HighestM, highestGroundM), extent: dem.Extent(), highestM: math.Inf(-1)}
	if err := w.extent.checkSteps("horizon"); err != nil {
		return nil, err
	}
	// Columns close in towards the poles: a walk there would never get anywhere.
	lonM, latM := DegreeSizesM(min(math.Abs(at[1]), 80))
	lonM, latM = lonM*w.extent.StepLonDeg, latM*w.extent.StepLatDeg
	postM, widePostM := min(lonM, latM)*opt.Rough, max(lonM, latM)*opt.Rough
	w.rough = opt.Rough > 1
	for s := min(postM*finestStep, opt.MaxM); ; {
		w.distM = append(w.distM, s)
		if s >= opt.MaxM {
			break
		}
		s = min(opt.MaxM, s+max(postM*finestStep, min(widePostM, s*growth*opt.Rough)))
		if len(w.distM) >= mostSamples {
			return nil, fault.Input("terrain: horizon: %g m over posts every %.3g m need more than %d samples a direction; "+
				"choose a shorter distance", opt.MaxM, postM, mostSamples)
		}
	}
	n := len(w.distM)
	w.sin, w.cos, w.margin = make([]float64, n), make([]float64, n), make([]float64, n)
	for i, s := range w.distM {
		w.sin[i], w.cos[i] = math.Sincos(s / w.radiusM)
		w.margin[i] = (w.distM[min(i+1, n-1)] - w.distM[max(i-1, 0)]) / 4 / s
	}
	w.layOutSegments(opt.MaxM)
	return w, nil
}

// layOutSegments cuts the walk into stretches over which a cubic follows the
// geodesic, short ones first, so that a walk that ends early has done little.
func (w *horizonWalk) layOutSegments(maxM float64) {
	longest := 2 * finer
	for startM, first := 0.0, 0; first < len(w.distM); {
		endM := min(maxM, startM+max(500, min(segmentM, startM)))
		farDeg := math.Abs(w.at[1]) + endM/110e3
		after := first
		for after < len(w.distM) && (w.distM[after] <= endM || endM >= maxM) {
			after++
		}
		exact := !(farDeg < 89) || !(nodeSpacingM(earthRadiusM*math.Cos(farDeg*radiansPerDegree)) > endM-startM)
		w.segments = append(w.segments, walkSegment{startM, endM, first, after, exact})
		longest = max(longest, after-first)
		startM, first = endM, after
	}
	w.places, w.heightM, w.flags = make([]orb.Point, longest), make([]float64, longest), make([]Flag, longest)
	if g, ok := w.dem.(*Grid); ok && g.Check() == nil {
		w.grid, w.gather = g, newGather(longest)
	}
}

// look walks in one direction and fills in what it sees.
func (w *horizonWalk) look(azimuthDeg float64, s *sight) error {
	*s = sight{tan: math.Inf(-1)}
	w.endM = -1
	l := geodesicLine{shortLine: shortLine{Geodesic: Geodesic{AzimuthDeg: azimuthDeg}}, from: w.at}
	for i := range w.segments {
		g := &w.segments[i]
		if w.nothingMatters(s.tan, g.startM) {
			break
		}
		if g.after == g.first {
			continue
		}
		n := g.after - g.first
		w.placeSamples(&l, g, w.distM[g.first:g.after])
		if err := w.heights(n); err != nil {
			return err
		}
		if !w.scan(g, s) && !w.inExtent(w.places[n-1]) {
			s.farM = w.distM[len(w.distM)-1] // nothing but the outside from here on
			break
		}
	}
	if w.rough && s.peaks > 0 {
		p := slices.MaxFunc(s.peak[:s.peaks], func(a, b peak) int { return cmp.Compare(a.tan, b.tan) })
		s.distM = w.distM[p.sample]
		return nil
	}
	// The highest first: it lets most of the others go.
	for range s.peaks {
		p := &s.peak[0]
		for i := range s.peak[:s.peaks] {
			if s.peak[i].tan > p.tan {
				p = &s.peak[i]
			}
		}
		if s.distM > 0 && p.tan+w.margin[p.sample] <= s.tan {
			break
		}
		if err := w.refine(&l, *p, s); err != nil {
			return err
		}
		p.tan = math.Inf(-1) // done
	}
	return nil
}

// placeSamples writes the places at the given distances of one segment.
func (w *horizonWalk) placeSamples(l *geodesicLine, g *walkSegment, distM []float64) {
	if g.exact {
		for i, d := range distM {
			w.places[i], _ = l.at(d)
		}
		return
	}
	lengthM := g.endM - g.startM
	begin := w.end
	if w.endM != g.startM { // else where the stretch before ended
		begin = newWaypoint(l.at(g.startM))
	}
	w.end, w.endM = newWaypoint(l.at(g.endM)), g.endM
	from, to := begin.node(lengthM), w.end.node(lengthM)
	lon, lat := hermite(from.lon, to.lon), hermite(from.lat, to.lat)
	perM := 1 / lengthM
	for i, d := range distM {
		t := (d - g.startM) * perM
		w.places[i] = orb.Point{lon.at(t), lat.at(t)}
	}
}

// heights asks for the heights at the first n places.
func (w *horizonWalk) heights(n int) error {
	if w.grid != nil && w.gather.heights(w.grid, w.places[:n], w.heightM[:n]) {
		clear(w.flags[:n]) // all Ground
		return nil
	}
	return HeightsOf(w.dem, w.places[:n], w.heightM[:n], w.flags[:n])
}

// scan takes in the heights of a segment, and reports whether any ground is known.
func (w *horizonWalk) scan(g *walkSegment, s *sight) (known bool) {
	n := g.after - g.first
	sin, cos, margin := w.sin[g.first:g.after], w.cos[g.first:g.after], w.margin[g.first:g.after]
	heights, flags := w.heightM[:n], w.flags[:n]
	eyeM, top := w.radiusM+w.eyeM, w.highestM
	// A sample stands above a tangent if ((R+z) cos φ - (R+z0)) / ((R+z) sin φ) > tan,
	// any sample above -Inf.
	for i, z := range heights {
		if !flags[i].Known() {
			s.unknown(w.distM[g.first+i], flags[i])
			continue
		}
		known = true
		if z > top {
			top = z
		}
		z += w.radiusM
		if z*(cos[i]-(s.tan-margin[i])*sin[i]) > eyeM {
			s.add(peak{g.first + i, (z*cos[i] - eyeM) / (z * sin[i])})
		}
	}
	w.highestM = top
	return known
}

// refine looks again between the neighbours of a sample, in steps 4 times finer, then as much finer
// round the highest of these, four times in all: a crest of 45° is met to within half a 256th of a
// step.
func (w *horizonWalk) refine(l *geodesicLine, p peak, s *sight) error {
	if p.tan >= s.tan {
		s.tan, s.distM = p.tan, w.distM[p.sample]
	}
	fromM, toM := w.distM[max(0, p.sample-1)], w.distM[min(len(w.distM)-1, p.sample+1)]
	exact := w.segments[len(w.segments)-1].exact
	var distM [2*finer - 1]float64
	for range rounds {
		if !(toM > fromM) {
			return nil // a walk of a single sample
		}
		fineM := (toM - fromM) / (2 * finer)
		for i := range distM {
			distM[i] = fromM + fineM*float64(i+1)
		}
		n := len(distM)
		w.placeSamples(l, &walkSegment{startM: fromM, endM: toM, exact: exact}, distM[:])
		if err := w.heights(n); err != nil {
			return err
		}
		best, bestM := math.Inf(-1), fromM
		for i, z := range w.heightM[:n] {
			if !w.flags[i].Known() {
				continue // its neighbours are known or counted already
			}
			if tan := w.tangent(z, distM[i]); tan > best {
				best, bestM = tan, distM[i]
			}
		}
		if best > s.tan {
			s.tan, s.distM = best, bestM
		}
		fromM, toM = max(fromM, bestM-fineM), min(toM, bestM+fineM)
	}
	return nil
}

// inExtent reports whether a place lies within the area of the DEM.
func (w *horizonWalk) inExtent(p orb.Point) bool {
	b := w.extent.Bound
	return p[1] >= b.Min[1] && p[1] <= b.Max[1] && math.Mod(p[0]-b.Min[0]+720, 360) <= b.Max[0]-b.Min[0]
}
