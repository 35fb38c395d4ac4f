package calibrate

import (
	"context"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// Interval is an estimate with its standard deviation, dB.
type Interval struct{ DB, SigmaDB float64 }

// Low and High bound the interval that holds 95 %.
func (i Interval) Low() float64  { return i.DB - 1.959964*i.SigmaDB }
func (i Interval) High() float64 { return i.DB + 1.959964*i.SigmaDB }

// Link is what was heard of a link one way beside what was predicted.
type Link struct {
	From, To string
	Moving   bool
	At       orb.Point // of the end that moves
	DistM    float64
	// Heard and Lost are packets; Supposed says that Lost is by what others heard of the
	// sender meanwhile.
	Heard, Lost int
	Supposed    bool
	// Measured is the median level with its standard deviation, dBm; without meaning where
	// Heard is 0 or all were at the floor of the RSSI.
	Measured     Interval
	HasLevel     bool
	PredictedDBm float64
	StatedDB     float64 // the stated doubt
	// DifferenceDB is measured less predicted level; where nothing was heard the most that it
	// can be.
	DifferenceDB float64
	// After is what the calibration makes of the difference, at another time.
	After     Interval
	Situation linkbudget.Situation
	Around    [2]string // at the sender and at the receiver
	Outlier   bool      // beyond 3 standard deviations of what all others together lead to expect
}

// Sigmas is the difference in stated standard deviations.
func (l *Link) Sigmas() float64 { return l.DifferenceDB / l.StatedDB }

// PacketError is the share of packets lost with its interval of 95 % (Wilson, J. Am. Stat.
// Assoc. 22 (1927) 209, from memory); 0 to 1 where nothing was sent.
func (l *Link) PacketError() (share, low, high float64) {
	n := float64(l.Heard + l.Lost)
	if n == 0 {
		return 0, 0, 1
	}
	const z = 1.959964
	share = float64(l.Lost) / n
	centre, half := share+z*z/(2*n), z*math.Sqrt(share*(1-share)/n+z*z/(4*n*n))
	return share, max((centre-half)/(1+z*z/n), 0), min((centre+half)/(1+z*z/n), 1)
}

// Node is what was found of a node.
type Node struct {
	Name           string
	Links          int // ways it was heard on, or heard others
	Sends, Hears   Interval
	Difference     Interval // sending less receiving: the hardware alone, whatever the place
	Moving, Listed bool
}

// Answer is what a log says of a plan. Differences are predicted less measured loss, dB.
type Answer struct {
	// Bias is that of the area, for nodes of which nothing else is known.
	Bias Interval
	// Spread is by what the stated doubts, hardware apart, are multiplied.
	Spread float64
	Links  []Link
	Nodes  []Node
	Kinds  []Kind
	Causes []Cause
	// Before and After sum up the links that have a level: as stated, and each as predicted
	// from all others.
	Before, After Summary
	Exchanged     []Exchange
	// MoreLinks is how many more of the kind would halve the interval of the bias.
	MoreLinks int
	// Unpredicted lists links without a prediction, and why.
	Unpredicted []string
	Notes       []string
	Calibration linkbudget.Calibration

	Rows, Good, Faulty int
	Faults             []Fault
}

// Options says how a log is compared.
type Options struct {
	// HeardOnly leaves out what lost packets say.
	HeardOnly bool
	// SeasonDB is by how much a link at another time differs from what was heard; 0 means
	// DefaultSeasonDB.
	SeasonDB float64
}

// DefaultSeasonDB is between the 1 and 4 dB that open sets show in hours and weeks at 4 to
// 6 km.
const DefaultSeasonDB = 2.5

// comparison is a log beside its predictions.
type comparison struct {
	p       Predictor
	opt     Options
	signals []signal
	paths   map[pathKey]Prediction
	model   model
	node    map[int]int // station of the plan: node of the model
	station []int       // and back
	moves   map[int]bool
	of      []place // of each signal
	half    map[int]float64
}

// place is where a signal stands in the model; path -1 for none.
type place struct{ path, way int }

// Compare predicts what a log holds and finds what the differences say. Errors are bad
// input, terrain that could not be read, that of ctx, or a log without any link that has a
// prediction.
func Compare(ctx context.Context, l *Log, p Predictor, opt Options) (*Answer, error) {
	if l == nil || p.Plan == nil || p.DEM == nil {
		return nil, fault.Input("calibrate: no log, plan or terrain given")
	}
	if err := errors.Join(p.Plan.Validate(), p.Settings.Validate(),
		p.Settings.Environment.OfMedian("what was heard is compared with it")); err != nil {
		return nil, err
	}
	if opt.SeasonDB == 0 {
		opt.SeasonDB = DefaultSeasonDB
	}
	if err := fault.Range("season_db", opt.SeasonDB, 0.1, 20, "dB"); err != nil {
		return nil, err
	}
	c := &comparison{p: p, opt: opt, signals: l.signals(p, opt.HeardOnly)}
	var err error
	if c.paths, err = p.all(ctx, c.signals); err != nil {
		return nil, err
	}
	a := &Answer{Rows: l.Rows, Good: l.Good, Faulty: l.Faulty, Faults: l.Faults}
	if err := c.conclude(ctx, a); err != nil {
		return nil, err
	}
	return a, nil
}

// conclude fits the model to the signals and fills in the answer.
func (c *comparison) conclude(ctx context.Context, a *Answer) error {
	c.build(a)
	if len(c.model.paths) == 0 {
		return fault.Input("calibrate: none of %d links can be compared: %s", len(c.signals), firstOf(a.Unpredicted))
	}
	if n := len(c.station); n > mostNodes {
		return fault.Input("calibrate: found %d nodes, allowed %d: give the log in parts", n, mostNodes)
	}
	hardware := 0.0
	for _, f := range c.paths {
		hardware = max(hardware, f.HardwareDB)
	}
	if err := c.model.fit(math.Max(hardware*hardware, 1)); err != nil {
		return err
	}
	post, err := c.model.propagate()
	if err != nil {
		return err
	}
	return c.answer(ctx, a, post)
}

func firstOf(list []string) string {
	if len(list) == 0 {
		return "no link was heard"
	}
	return list[0]
}

// mostNodes bounds the work, which grows with the third power of their number.
const mostNodes = 400

// build makes the model's nodes and paths of the signals.
func (c *comparison) build(a *Answer) {
	m := &c.model
	m.season = c.opt.SeasonDB * c.opt.SeasonDB
	c.node, c.moves = map[int]int{}, map[int]bool{}
	for i := range c.signals {
		if s := &c.signals[i]; s.moving {
			c.moves[[2]int{s.from, s.to}[s.mover]] = true
		}
	}
	paths := map[pathKey]int{}
	c.of = make([]place, len(c.signals))
	plan := c.p.Plan
	for i := range c.signals {
		s := &c.signals[i]
		key, way := s.path()
		f := c.paths[key]
		c.of[i] = place{-1, way}
		if f.Unknown != "" {
			a.Unpredicted = append(a.Unpredicted, fmt.Sprintf("%s to %s: %s", plan.Stations[s.from].Name,
				plan.Stations[s.to].Name, f.Unknown))
			continue
		}
		if s.heard+s.lost == 0 {
			continue
		}
		at, ok := paths[key]
		if !ok {
			at = len(m.paths)
			paths[key] = at
			m.paths = append(m.paths, observed{ends: [2]int{c.nodeOf(key.a), c.nodeOf(key.b)}})
		}
		o := s.observe(&f, way, c.fromSensitivity(s))
		o.from, o.to = c.nodeOf(s.from), c.nodeOf(s.to)
		m.paths[at].obs = append(m.paths[at].obs, o)
		c.of[i].path = at
	}
	c.share(paths)
}
