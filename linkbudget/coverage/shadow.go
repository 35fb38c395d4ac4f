package coverage

import (
	"math"

	"github.com/polereach/polereach/terrain"
)

// shadow tells from what a ray carries which ground lies so low that a receiver on it surely has a
// chance below one per cent: no more is wanted of it where whole per cents are kept.
//
// With A's horizon at the slope t, and any far point q at x on the line of slope s from A, both
// flattened, a receiver y above A's antenna at d has horizons of at least t - y/d and
// (s - y/d) x/(d-x) over the direct ray. What Bullington's edge loses grows with the product of both, and the
// rest of the path only loses more: so it is enough that the product reaches a figure, which is
// that y lies below one root of a quadratic.
//
// The doubt of the ground makes chances larger. It is bounded by steps: either horizon must
// stand out by so much that its edge is too blunt for more.
//
// What stands on the ground only loses more, and where the terrain may hold it a chance is none better than over the
// bare ground. On bare earth it changes the doubts too, so that all is asked for with the largest.
type shadow struct {
	fromM float64 // nothing is told nearer to the pole
	perM  float64 // entries for a metre
	// product of both slopes and the distance that is enough, by distance and doubt
	product []float64
	leastB  [len(groundSteps)]float64 // slope of B's horizon, by doubt

	topM   float64 // no receiver's antenna stands higher above ground
	filled []span  // cells of each row that are in shadow from the start

	perWave, mostM, perErrorM float64      // see constants
	blunt                     [512]float64 // see bluntFrom
}

// groundSteps are the most that the ground's doubt may be, dB.
var groundSteps = [...]float64{1.5, 2.25, 3, 4, 5, 6.5, 8.5, 11}

const (
	shadowFromM   = 1000 // there a cell lies within a hundredth as far as its ray's sample
	shadowEntries = 256
	shadowStepDB  = 0.25
	shadowMostDB  = 100
	mostTheta     = 0.06 // of the angle of troposcatter that is counted, see counts
	shadowSlackDB = 0.3  // for what differs by the way from the ray to a cell, and for tables
	bluntPerUnit  = 64
	// belowOne is where the normal distribution is 0.0096.
	belowOne = 2.34
)

// newShadow prepares for a sweep to reachM, over a cover or without one.
func newShadow(j *judge, reachM float64, over *standings) *shadow {
	c := &j.constants
	s := &shadow{fromM: shadowFromM, perM: shadowEntries / (reachM + 1), perWave: j.perWave,
		mostM: float64(c.mostM[0]), perErrorM: float64(c.perM[0])}
	s.product = make([]float64, (shadowEntries+1)*len(groundSteps))
	for i := range s.product {
		s.product[i] = math.Inf(1)
	}
	gainDB, steady2, clutterDB := 0.0, 0.0, math.Inf(1)
	for _, g := range j.gains {
		peak := float64(g.antenna.PeakDBi)
		for _, v := range g.gain {
			peak = max(peak, v)
		}
		gainDB += peak
	}
	receivers := []ending{{steady: j.steady}}
	if over != nil {
		receivers = over.receivers
	}
	for _, e := range receivers {
		s.topM = max(s.topM, j.rxM+e.liftM)
		for i, square := range e.steady.squares {
			steady2, clutterDB = max(steady2, square), min(clutterDB, e.steady.clutter[i])
		}
	}
	budgetDB := float64(c.budgetDB[0]) + gainDB - float64(c.leastCrossDB[0]) - clutterDB + shadowSlackDB
	most := float64(lengthDB(float32(reachM)))
	tops := over != nil && !over.layered
	if !tops {
		s.makeBlunt(most)
	}
	edges := shortEdges()
	for g, groundDB := range groundSteps {
		leastModelDB := 0.0
		if tops && g > 0 { // one step, the largest there is
			break
		}
		if tops {
			groundDB, leastModelDB = s.mostDoubtDB(most), float64(c.model[len(c.model)-1])
		}
		dark := newDark(c, steady2+groundDB*groundDB, leastModelDB)
		for near := s.fromM; near < reachM; near *= 1.25 {
			s.leastB[g] = max(s.leastB[g], s.leastSlope(near, 1.25*near, groundDB))
		}
		k := len(edges) - 1
		for n := range shadowEntries + 1 {
			near, far := float64(n)/s.perM, float64(n+1)/s.perM
			out := &s.product[n*len(groundSteps)+g]
			wanted := budgetDB - float64(c.freeDB[0]) - 20*math.Log10(0.99*max(near, 1))
			perNu := 2 * 0.9 / math.Sqrt(s.perWave*far) // twice the root of the slopes' product, see counts
			long := float64(lengthDB(float32(near)))
			enough := func(k int) bool {
				nu := edges[k]
				knife := float64(k)*shadowStepDB - 10
				edge := float64(k) * shadowStepDB
				if knife > 14 { // of what a long path adds, 0.9 counts there
					edge += 0.9 * (long - 10)
				}
				return dark.sure(edge, min(nu*perNu, mostTheta), wanted)
			}
			if !enough(k) {
				continue
			}
			for k > 0 && enough(k-1) {
				k--
			}
			*out = edges[k] * edges[k] / s.perWave
		}
	}
	return s
}

// dark tells which losses of an edge are enough, in steps of 1 dB above free space.
type dark struct {
	doubt     [mostLossDB + 2]float64 // so many standard deviations
	power     [mostLossDB + 2]float64 // of the loss, as troposcatter adds to it
	scatterDB float64                 // troposcatter at no angle
}

// From mostLossDB on the doubt of the method is level.
const mostLossDB = 100

// newDark takes the method's doubt as leastModelDB at least.
func newDark(c *constants, steady2, leastModelDB float64) *dark {
	t := &dark{scatterDB: float64(c.scatterDB[0] - c.freeDB[0])}
	for i := range t.doubt {
		model := max(float64(c.model[min(2*i, len(c.model)-1)]), leastModelDB)
		t.doubt[i] = belowOne * math.Sqrt(steady2+model*model)
		t.power[i] = math.Pow(10, -0.2*float64(i))
	}
	return t
}

// sure reports whether edgeDB and any more are, with the scatter by an angle of theta and more, and over
// the doubt, as much as wanted.
func (t *dark) sure(edgeDB, theta, wantedDB float64) bool {
	scatter := math.Pow(10, -0.2*(t.scatterDB+573*theta))
	i := min(int(edgeDB), mostLossDB)
	if power := math.Pow(10, -0.2*edgeDB); -5*math.Log10(power+scatter)-t.doubt[i+1] < wantedDB {
		return false
	}
	for i++; i <= mostLossDB; i++ {
		if -5*math.Log10(t.power[i]+scatter)-t.doubt[i+1] < wantedDB {
			return false
		}
		if t.doubt[i+1] == t.doubt[mostLossDB] {
			break // from there on the loss alone grows
		}
	}
	return true
}

// shortEdges are ν of Bullington's whole construction over a short path by its loss.
func shortEdges() []float64 {
	out := make([]float64, shadowMostDB/shadowStepDB)
	i := 0
	for knife := -1.0; i < len(out); knife += 0.02 {
		u := math.Pow(10, (knife-6.9)/20)
		for i < len(out) && knife+(1-math.Exp(-knife/6))*10 >= float64(i)*shadowStepDB {
			out[i] = max((u-1/u)/2+0.1, 0)
			i++
		}
	}
	return out
}

// makeBlunt fills in the table, ν from which the slope of the loss, as constants.groundDoubt has it, is no more than
// bluntPerUnit over the entry's number and one: it falls as ν rises.
func (s *shadow) makeBlunt(lengthDB float64) {
	nu := 0.0
	for k := range s.blunt {
		for ; nu < 1e3; nu = nu*1.01 + 0.005 {
			v := nu - 0.1
			w := math.Sqrt(v*v + 1)
			knife := 6.9 + 20*math.Log10(w+v)
			if 20/math.Ln10/w*(1+math.Exp(-knife/6)*lengthDB/6)*float64(k+1)/bluntPerUnit <= 1 {
				break
			}
		}
		s.blunt[k] = nu
	}
}

// bluntFrom is the ν from which the loss changes by no more than groundDB for a change of ν by moves.
func (s *shadow) bluntFrom(moves, groundDB float64) float64 {
	k := moves / groundDB * bluntPerUnit
	if !(k < float64(len(s.blunt))) {
		return math.Inf(1)
	}
	return s.blunt[int(k)]
}

// mostDoubtDB is more than constants.groundDoubt makes of any edge: with 1/d1 + 1/d2 ≤ 2/d1 of the nearer end,
// where fade(d1)/√d1 is largest, see leastA, and the loss steepest.
func (s *shadow) mostDoubtDB(lengthDB float64) float64 {
	_, rest, w := knifeEdge(0)
	const mostFade = 8.0 / 9
	return s.mostM * mostFade * math.Sqrt(s.perWave*3*s.perErrorM) * 20 / math.Ln10 / float64(w) *
		(1 + float64(rest)*lengthDB/6)
}

// fade is that of linkbudget.TerrainError.Form.
func (s *shadow) fade(x float64) float64 {
	t := min(x*s.perErrorM, 1)
	return t * (2 - t)
}

// leastSlope is that of B's horizon from which on the ground there, wherever it stands, makes no more doubt.
func (s *shadow) leastSlope(near, far, groundDB float64) (least float64) {
	for r := 0.5; r < near; r *= 1.06 {
		perM2 := s.perWave * near / (r * (near - r))
		nu := s.bluntFrom(1.03*s.mostM*s.fade(r)*s.fade(far-r)*math.Sqrt(perM2), groundDB)
		least = max(least, nu/math.Sqrt(s.perWave*r*far/(far-r)))
	}
	return 1.03 * least
}

// leastA is the slope of A's horizon at the distance x from which on the ground there makes no more
// doubt for receivers at the distance rest from it and farther.
func (s *shadow) leastA(x, rest, groundDB float64) float64 {
	// f(r)/√r is largest at t = 2/3.
	r := max(rest, 2/(3*s.perErrorM))
	moves := s.mostM * s.fade(x) * math.Sqrt(s.perWave*(1/x+s.fade(r)*s.fade(r)/r))
	return s.bluntFrom(moves, groundDB) / math.Sqrt(s.perWave*x)
}

// counts reports whether A's horizon, of that slope, is so flat that the angle of troposcatter is at least 0.9 of
// both slopes over the direct ray, a and b with a + b ≥ 2 √(ab), or above mostTheta. The angle is the sum of the
// arctangents of both elevations, u and v with u + v = a + b: where neither is beyond 0.3 that takes
// (u² - uv + v²)/3 ≤ 0.09 of it off, and where one is, the other is no lower than -0.2 and the angle 0.09 at least.
func (s *shadow) counts(tim float64) bool { return tim > -0.1 && tim < 0.2 }

// darkenRow lays the cells of a row in shadow that surely lie within the radius, by their distance on a plane.
func (s *sweep) darkenRow(row int) {
	const sure = 0.96
	l := &s.raster.Lattice
	lonM, latM := terrain.DegreeSizesM(s.rays.at[1])
	here, _ := terrain.DegreeSizesM(l.NorthDeg - float64(row)*l.StepLatDeg)
	radiusM, north := sure*s.opt.RadiusM, (l.NorthDeg-float64(row)*l.StepLatDeg-s.rays.at[1])*latM
	if north = math.Abs(north); north >= radiusM {
		return
	}
	half := math.Sqrt(radiusM*radiusM-north*north) / (max(lonM, here) * l.StepLonDeg)
	pole := (s.rays.at[0] - l.WestDeg) / l.StepLonDeg
	f := span{max(int(math.Ceil(pole-half)), 0), min(int(math.Floor(pole+half)), l.Cols-1)}
	s.shadow.filled[row] = f
	for i := f.from; i <= f.to; i++ {
		s.raster.percents[row*l.Cols+i] = percentFrom
	}
}
