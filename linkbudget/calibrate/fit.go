package calibrate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// What is thought of the spread before the data, and how far they may move it.
const (
	// spreadDoubt is the standard deviation of the logarithm of the spread's root: the stated
	// doubts are within some 40 % of what open sets of others show (DEVELOPERS.md, "Accuracy
	// in full": 1.5 to 9.8 dB where 3 to 10 are stated).
	spreadDoubt = 0.4
	leastSpread = 0.04 // a fifth of the stated doubt
	mostSpread  = 9    // three times
)

// fit finds the spread by its evidence, the area's variance from what is thought of it, in
// turn, and solves for them. Before data the area is Student's t with two degrees of freedom and
// the stated item hardware as its scale: most places differ little, some by 20 dB (see
// "Accuracy in full"). That is a normal with a variance that is an inverse gamma, whose mean
// after the data is 2 scale^2 + E(area^2).
func (m *model) fit(scale2 float64) error {
	m.area, m.spread = 2*scale2, 1
	var failed error
	solve := func() bool {
		if err := m.solve(); err != nil {
			failed = err
		}
		return failed == nil
	}
	for range 3 {
		m.spread = math.Exp(highest(math.Log(leastSpread), math.Log(mostSpread), func(x float64) float64 {
			m.spread = math.Exp(x)
			if !solve() {
				return math.Inf(-1)
			}
			return m.evidence - x*x/(8*spreadDoubt*spreadDoubt)
		}))
		for range 6 {
			if !solve() {
				return failed
			}
			variance, err := m.areaVariance()
			if err != nil {
				return err
			}
			m.area = 2*scale2 + m.theta[0]*m.theta[0] + variance
		}
	}
	solve()
	return failed
}

// areaVariance is that of the area at the mode.
func (m *model) areaVariance() (float64, error) {
	unit := mat.NewVecDense(m.size(), nil)
	unit.SetVec(0, 1)
	var column mat.VecDense
	if err := m.normal.SolveVecTo(&column, unit); err != nil {
		if _, bad := err.(mat.Condition); !bad {
			return 0, err
		}
	}
	return column.AtVec(0), nil
}

// highest finds where f is highest, by golden section: the evidence has one hill.
func highest(low, high float64, f func(float64) float64) float64 {
	ratio := (math.Sqrt(5) - 1) / 2
	a, b := high-ratio*(high-low), low+ratio*(high-low)
	fa, fb := f(a), f(b)
	for high-low > 0.1 { // a twentieth of the spread
		if fa >= fb {
			high, b, fb = b, a, fa
			a = high - ratio*(high-low)
			fa = f(a)
		} else {
			low, a, fa = a, b, fb
			b = low + ratio*(high-low)
			fb = f(b)
		}
	}
	if fa >= fb {
		return a
	}
	return b
}

// estimate is a value with its standard deviation, dB.
type estimate struct{ mean, sigma float64 }

// posterior answers from a model that is solved.
type posterior struct {
	*model
	covariance *mat.SymDense // of theta
}

func (m *model) posterior() (posterior, error) {
	var inverse mat.SymDense
	if err := m.normal.InverseTo(&inverse); err != nil {
		if _, bad := err.(mat.Condition); !bad {
			return posterior{}, err
		}
	}
	return posterior{m, &inverse}, nil
}

// at is one of theta.
func (p posterior) at(i int) estimate {
	return estimate{p.theta[i], math.Sqrt(p.covariance.At(i, i))}
}

// cov is the covariance of two of theta.
func (p posterior) cov(i, j int) float64 { return p.covariance.At(i, j) }

// difference is that of two of theta.
func (p posterior) difference(i, j int) estimate {
	return estimate{p.theta[i] - p.theta[j],
		math.Sqrt(max(p.cov(i, i)+p.cov(j, j)-2*p.cov(i, j), 0))}
}

// link is d of one direction at another time, the season's variance in it. from and to are nodes,
// -1 for one that nobody heard, with its prior; of is the path where it was heard, nil else,
// with variance its prior one.
func (p posterior) link(from, to int, unknown [2]node, of *observed, variance float64) estimate {
	own := p.season + p.spread*variance
	see := []seen{{0, 1}}
	for end, v := range [2]int{from, to} {
		switch {
		case v < 0:
			own += p.spread * (unknown[end].hardware + unknown[end].place)
		case end == 0:
			see = append(see, seen{send(v), 1})
		default:
			see = append(see, seen{receive(v), 1})
		}
	}
	if of == nil {
		return p.sum(see, own, nil, [2]float64{})
	}
	cross := p.spread * of.variance
	return p.sum(see, own, of, [2]float64{cross, cross})
}

// observation is d of direction k of a path, at the time of the log.
func (p posterior) observation(of *observed, k int) estimate {
	o := &of.obs[k]
	return p.sum([]seen{{0, 1}, {send(o.from), 1}, {receive(o.to), 1}}, p.own(of, k, k), of,
		[2]float64{p.own(of, k, 0), p.own(of, k, 1)})
}

// seen is how much of one of theta is in a sum.
type seen struct {
	at   int
	with float64
}

// sum is what is seen of theta and something with a prior variance of its own, whose prior
// covariances with what the path's directions have of theirs are cross.
func (p posterior) sum(see []seen, own float64, of *observed, cross [2]float64) estimate {
	mean := 0.0
	for _, e := range see {
		mean += p.theta[e.at]
	}
	if of != nil {
		for k := range of.obs {
			mean += cross[k] * of.alpha[k]
			for l := range of.obs {
				w := cross[k] * of.b[k][l]
				own -= w * cross[l]
				for _, i := range of.obs[l].at() {
					see = append(see, seen{i, -w})
				}
			}
		}
	}
	variance := own
	for _, e := range see {
		for _, f := range see {
			variance += e.with * f.with * p.cov(e.at, f.at)
		}
	}
	return estimate{mean, math.Sqrt(max(variance, 0))}
}
