package calibrate

import "math"

// A path that lost packets is known to be no better than so much, and may be far worse: its
// likelihood leans. At the mode alone the area comes out 0.7 dB too good (invented meshes),
// so each such likelihood is replaced by the normal one that gives the same mean and
// variance in its place: expectation propagation (Minka, UAI 2001; Rasmussen and Williams,
// Gaussian Processes for Machine Learning, 2006, §3.6, both from memory).
const (
	mostRounds = 30
	damping    = 0.7
	settledDB  = 0.005
)

// propagate returns the posterior with the censored observations replaced so; the variances
// of m are those that were fitted.
func (m *model) propagate() (posterior, error) {
	like := *m
	like.paths = make([]observed, len(m.paths))
	leaning := false
	for i := range m.paths {
		p := m.paths[i]
		p.obs = append([]observation(nil), p.obs...)
		for k := range p.obs {
			o := &p.obs[k]
			if !(o.lost > 0) {
				continue
			}
			leaning = true
			d := common(m.theta, o) + m.latent(&m.paths[i], &m.paths[i].alpha, k)
			_, slope, w := o.likelihood(d)
			w = max(w, leastCurvature)
			o.mean, o.weight, o.lost = d+slope/w, w, 0
		}
		like.paths[i] = p
	}
	like.theta = append([]float64(nil), m.theta...)
	for range mostRounds {
		if err := like.solve(); err != nil {
			return posterior{}, err
		}
		p, err := like.posterior()
		if err != nil || !leaning {
			return p, err
		}
		moved := 0.0
		for i := range m.paths {
			for k := range m.paths[i].obs {
				if o := &m.paths[i].obs[k]; o.lost > 0 {
					moved = max(moved, like.paths[i].obs[k].refine(o, p.observation(&like.paths[i], k)))
				}
			}
		}
		if moved < settledDB {
			break
		}
	}
	if err := like.solve(); err != nil {
		return posterior{}, err
	}
	return like.posterior()
}

// refine moves the normal likelihood site towards the one that in the place of the true one
// gives the same moments; at is what the posterior says. It returns how far the mean of d
// then moves, dB.
func (site *observation) refine(true *observation, at estimate) float64 {
	precision := 1/(at.sigma*at.sigma) - site.weight // of all others
	if !(precision > 1e-6) {
		return 0
	}
	mean := (at.mean/(at.sigma*at.sigma) - site.weight*site.mean) / precision
	got := true.moments(mean, 1/math.Sqrt(precision))
	weight := max(1/(got.sigma*got.sigma)-precision, leastCurvature)
	shift := got.mean*(precision+weight) - precision*mean // weight times the new mean
	shift = damping*shift + (1-damping)*site.weight*site.mean
	site.weight = damping*weight + (1-damping)*site.weight
	site.mean = shift / site.weight
	return math.Abs(got.mean - at.mean)
}

// moments are those of a normal d times the likelihood, by the trapezoidal rule.
func (o *observation) moments(mean, sigma float64) estimate {
	const reach, steps = 7.0, 280
	low, high := mean-reach*sigma, mean+reach*sigma
	if o.weight > 0 { // what was heard may be far sharper
		narrow := reach / math.Sqrt(o.weight)
		low, high = max(low, o.mean-narrow), min(high, o.mean+narrow)
		if !(low < high) {
			low, high = min(mean, o.mean)-narrow, max(mean, o.mean)+narrow
		}
	}
	var logs [steps + 1]float64
	most := math.Inf(-1)
	step := (high - low) / steps
	for i := range logs {
		d := low + float64(i)*step
		log, _, _ := o.likelihood(d)
		z := (d - mean) / sigma
		logs[i] = log - z*z/2
		most = max(most, logs[i])
	}
	var n, sum, squares float64
	for i, log := range logs {
		d := low + float64(i)*step
		w := math.Exp(log - most)
		n, sum, squares = n+w, sum+w*d, squares+w*d*d
	}
	centre := sum / n
	return estimate{centre, math.Sqrt(max(squares/n-centre*centre, step*step/12))}
}
