package report

import (
	"cmp"
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// sameCounts are the counts of one state over the poles that both states have: its
// routes may lead over others, its links join two of them.
type sameCounts struct {
	Poles int `json:"pole_count"`
	Parts int `json:"part_count"`
	// Pairs of poles, those without a route, those with one but not two disjoint ones.
	Pairs    int       `json:"pairs"`
	Unjoined int       `json:"unjoined"`
	Single   int       `json:"single"`
	Reached  countJSON `json:"links"`
	Required countJSON `json:"required"`
}

// over counts over the poles of both.
func (s *MeshState) over(both map[string]bool) (c sameCounts) {
	at := make(map[string]int32, len(s.poles))
	for i, p := range s.poles {
		at[p.Name] = int32(i)
	}
	var solid [][2]int32
	done := map[[2]string]bool{}
	for i := range s.links {
		l := &s.links[i]
		reaches := l.Verdict == linkbudget.Reaches.String()
		if l.From == l.To || done[l.ends()] { // in a file written by hand
			continue
		}
		done[l.ends()] = true
		if reaches {
			solid = append(solid, [2]int32{at[l.From], at[l.To]})
		}
		if both[l.From] && both[l.To] {
			c.Reached.add(reaches)
			if l.Required {
				c.Required.add(reaches)
			}
		}
	}
	n := mesh.CountPairs(len(s.poles), solid, func(v int) bool { return both[s.poles[v].Name] })
	c.Poles, c.Parts, c.Pairs = n.Vertices, n.Parts, n.Vertices*(n.Vertices-1)/2
	c.Unjoined, c.Single = c.Pairs-n.Joined, n.Joined-n.Redundant
	return c
}

func (c *countJSON) add(reaches bool) {
	c.Of++
	if reaches {
		c.Reached++
	}
}

// busiest is the pole where the channel is in use the most; no name without load.
type busiest struct {
	pole        string
	utilisation float64
}

func (b *busiest) take(pole string, utilisation *float64) {
	if utilisation != nil && (b.pole == "" || *utilisation > b.utilisation) {
		*b = busiest{pole, *utilisation}
	}
}

// comparePoles looks at routes and load of the poles that both have: the longest new
// detours first.
func (d *MeshDifference) comparePoles(before, after MeshState, both map[string]bool) {
	old := make(map[string]poleState, len(before.poles))
	for _, p := range before.poles {
		old[p.Name] = p
	}
	for _, now := range after.poles {
		if !both[now.Name] {
			continue
		}
		was := old[now.Name]
		for i, p := range [2]poleState{was, now} {
			d.busiest.own[i].take(p.Name, p.DirectUtilisation)
			d.busiest.repeats[i].take(p.Name, p.RepeatAllUtilisation)
		}
		if was.otherRoute(&now) || math.Abs(changeOf(was.DirectUtilisation, now.DirectUtilisation)) > leastChangeOfLoad ||
			math.Abs(changeOf(was.RepeatAllUtilisation, now.RepeatAllUtilisation)) > leastChangeOfLoad {
			d.Poles = append(d.Poles, poleChange{now.Name, was, now})
		}
	}
	slices.SortStableFunc(d.Poles, func(x, y poleChange) int { return cmp.Compare(y.moreHops(), x.moreHops()) })
}

func (c *poleChange) moreHops() int { return c.New.hops() - c.Old.hops() }
