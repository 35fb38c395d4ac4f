package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"github.com/polereach/polereach/terrain/fault"
)

// The model, of the difference d between measured and predicted level of a link one way:
//
//	d = area + sends(from) + receives(to) + path + season
//
// area is common to all; a node's two offsets share what its place costs and have each a
// part of their own, the hardware; the path is the same both ways; the season is what a link
// measured at another time would differ by, each way. Before data all are normal about
// 0, and their variances add up to the square of the stated doubt: the item hardware is the
// area's, as it is the difference between measured sets; the rest is shared between nodes
// and path by shared. spread multiplies all of that rest.
type model struct {
	nodes        []node
	paths        []observed
	season       float64   // variance
	area, spread float64   // variance of the area; of all but area and season, a factor
	theta        []float64 // the area, then send and receive of each node
	normal       mat.Cholesky
	evidence     float64 // its logarithm, without constants
}

// node is the prior of a node: variances at a spread of 1.
type node struct{ hardware, place float64 }

// observed is a path of the model.
type observed struct {
	ends     [2]int  // its nodes
	variance float64 // at a spread of 1
	obs      []observation
	// At the mode: the path and season of direction k are the prior covariance times alpha;
	// b are the weights that the nodes see.
	alpha [2]float64
	b     [2][2]float64
}

func (m *model) size() int { return 1 + 2*len(m.nodes) }

// send and receive are the places of a node's offsets in theta; the area is at 0.
func send(node int) int    { return 1 + 2*node }
func receive(node int) int { return 2 + 2*node }

// own is the prior covariance of path and season of two directions, 0 and 1, of a path.
func (m *model) own(p *observed, k, l int) float64 {
	v := m.spread * p.variance
	if k == l {
		v += m.season
	}
	return v
}

// common is the part of d that nodes and area have.
func common(theta []float64, o *observation) float64 {
	return theta[0] + theta[send(o.from)] + theta[receive(o.to)]
}

// latent is the part of direction k that path and season have.
func (m *model) latent(p *observed, alpha *[2]float64, k int) (v float64) {
	for l := range p.obs {
		v += m.own(p, k, l) * alpha[l]
	}
	return v
}

// objective is the logarithm of likelihood and prior, without constants.
func (m *model) objective(theta []float64, alphas [][2]float64) float64 {
	sum := -theta[0] * theta[0] / m.area / 2
	for i, n := range m.nodes {
		inverse, cross, _ := n.precision(m.spread)
		s, r := theta[send(i)], theta[receive(i)]
		sum -= (inverse*(s*s+r*r) + 2*cross*s*r) / 2
	}
	for i := range m.paths {
		p := &m.paths[i]
		for k := range p.obs {
			v := m.latent(p, &alphas[i], k)
			log, _, _ := p.obs[k].likelihood(common(theta, &p.obs[k]) + v)
			sum += log - alphas[i][k]*v/2
		}
	}
	return sum
}

// precision is the inverse of the covariance of a node's two offsets, on and off its diagonal, and
// the logarithm of the covariance's determinant.
func (n node) precision(spread float64) (diagonal, cross, logDet float64) {
	v, c := spread*(n.hardware+n.place), spread*n.place
	det := v*v - c*c
	return v / det, -c / det, math.Log(det)
}

// mostSteps of Newton's method; it ends far earlier.
const mostSteps = 200

// solve finds the mode for the variances there are, from theta and the paths as they stand, by
// Newton's method: each step is a weighted least squares problem in which paths are
// eliminated one by one, since they share nothing but nodes and area.
func (m *model) solve() error {
	n := m.size()
	if m.theta == nil {
		m.theta = make([]float64, n)
	}
	alphas := make([][2]float64, len(m.paths))
	for i := range m.paths {
		alphas[i] = m.paths[i].alpha
	}
	now := m.objective(m.theta, alphas)
	theta, trial := make([]float64, n), make([][2]float64, len(m.paths))
	for range mostSteps {
		next, err := m.step()
		if err != nil {
			return err
		}
		better, part := math.Inf(-1), 1.0
		for ; part > 1e-4; part /= 2 {
			for i := range theta {
				theta[i] = m.theta[i] + part*(next[i]-m.theta[i])
			}
			for i := range trial {
				for k := range trial[i] {
					trial[i][k] = alphas[i][k] + part*(m.paths[i].alpha[k]-alphas[i][k])
				}
			}
			if better = m.objective(theta, trial); better >= now {
				break
			}
		}
		gain := better - now
		if gain >= 0 {
			copy(m.theta, theta)
			copy(alphas, trial)
			now = better
		}
		for i := range m.paths {
			m.paths[i].alpha = alphas[i]
		}
		if gain < 1e-8*(1+math.Abs(now)) {
			m.weigh(now)
			return nil
		}
	}
	return fault.Input("calibrate: the estimate does not settle in %d steps", mostSteps)
}

// step is one of Newton's: it returns the next theta and leaves the next alpha in the paths.
func (m *model) step() ([]float64, error) {
	n := m.size()
	a, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	a.SetSym(0, 0, 1/m.area)
	for i, node := range m.nodes {
		diagonal, cross, _ := node.precision(m.spread)
		a.SetSym(send(i), send(i), diagonal)
		a.SetSym(receive(i), receive(i), diagonal)
		a.SetSym(send(i), receive(i), cross)
	}
	held := make([][2]float64, len(m.paths))
	for i := range m.paths {
		p := &m.paths[i]
		c := m.weights(p)
		held[i] = c
		for k := range p.obs {
			for _, row := range p.obs[k].at() {
				right.SetVec(row, right.AtVec(row)+c[k])
				for l := range p.obs {
					for _, column := range p.obs[l].at() {
						if column >= row {
							a.SetSym(row, column, a.At(row, column)+p.b[k][l])
						}
					}
				}
			}
		}
	}
	if !m.normal.Factorize(a) {
		return nil, fault.Input("calibrate: the normal equations are singular")
	}
	var next mat.VecDense
	if err := m.normal.SolveVecTo(&next, right); err != nil {
		if _, bad := err.(mat.Condition); !bad {
			return nil, err
		}
	}
	theta := next.RawVector().Data
	for i := range m.paths {
		p := &m.paths[i]
		for k := range p.obs {
			p.alpha[k] = held[i][k]
			for l := range p.obs {
				p.alpha[k] -= p.b[k][l] * common(theta, &p.obs[l])
			}
		}
	}
	return theta, nil
}

// at are the places in theta that an observation sees.
func (o *observation) at() [3]int { return [3]int{0, send(o.from), receive(o.to)} }

// leastCurvature keeps the weights of observations that say nothing above 0.
const leastCurvature = 1e-9

// weights finds b of a path, (W^-1 + S)^-1 with W the curvatures at the mode so far and S
// the covariance of what is the path's own, and returns b times the working response.
func (m *model) weights(p *observed) (c [2]float64) {
	var root, y [2]float64
	for k := range p.obs {
		d := common(m.theta, &p.obs[k]) + m.latent(p, &p.alpha, k)
		_, slope, w := p.obs[k].likelihood(d)
		w = max(w, leastCurvature)
		root[k] = math.Sqrt(w)
		y[k] = (w*d + slope) / root[k]
	}
	inner := m.inner(p, &root)
	for k := range p.obs {
		for l := range p.obs {
			p.b[k][l] = root[k] * inner[k][l] * root[l]
			c[k] += root[k] * inner[k][l] * y[l]
		}
	}
	return c
}

// inner is (I + W^1/2 S W^1/2)^-1.
func (m *model) inner(p *observed, root *[2]float64) [2][2]float64 {
	k00 := 1 + root[0]*root[0]*m.own(p, 0, 0)
	if len(p.obs) == 1 {
		return [2][2]float64{{1 / k00}}
	}
	k11, k01 := 1+root[1]*root[1]*m.own(p, 1, 1), root[0]*root[1]*m.own(p, 0, 1)
	det := k00*k11 - k01*k01
	return [2][2]float64{{k11 / det, -k01 / det}, {-k01 / det, k00 / det}}
}

// weigh finds the evidence by Laplace's method, at the mode, where the objective is that.
func (m *model) weigh(objective float64) {
	logDet := math.Log(m.area)
	for _, n := range m.nodes {
		_, _, d := n.precision(m.spread)
		logDet += d
	}
	for i := range m.paths {
		p := &m.paths[i]
		var root [2]float64
		for k := range p.obs {
			_, _, w := p.obs[k].likelihood(common(m.theta, &p.obs[k]) + m.latent(p, &p.alpha, k))
			root[k] = math.Sqrt(max(w, leastCurvature))
		}
		inner := m.inner(p, &root)
		det := inner[0][0]
		if len(p.obs) == 2 {
			det = inner[0][0]*inner[1][1] - inner[0][1]*inner[1][0]
		}
		logDet -= math.Log(det)
	}
	m.evidence = objective - (logDet+m.normal.LogDet())/2
}
