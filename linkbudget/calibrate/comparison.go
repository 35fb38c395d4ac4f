package calibrate

import (
	"math"

	"github.com/polereach/polereach/linkbudget/fading"
)

// fromSensitivity is by what half of a signal's packets arrive above the sensitivity of the plan's
// modem, mostly below 0: another spreading factor, and the waterfall of packet errors, which
// has its 1 % at the sensitivity.
func (c *comparison) fromSensitivity(s *signal) float64 {
	env := c.p.Settings.Environment
	required := env.Modem.RequiredSNR()
	if s.sf != 0 {
		env.Modem.SF = int(s.sf)
	}
	if half, done := c.half[env.Modem.SF]; done {
		return half
	}
	half := float64(env.Modem.RequiredSNR() - required)
	if c.half == nil {
		c.half = map[int]float64{}
	}
	env.Fading = fading.Law{}
	low, high := env.Modem.RequiredSNR()-10, env.Modem.RequiredSNR()+10
	for range 40 {
		middle := (low + high) / 2
		delivered, err := env.Delivery(middle)
		if err != nil {
			break // a modem that the log alone has: its sensitivity stands
		}
		if half = float64(middle - required); delivered < 0.5 {
			low = middle
		} else {
			high = middle
		}
	}
	c.half[env.Modem.SF] = half
	return half
}

func (c *comparison) nodeOf(station int) int {
	i, ok := c.node[station]
	if !ok {
		i = len(c.station)
		c.node[station] = i
		c.station = append(c.station, station)
	}
	return i
}

// mostNodeHardware is the standard deviation between nodes of one kind, one way, dB
// (engineering judgement), where the stated doubt has as much.
const mostNodeHardware = 3.0

// share divides the stated doubt but hardware between nodes and path, so that they add up to
// it: of what stands around an end half the variance is its place's, whatever the neighbour,
// half the path's; each node's hardware has no more than a quarter of the least doubt of
// its paths.
func (c *comparison) share(paths map[pathKey]int) {
	m := &c.model
	m.nodes = make([]node, len(c.station))
	for i := range m.nodes {
		m.nodes[i] = node{math.Inf(1), math.Inf(1)}
	}
	for key := range paths {
		f := c.paths[key]
		left := f.SigmaDB*f.SigmaDB - f.HardwareDB*f.HardwareDB
		for end, station := range [2]int{key.a, key.b} {
			n := &m.nodes[c.node[station]]
			n.hardware = min(n.hardware, left/4, mostNodeHardware*mostNodeHardware)
			if n.place = min(n.place, f.EndsDB[end]*f.EndsDB[end]/2); c.moves[station] {
				n.place = 0 // no two places of it are one
			}
		}
	}
	for i := range m.nodes {
		m.nodes[i].hardware = max(m.nodes[i].hardware, 0.01) // laboratory: nothing but hardware is in doubt
	}
	for key, at := range paths {
		m.paths[at].variance = c.pathVariance(key.a, key.b, c.paths[key])
	}
}

// pathVariance is what nodes leave of the stated doubt; stations of the plan.
func (c *comparison) pathVariance(a, b int, f Prediction) float64 {
	left := f.SigmaDB*f.SigmaDB - f.HardwareDB*f.HardwareDB
	for _, station := range [2]int{a, b} {
		if i, ok := c.node[station]; ok {
			left -= c.model.nodes[i].hardware + c.model.nodes[i].place
		}
	}
	return max(left, 0.01)
}
