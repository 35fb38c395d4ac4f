package calibrate

import (
	"context"
	"sort"
)

// Exchange is a pair of nodes whose names seem to be swapped.
type Exchange struct {
	A, B          string
	Links         int     // that tell
	Before, After float64 // sums of squares of differences less their bias, in stated doubts
}

// Bounds of the search for swapped names: each pair of nodes asks for new paths.
const (
	mostSwappable = 25
	leastTelling  = 3    // paths that do not join the two
	leastGain     = 25.0 // as a ratio of likelihoods, exp(12)
	mostLeft      = 0.4  // of the squares
)

// exchanged looks for two nodes that explain the log far better under each other's name.
func (c *comparison) exchanged(ctx context.Context, a *Answer) error {
	var nodes []int
	for _, station := range c.station {
		if !c.moves[station] {
			nodes = append(nodes, station)
		}
	}
	if len(nodes) < 4 || len(nodes) > mostSwappable || c.p.DEM == nil {
		return nil
	}
	sort.Ints(nodes)
	type level struct {
		from, to int
		dBm      float64
	}
	var levels []level
	for i := range c.signals {
		if s := &c.signals[i]; s.heard > s.floor && !s.moving && c.of[i].path >= 0 {
			levels = append(levels, level{s.from, s.to, s.medianDBm})
		}
	}
	for i, x := range nodes {
		for _, y := range nodes[i+1:] {
			swap := func(v int) int {
				switch v {
				case x:
					return y
				case y:
					return x
				}
				return v
			}
			var squares [2]float64
			n := 0
			for _, l := range levels {
				if from, to := swap(l.from), swap(l.to); (from != l.from) != (to != l.to) {
					there, stated, ok, err := c.expected(ctx, l.from, l.to)
					if err != nil {
						return err
					}
					other, otherwise, known, err := c.expected(ctx, from, to)
					if err != nil {
						return err
					}
					if ok && known {
						was, would := (l.dBm-there-a.Bias.DB)/stated, (l.dBm-other-a.Bias.DB)/otherwise
						squares[0], squares[1], n = squares[0]+was*was, squares[1]+would*would, n+1
					}
				}
			}
			if n >= leastTelling && squares[0]-squares[1] > leastGain && squares[1] < mostLeft*squares[0] {
				a.Exchanged = append(a.Exchanged, Exchange{c.p.Plan.Stations[x].Name, c.p.Plan.Stations[y].Name, n, squares[0],
					squares[1]})
			}
		}
	}
	sort.SliceStable(a.Exchanged, func(i, j int) bool {
		return a.Exchanged[i].Before-a.Exchanged[i].After > a.Exchanged[j].Before-a.Exchanged[j].After
	})
	if len(a.Exchanged) > 1 {
		a.Exchanged = a.Exchanged[:1] // others follow from it
	}
	return nil
}

// expected is the predicted level from one station to another, and its doubt.
func (c *comparison) expected(ctx context.Context, from, to int) (dBm, sigma float64, ok bool, err error) {
	s := signal{from: from, to: to}
	key, way := s.path()
	f, done := c.paths[key]
	if !done {
		if f, err = c.p.path(ctx, key.a, key.b, nil, 0); err != nil {
			return 0, 0, false, err
		}
		c.paths[key] = f
	}
	return f.LevelDBm[way], f.SigmaDB, f.Unknown == "", nil
}
