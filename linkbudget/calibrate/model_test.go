package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The posterior of a mesh without lost packets, once more from the covariance of all
// measurements at once: E = C_st C_ss^-1 d, V = C_tt - C_st C_ss^-1 C_ts (conditional normal,
// any textbook), which shares nothing with the normal equations.
func TestPosteriorAgainstFullCovariance(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	m := invent(r, false)
	m.area, m.spread = 25, 1.3
	for i := range m.paths {
		for k := range m.paths[i].obs {
			m.paths[i].obs[k].lost = 0
		}
	}
	type row struct {
		o    observation
		path int
	}
	var rows []row
	for i := range m.paths {
		for _, o := range m.paths[i].obs {
			rows = append(rows, row{o, i})
		}
	}
	// The covariance of d of two ways at different seasons.
	prior := func(a, b row) float64 {
		c := m.area
		if a.path == b.path && a.path >= 0 {
			c += m.spread * m.variance
		}
		share := func(x, y int, same bool) {
			if x == y {
				c += m.spread * m.nodes[x].place
				if same {
					c += m.spread * m.nodes[x].hardware
				}
			}
		}
		share(a.o.from, b.o.from, true)
		share(a.o.to, b.o.to, true)
		share(a.o.from, b.o.to, false)
		share(a.o.to, b.o.from, false)
		return c
	}
	n := len(rows)
	c, d := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i := range rows {
		d.SetVec(i, rows[i].o.mean)
		for j := i; j < n; j++ {
			v := prior(rows[i], rows[j])
			if i == j {
				v += m.season + 1/rows[i].o.weight
			}
			c.SetSym(i, j, v)
		}
	}
	var factor mat.Cholesky
	if !factor.Factorize(c) {
		t.Fatal("singular")
	}
	if err := m.solve(); err != nil {
		t.Fatal(err)
	}
	post, err := m.propagate()
	if err != nil {
		t.Fatal(err)
	}
	check := func(name string, got estimate, of row, own float64) {
		cross := mat.NewVecDense(n, nil)
		for i := range rows {
			cross.SetVec(i, prior(of, rows[i]))
		}
		var solved mat.VecDense
		if err := factor.SolveVecTo(&solved, cross); err != nil {
			t.Fatal(err)
		}
		mean := mat.Dot(&solved, d)
		sigma := math.Sqrt(prior(of, of) + own - mat.Dot(&solved, cross))
		if math.Abs(got.mean-mean) > 1e-6 || math.Abs(got.sigma-sigma) > 1e-6 {
			t.Errorf("%s: %.6f ± %.6f, by the full covariance %.6f ± %.6f", name, got.mean, got.sigma, mean, sigma)
		}
	}
	for i := range m.paths {
		p := &post.paths[i]
		way := row{observation{from: p.ends[0], to: p.ends[1]}, i}
		check("link heard", post.link(p.ends[0], p.ends[1], [2]node{}, p, p.variance), way, m.season)
	}
	for _, w := range m.unheard {
		check("link not heard", post.link(w[0], w[1], [2]node{}, nil, m.variance), row{observation{from: w[0], to: w[1]}, -1},
			m.season+m.spread*m.variance)
	}
}

// The slope and the curvature of the likelihood are those of its differences.
func TestLikelihoodsSlope(t *testing.T) {
	for _, o := range []observation{
		{mean: -3, weight: 2}, {lost: 7, limit: -4, width: 2.5}, {mean: 1, weight: 0.8, lost: 3, limit: 0, width: 1.5},
	} {
		for d := -15.0; d <= 10; d += 0.37 {
			const h = 1e-4
			below, _, _ := o.likelihood(d - h)
			at, slope, curvature := o.likelihood(d)
			above, _, _ := o.likelihood(d + h)
			if want := (above - below) / (2 * h); math.Abs(slope-want) > 1e-5*(1+math.Abs(want)) {
				t.Errorf("%+v at %g: slope %g, by differences %g", o, d, slope, want)
			}
			if want := max(-(above-2*at+below)/(h*h), 0); math.Abs(curvature-want) > 1e-4*(1+want) {
				t.Errorf("%+v at %g: curvature %g, by differences %g", o, d, curvature, want)
			}
		}
	}
}

// A normal of which only the part above a limit is seen comes back.
func TestCensoredMoments(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	const mu, sigma, limit, all = -128.0, 4.0, -127.0, 100_000
	var n, sum, squares float64
	for range all {
		if v := mu + sigma*r.NormFloat64(); v > limit {
			n, sum, squares = n+1, sum+v, squares+v*v
		}
	}
	mean := sum / n
	gotMu, gotSigma := censoredMoments(n, mean, squares/n-mean*mean, all-n, limit)
	if math.Abs(gotMu-mu) > 0.1 || math.Abs(gotSigma-sigma) > 0.1 {
		t.Errorf("%.2f ± %.2f, drawn %g ± %g; the part seen has a mean of %.2f", gotMu, gotSigma, mu, sigma, mean)
	}
}
