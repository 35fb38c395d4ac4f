package siting

import (
	"cmp"
	"context"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// hand is a cell computed here, path by path and mast by mast, with nothing of
// the search but the sky: no sweep, no bound, no queue.
type hand struct {
	at      orb.Point
	serves  bool
	asked   bool // with the mast asked for
	heightM float64
	lowest  float64 // mast that serves, no more than the one asked for
	musts   int
	reached int
	chance  float64
	weakest float64
	least   float64 // surety of the weakest that reaches, of the surest if none
	sun     float64
	roadM   float64
	most    map[float64]int // neighbours reached by mast where all musts are
}

// byHand computes every cell of the first area, a box.
func byHand(t testing.TB, dem terrain.DEM, o Options) []hand {
	t.Helper()
	box := o.Areas[0].Bound()
	var out []hand
	const posts = 1200.0
	for y := math.Floor(box.Max[1] * posts); y >= box.Min[1]*posts; y-- {
		for x := math.Ceil(box.Min[0] * posts); x <= box.Max[0]*posts; x++ {
			at := orb.Point{x / posts, y / posts}
			c := hand{at: at, most: map[float64]int{}, roadM: math.Inf(1)}
			var profiles []terrain.Profile
			for _, n := range o.Neighbours {
				p, err := terrain.NewProfile(dem, at, n.At, terrain.ProfileOptions{})
				if err != nil {
					t.Fatal(err)
				}
				profiles = append(profiles, p)
			}
			for _, line := range o.Roads {
				c.roadM = min(c.roadM, denseRoadM(at, line))
			}
			with := func(heightM float64) (ok bool) {
				c.musts, c.reached, c.chance, c.least = 0, 0, 0, math.Inf(1)
				var musts, all []float64
				for k, n := range o.Neighbours {
					s := o.Candidate
					s.HeightM = heightM
					r, err := linkbudget.Evaluate(profiles[k], s, n.Station, o.Environment)
					if err != nil {
						t.Fatal(err)
					}
					z := float64(r.MarginDB) / float64(r.Doubt.SigmaDB)
					c.chance += r.Probability
					all = append(all, z)
					if n.Must {
						musts = append(musts, z)
					}
					if r.Verdict == linkbudget.Reaches {
						c.reached++
						c.least = min(c.least, z)
						if n.Must {
							c.musts++
						}
					}
				}
				slices.Sort(all)
				slices.Reverse(all)
				if c.reached == 0 {
					c.least = all[0]
				}
				c.weakest = slices.Min(append(musts, all[o.AtLeast-1]))
				if c.musts == len(musts) {
					c.most[heightM] = c.reached
				}
				return c.musts == len(musts) && c.reached >= o.AtLeast
			}
			lowest := 0.0
			for h := o.MaxHeightM; h >= 1; h -= 0.5 {
				if with(h) {
					lowest = h
				}
			}
			c.heightM = o.Candidate.HeightM
			c.asked = with(c.heightM)
			c.serves = c.asked || lowest > 0
			c.lowest = c.heightM // between two steps
			if lowest > 0 {
				c.lowest = min(lowest, c.heightM)
			}
			if lowest > 0 && !c.asked {
				c.heightM = lowest
				with(lowest)
			}
			if o.Rank == BySun && c.asked {
				sky, err := o.Sun.look(context.Background(), dem, at, c.heightM, share, nil)
				if err != nil {
					t.Fatal(err)
				}
				c.sun = math.Round(100 * sky.SunWhM2 / sky.FreeWhM2)
			}
			out = append(out, c)
		}
	}
	return out
}

// denseRoadM walks along a road, then in steps of some centimetres where it came
// nearest.
func denseRoadM(at orb.Point, line orb.LineString) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		dist := func(t float64) float64 {
			return terrain.Inverse(at, orb.Point{line[i-1][0] + t*(line[i][0]-line[i-1][0]), line[i-1][1] +
				t*(line[i][1]-line[i-1][1])}).DistM
		}
		const n = 100
		nearest := 0
		for k := range n + 1 {
			if dist(float64(k)/n) < dist(float64(nearest)/n) {
				nearest = k
			}
		}
		for k := -n; k <= n; k++ {
			t := (float64(nearest) + float64(k)/n) / n
			best = min(best, dist(min(max(t, 0), 1)))
		}
	}
	return best
}

// order is the ranking in words of the manual, written again.
func (c hand) order(d hand, r Rank) int {
	truth := func(v bool) int {
		if v {
			return 1
		}
		return 0
	}
	if v := cmp.Compare(truth(d.serves), truth(c.serves)); v != 0 {
		return v
	}
	rest := cmp.Or(cmp.Compare(d.reached, c.reached), cmp.Compare(d.least, c.least), cmp.Compare(d.chance, c.chance))
	if !c.serves {
		return cmp.Or(cmp.Compare(d.musts, c.musts), rest)
	}
	if v := cmp.Compare(truth(d.asked), truth(c.asked)); v != 0 {
		return v
	}
	switch {
	case !c.asked:
		return cmp.Or(cmp.Compare(c.heightM, d.heightM), rest)
	case r == ByMast:
		return cmp.Or(cmp.Compare(c.lowest, d.lowest), rest)
	case r == ByProbability:
		return cmp.Or(cmp.Compare(d.weakest, c.weakest), rest)
	case r == BySun:
		return cmp.Or(cmp.Compare(d.sun, c.sun), rest)
	case r == ByRoad:
		if math.Abs(c.roadM-d.roadM) > 0.01 {
			return cmp.Compare(c.roadM, d.roadM)
		}
	}
	return rest
}
