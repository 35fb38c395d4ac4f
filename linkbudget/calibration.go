package linkbudget

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Calibration is what receptions taught of an area and its nodes, by [Environment.Calibration]
// laid over the prediction. All differences are predicted less measured loss, dB: above 0
// more arrives than predicted. Package calibrate makes it.
type Calibration struct {
	// Source names the file, for what is told.
	Source string `json:"source,omitempty"`
	// AreaDB holds for every path, and AreaSigmaDB stands in the place of the doubt of
	// hardware, both 0 to 100 dB in size.
	AreaDB      DB `json:"area_db"`
	AreaSigmaDB DB `json:"area_sigma_db"`
	// Spread is by what all other stated doubts are multiplied; 0.1 to 10.
	Spread float64 `json:"spread"`
	// SeasonDB is the least doubt of a path, however well it was heard: levels differ with
	// time and season; above 0, at most 20 dB.
	SeasonDB DB `json:"season_db"`
	// Nodes and Paths are those that were heard, in any order.
	Nodes []CalibratedNode `json:"nodes"`
	Paths []CalibratedPath `json:"paths"`

	prepared bool
}

// CalibratedNode is what a node does more or less than its data sheets and its place say.
type CalibratedNode struct {
	Name   string  `json:"name"`
	LonDeg float64 `json:"lon_deg"`
	LatDeg float64 `json:"lat_deg"`
	// SendDB and ReceiveDB shift the levels that it sends and hears.
	SendDB    DB `json:"send_db"`
	ReceiveDB DB `json:"receive_db"`
	// SendEarned and ReceiveEarned are by what the square of a path's doubt falls for
	// knowing them, dB²; below 0 where nodes and area are told apart badly.
	SendEarned    float64 `json:"send_earned_db2"`
	ReceiveEarned float64 `json:"receive_earned_db2"`
}

// CalibratedPath is a path that was heard, or listened to in vain.
type CalibratedPath struct {
	From       string  `json:"from"`
	To         string  `json:"to"`
	FromHeight float64 `json:"from_height_m"` // antennas above ground then
	ToHeight   float64 `json:"to_height_m"`
	ForwardDB  DB      `json:"forward_db"` // all shifts together, From to To, and back
	BackwardDB DB      `json:"backward_db"`
	SigmaDB    DB      `json:"sigma_db"` // in the place of all doubts
	Packets    int     `json:"packets"`  // heard, both ways
}

// Validate lists every number that is not finite or out of its range; nil has none.
func (c *Calibration) Validate() error {
	if c == nil {
		return nil
	}
	var errs []error
	add := func(what, key string, v, low, high float64, unit string) {
		if err := fault.Range(key, v, low, high, unit); err != nil {
			errs = append(errs, fmt.Errorf("calibration%s: %w", what, err))
		}
	}
	add("", "area_db", float64(c.AreaDB), -100, 100, "dB")
	add("", "area_sigma_db", float64(c.AreaSigmaDB), 0, 100, "dB")
	add("", "spread", c.Spread, 0.1, 10, "")
	add("", "season_db", float64(c.SeasonDB), 0.1, 20, "dB")
	for _, n := range c.Nodes {
		what := fmt.Sprintf(" of %q", n.Name)
		add(what, "lon_deg", n.LonDeg, -180, 180, "")
		add(what, "lat_deg", n.LatDeg, -90, 90, "")
		add(what, "send_db", float64(n.SendDB), -100, 100, "dB")
		add(what, "receive_db", float64(n.ReceiveDB), -100, 100, "dB")
		add(what, "send_earned_db2", n.SendEarned, -1e4, 1e4, "dB²")
		add(what, "receive_earned_db2", n.ReceiveEarned, -1e4, 1e4, "dB²")
	}
	for _, p := range c.Paths {
		what := fmt.Sprintf(" of %q to %q", p.From, p.To)
		add(what, "from_height_m", p.FromHeight, 0, MaxAntennaHeightM, "m")
		add(what, "to_height_m", p.ToHeight, 0, MaxAntennaHeightM, "m")
		add(what, "forward_db", float64(p.ForwardDB), -200, 200, "dB")
		add(what, "backward_db", float64(p.BackwardDB), -200, 200, "dB")
		add(what, "sigma_db", float64(p.SigmaDB), 0.1, 100, "dB")
		add(what, "packets", float64(p.Packets), 0, 1e12, "")
	}
	return errors.Join(errs...)
}

// Prepare checks c and puts nodes and paths into the order in which they are looked up, for an
// [Environment]; from then on c must stay as it is. Ends of a path are exchanged so that From
// comes first. The error is that of Validate.
func (c *Calibration) Prepare() error {
	if err := c.Validate(); err != nil {
		return err
	}
	c.prepared = true
	for i := range c.Paths {
		if p := &c.Paths[i]; p.From > p.To {
			p.From, p.To, p.FromHeight, p.ToHeight, p.ForwardDB, p.BackwardDB = p.To, p.From, p.ToHeight, p.FromHeight,
				p.BackwardDB, p.ForwardDB
		}
	}
	sort.SliceStable(c.Nodes, func(i, j int) bool { return c.Nodes[i].Name < c.Nodes[j].Name })
	sort.SliceStable(c.Paths, func(i, j int) bool { return c.Paths[i].before(c.Paths[j].From, c.Paths[j].To) })
	return nil
}

func (p *CalibratedPath) before(from, to string) bool {
	return p.From < from || p.From == from && p.To < to
}

func (c *Calibration) node(name string) *CalibratedNode {
	i := sort.Search(len(c.Nodes), func(i int) bool { return c.Nodes[i].Name >= name })
	if i < len(c.Nodes) && c.Nodes[i].Name == name {
		return &c.Nodes[i]
	}
	return nil
}

// What is known of a path holds the less the more its ends are moved: a mast that grows looks
// over other bushes, another place has others. The correlation falls by 1/e over 10 m of height,
// what stands in open country (ITU-R P.2108-1 §3.1), and over 100 m of ground (shadowing,
// Gudmundson, Electronics Letters 27 (1991) 2145, from memory); engineering judgement both.
const (
	keptOverHeightM = 10.0
	keptOverGroundM = 100.0
)

// path returns what was heard between two stations, from a to b, and how much of it is kept
// where they stand now, 0 for nothing; places are the ends of the path, none where unknown.
func (c *Calibration) path(a, b *Station, places []orb.Point) (p CalibratedPath, kept float64) {
	from, to := a, b
	if from.Name > to.Name {
		from, to = b, a
	}
	i := sort.Search(len(c.Paths), func(i int) bool { return !c.Paths[i].before(from.Name, to.Name) })
	if i == len(c.Paths) || c.Paths[i].From != from.Name || c.Paths[i].To != to.Name {
		return CalibratedPath{}, 0
	}
	p = c.Paths[i]
	moved := (math.Abs(p.FromHeight-from.HeightM) + math.Abs(p.ToHeight-to.HeightM)) / keptOverHeightM
	if last := len(places) - 1; last > 0 {
		for _, end := range [2]struct {
			name string
			at   orb.Point
		}{{a.Name, places[0]}, {b.Name, places[last]}} {
			if n := c.node(end.name); n != nil && end.at != (orb.Point{n.LonDeg, n.LatDeg}) {
				moved += terrain.Inverse(end.at, orb.Point{n.LonDeg, n.LatDeg}).DistM / keptOverGroundM
			}
		}
	}
	if from == b {
		p.From, p.To, p.ForwardDB, p.BackwardDB = p.To, p.From, p.BackwardDB, p.ForwardDB
	}
	return p, math.Exp(-moved)
}

// Calibrated is what a calibration did to a path.
type Calibrated struct {
	// ForwardDB and BackwardDB are what arrives more than predicted.
	ForwardDB, BackwardDB DB
	// Heard says that the path itself was heard, by so many Packets, or listened to in vain.
	Heard   bool
	Packets int
	// StatedSigmaDB is the doubt without it.
	StatedSigmaDB DB
	// Kept is the correlation with what was heard there: 1 where neither end was moved since.
	Kept float64
	// earned is by what the square of the doubt falls for the nodes; sigma the doubt of a path
	// that was heard.
	earned float64
	sigma  DB
}

// between is what is known of a path from a to b; places are its ends, none where unknown.
// A nil c knows nothing.
func (c *Calibration) between(a, b *Station, places []orb.Point) (k Calibrated) {
	if c == nil {
		return k
	}
	k.ForwardDB, k.BackwardDB = c.AreaDB, c.AreaDB
	var ways [2]float64
	if n := c.node(a.Name); n != nil {
		k.ForwardDB, k.BackwardDB = k.ForwardDB+n.SendDB, k.BackwardDB+n.ReceiveDB
		ways[0], ways[1] = ways[0]+n.SendEarned, ways[1]+n.ReceiveEarned
	}
	if n := c.node(b.Name); n != nil {
		k.ForwardDB, k.BackwardDB = k.ForwardDB+n.ReceiveDB, k.BackwardDB+n.SendDB
		ways[0], ways[1] = ways[0]+n.ReceiveEarned, ways[1]+n.SendEarned
	}
	k.earned = min(ways[0], ways[1]) // one doubt stands for both ways
	if p, kept := c.path(a, b, places); kept > leastKept {
		k.ForwardDB += DB(kept) * (p.ForwardDB - k.ForwardDB)
		k.BackwardDB += DB(kept) * (p.BackwardDB - k.BackwardDB)
		k.Heard, k.Packets, k.Kept, k.sigma = true, p.Packets, kept, p.SigmaDB
	}
	return k
}

// leastKept is below what would change a doubt by a hundredth.
const leastKept = 0.1

// others is what is left of the sum of squares of all doubts but hardware.
func (c *Calibration) others(k *Calibrated, squares float64) float64 {
	spread := c.Spread * c.Spread * squares
	return max(spread-k.earned, spread/4, float64(c.SeasonDB*c.SeasonDB)-float64(c.AreaSigmaDB*c.AreaSigmaDB), 0)
}

// calibrate puts what was measured in the place of what is stated: the doubt of a path that was
// heard, or the area's in that of hardware and one factor on all others, so that the list
// stays one of causes.
func (d *doubts) calibrate(c *Calibration, k *Calibrated) {
	k.StatedSigmaDB = d.sigma()
	squares := float64(k.StatedSigmaDB*k.StatedSigmaDB - d.hardware*d.hardware)
	left, area := c.others(k, squares), float64(c.AreaSigmaDB*c.AreaSigmaDB)
	heard, rest := k.Kept*k.Kept*float64(k.sigma*k.sigma), 1-k.Kept*k.Kept
	if !(squares > 0) {
		heard, left = heard+rest*left, 0
	}
	d.hardware = DB(math.Sqrt(heard + rest*area))
	factor := DB(0)
	if squares > 0 {
		factor = DB(math.Sqrt(rest * left / squares))
	}
	for _, part := range [...]*DB{&d.model, &d.ripple, &d.terrain, &d.ends[0], &d.ends[1], &d.cover, &d.beside[0],
		&d.beside[1]} {
		*part *= factor
	}
}

// calibratedItem is the line of a budget for what a calibration adds.
const calibratedItem = "measured less predicted"

// doubt names the doubt that stands in the place of that of hardware.
func (k *Calibrated) doubt() string {
	if k.Heard {
		return "time and season, and what was heard"
	}
	return "area"
}

// calibratedReason says what was used of a calibration, "" for nothing.
func (r *Result) calibratedReason() string {
	k := r.Calibrated
	if k == nil {
		return ""
	}
	shift := fmt.Sprintf("%+.1f dB there and %+.1f dB back", k.ForwardDB, k.BackwardDB)
	doubt := fmt.Sprintf("the doubt is %.1f dB, stated %.1f", r.Doubt.SigmaDB, k.StatedSigmaDB)
	switch {
	case k.Heard && k.Kept < 0.99:
		return fmt.Sprintf("calibrated: heard %d times before an end was moved, %.0f %% of it kept, %s against the "+
			"prediction; %s", k.Packets, 100*k.Kept, shift, doubt)
	case k.Heard && k.Packets == 0:
		return fmt.Sprintf("calibrated: nodes listened here and heard nothing, %s against the prediction; %s", shift, doubt)
	case k.Heard:
		return fmt.Sprintf("calibrated: heard %d times, %s against the prediction; %s", k.Packets, shift, doubt)
	}
	return fmt.Sprintf("calibrated: by what was heard of area and nodes %s; %s", shift, doubt)
}

// EndDoubtsDB are the doubts of what stands around A and B, and of antennas beside their
// masts.
func (r *Result) EndDoubtsDB() (ends [2]DB) {
	for _, item := range r.Doubt.Items {
		for i, name := range [2]string{r.From, r.To} {
			if item.Name == endDoubt+name || item.Name == besideDoubt+name {
				ends[i] = DB(math.Hypot(float64(ends[i]), float64(item.DB)))
			}
		}
	}
	return ends
}

// mostDB is the most that a calibration adds to any path, at least 0; 0 for a nil c.
func (c *Calibration) mostDB() (most DB) {
	if c == nil {
		return 0
	}
	var node DB
	for _, n := range c.Nodes {
		node = max(node, n.SendDB, n.ReceiveDB)
	}
	most = max(0, c.AreaDB+2*node)
	for _, p := range c.Paths {
		most = max(most, p.ForwardDB, p.BackwardDB)
	}
	return most
}
