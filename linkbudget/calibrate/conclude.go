package calibrate

import (
	"context"
	"fmt"
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget"
)

// answer fills in what the posterior says.
func (c *comparison) answer(ctx context.Context, a *Answer, post posterior) error {
	area := post.at(0)
	a.Bias, a.Spread = Interval{area.mean, area.sigma}, math.Sqrt(c.model.spread)
	c.nodes(a, post)
	c.links(a, post)
	if err := c.leaveOneOut(a); err != nil {
		return err
	}
	a.Kinds, a.Before = c.kinds(a.Links), summary(a.Links, func(l *Link) (float64, float64) {
		return l.DifferenceDB, math.Hypot(l.StatedDB, l.Measured.SigmaDB)
	})
	c.causes(a, post)
	a.MoreLinks = 3 * len(c.model.paths) // intervals fall with the root of the number
	if err := c.exchanged(ctx, a); err != nil {
		return err
	}
	c.notes(a)
	return c.calibration(a, post)
}

func interval(e estimate) Interval { return Interval{e.mean, e.sigma} }

func (c *comparison) nodes(a *Answer, post posterior) {
	for i, station := range c.station {
		n := Node{Name: c.p.Plan.Stations[station].Name, Moving: c.moves[station], Sends: interval(post.at(send(i))),
			Hears: interval(post.at(receive(i))), Difference: interval(post.difference(send(i), receive(i)))}
		for k := range c.signals {
			if s := &c.signals[k]; c.of[k].path >= 0 && (s.from == station || s.to == station) {
				n.Links++
			}
		}
		a.Nodes = append(a.Nodes, n)
	}
	sort.Slice(a.Nodes, func(i, j int) bool { return a.Nodes[i].Name < a.Nodes[j].Name })
}

func (c *comparison) links(a *Answer, post posterior) {
	for i := range c.signals {
		s := &c.signals[i]
		if c.of[i].path < 0 {
			continue
		}
		key, way := s.path()
		f, p := c.paths[key], &post.paths[c.of[i].path]
		l := Link{From: c.p.Plan.Stations[s.from].Name, To: c.p.Plan.Stations[s.to].Name, Moving: s.moving, At: s.at,
			DistM: f.DistM, Heard: s.heard, Lost: s.lost, Supposed: s.supposed, PredictedDBm: f.LevelDBm[way],
			StatedDB: f.SigmaDB, Situation: f.Situation, Around: f.Around, HasLevel: s.heard > s.floor}
		if way == 1 {
			l.Around[0], l.Around[1] = l.Around[1], l.Around[0]
		}
		if l.DifferenceDB = f.SensitivityDBm[way] + c.fromSensitivity(s) - l.PredictedDBm; l.HasLevel {
			l.Measured = Interval{s.medianDBm, s.medianSigma}
			l.DifferenceDB = s.medianDBm - l.PredictedDBm
		} else if s.floor > 0 {
			l.DifferenceDB = f.NoiseDBm[way] - l.PredictedDBm
		}
		l.After = interval(post.link(c.node[s.from], c.node[s.to], [2]node{}, p, p.variance))
		a.Links = append(a.Links, l)
	}
}

// leaveOneOut finds how each link comes out when its path is left out, the fitted variances
// as they are: one path at a time, or twenty parts of many.
func (c *comparison) leaveOneOut(a *Answer) error {
	m := &c.model
	parts := len(m.paths)
	if parts < 3 {
		return nil
	}
	if parts > mostAlone {
		parts = 20
	}
	link := map[place]int{}
	n := 0
	for i := range c.of {
		if c.of[i].path >= 0 {
			link[c.of[i]] = n
			n++
		}
	}
	var predicted, sigma []float64
	for part := range parts {
		rest := *m
		rest.theta, rest.paths = append([]float64(nil), m.theta...), nil
		for i := range m.paths {
			if i%parts != part {
				rest.paths = append(rest.paths, m.paths[i])
			}
		}
		if err := rest.solve(); err != nil {
			return err
		}
		find := rest.propagate
		if len(m.nodes) > mostPropagated {
			find = rest.posterior
		}
		post, err := find()
		if err != nil {
			return err
		}
		for i := part; i < len(m.paths); i += parts {
			p := &m.paths[i]
			for way := range 2 {
				k, ok := link[place{i, way}]
				if !ok || !a.Links[k].HasLevel {
					continue
				}
				from, to := p.ends[way], p.ends[1-way]
				e := post.link(from, to, [2]node{}, nil, p.variance)
				l := &a.Links[k]
				off, doubt := l.DifferenceDB-e.mean, math.Hypot(e.sigma, l.Measured.SigmaDB)
				predicted, sigma = append(predicted, off), append(sigma, doubt)
				l.Outlier = math.Abs(off) > 3*doubt
			}
		}
	}
	a.After = summarise(predicted, sigma)
	return nil
}

// mostPropagated is up to how many nodes what is left out is predicted as the answer is; with more,
// whose inverse is asked for too often, from the mode.
const mostPropagated = 60

// mostAlone is how many paths are left out one at a time.
const mostAlone = 400

// Cause is a share of what the measured differences consist of.
type Cause struct {
	Name  string
	Share float64 // of the sum of squares, 0 to 1
	RMSDB float64
	Most  string // where it is largest, and how large
}

func (c *comparison) causes(a *Answer, post posterior) {
	var squares [4]float64
	var most [4]float64
	var where [4]string
	n := 0
	note := func(i int, v float64, name string) {
		squares[i] += v * v
		if math.Abs(v) > math.Abs(most[i]) {
			most[i], where[i] = v, name
		}
	}
	// Of a node's two offsets the place's share, by their prior covariance.
	place := func(i int) float64 {
		prior := c.model.nodes[i]
		return prior.place / (prior.hardware + 2*prior.place) * (post.theta[send(i)] + post.theta[receive(i)])
	}
	for i := range post.paths {
		p := &post.paths[i]
		for k := range p.obs {
			o := &p.obs[k]
			from, to := c.p.Plan.Stations[c.station[o.from]].Name, c.p.Plan.Stations[c.station[o.to]].Name
			n++
			note(0, post.theta[0], "")
			a, b := place(o.from), place(o.to)
			squares[1] += (a + b) * (a + b)
			for _, end := range [2]struct {
				v    float64
				name string
			}{{a, from}, {b, to}} {
				if math.Abs(end.v) > math.Abs(most[1]) {
					most[1], where[1] = end.v, end.name
				}
			}
			note(2, post.theta[send(o.from)]+post.theta[receive(o.to)]-a-b, from+" to "+to)
			cross := 0.0
			for l := range p.obs {
				cross += c.model.spread * p.variance * p.alpha[l]
			}
			note(3, cross, from+" to "+to)
		}
	}
	sum := squares[0] + squares[1] + squares[2] + squares[3]
	for i, name := range [4]string{"the area", "what stands around nodes", "hardware of nodes",
		"terrain and the model, path by path"} {
		cause := Cause{Name: name, RMSDB: math.Sqrt(squares[i] / float64(n))}
		if sum > 0 {
			cause.Share = squares[i] / sum
		}
		if where[i] != "" {
			cause.Most = fmt.Sprintf("%s %+.1f dB", where[i], most[i])
		}
		a.Causes = append(a.Causes, cause)
	}
	sort.SliceStable(a.Causes, func(i, j int) bool { return a.Causes[i].Share > a.Causes[j].Share })
}

// notes says what a reader should know first.
func (c *comparison) notes(a *Answer) {
	add := func(format string, args ...any) { a.Notes = append(a.Notes, fmt.Sprintf(format, args...)) }
	if half := 1.96 * a.Bias.SigmaDB; half > tooWideDB {
		add("too few: the bias is known to %.1f dB either way; %d more links of other nodes would halve that", half,
			a.MoreLinks)
	}
	if math.Abs(a.Bias.DB) > strangeDB {
		add("a bias of %+.0f dB is more than open sets of others show: look at units, at tx_dbm, at antennas and at the "+
			"places",
			a.Bias.DB)
	}
	if a.Spread > 1.5 {
		add("links differ %.1f times as much as stated: names, places or heights may be wrong", a.Spread)
	}
	for _, e := range a.Exchanged {
		add("the log fits far better with %s and %s exchanged (%.0f against %.0f squares of doubts over %d links): are "+
			"their "+
			"names swapped? Nothing was changed", e.A, e.B, e.After, e.Before, e.Links)
	}
}

const (
	tooWideDB = 5.0
	strangeDB = 25.0
)

// calibration makes what a plan may use. Covariances between two nodes are left out: mostly
// below 0, they would lessen the doubt. The error is of a log so strange that no plan may use it.
func (c *comparison) calibration(a *Answer, post posterior) error {
	cal := &a.Calibration
	cal.AreaDB, cal.AreaSigmaDB = linkbudget.DB(a.Bias.DB), linkbudget.DB(a.Bias.SigmaDB)
	cal.Spread, cal.SeasonDB = a.Spread, linkbudget.DB(c.opt.SeasonDB)
	for i, station := range c.station {
		st := &c.p.Plan.Stations[station]
		if c.moves[station] {
			continue // its hardware is known, but a place of its own is not
		}
		prior := c.model.spread * (c.model.nodes[i].hardware + c.model.nodes[i].place)
		earned := func(k int) float64 { return prior - post.cov(k, k) - 2*post.cov(0, k) }
		cal.Nodes = append(cal.Nodes, linkbudget.CalibratedNode{Name: st.Name, LonDeg: st.At.Lon(), LatDeg: st.At.Lat(),
			SendDB: linkbudget.DB(post.theta[send(i)]), ReceiveDB: linkbudget.DB(post.theta[receive(i)]),
			SendEarned: earned(send(i)), ReceiveEarned: earned(receive(i))})
	}
	for i := range post.paths {
		p := &post.paths[i]
		from, to := c.station[p.ends[0]], c.station[p.ends[1]]
		if c.moves[from] || c.moves[to] {
			continue
		}
		stations := c.p.Plan.Stations
		there, back := post.link(p.ends[0], p.ends[1], [2]node{}, p, p.variance), post.link(p.ends[1], p.ends[0], [2]node{},
			p,
			p.variance)
		cal.Paths = append(cal.Paths, linkbudget.CalibratedPath{From: stations[from].Name, To: stations[to].Name,
			FromHeight: float64(c.p.Settings.Fill(&stations[from]).HeightM),
			ToHeight:   float64(c.p.Settings.Fill(&stations[to]).HeightM),
			ForwardDB:  linkbudget.DB(there.mean), BackwardDB: linkbudget.DB(back.mean),
			SigmaDB: linkbudget.DB(math.Max(there.sigma, back.sigma)), Packets: c.packets(i)})
	}
	return cal.Prepare()
}

// packets heard on a path, both ways.
func (c *comparison) packets(path int) (n int) {
	for i := range c.of {
		if c.of[i].path == path {
			n += c.signals[i].heard
		}
	}
	return n
}
