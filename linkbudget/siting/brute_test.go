package siting

import (
	"cmp"
	"context"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
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
				sky, err := o.Sun.look(context.Background(), dem, at, c.heightM, false)
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
			return terrain.Inverse(at, orb.Point{line[i-1][0] + t*(line[i][0]-line[i-1][0]), line[i-1][1] + t*(line[i][1]-line[i-1][1])}).DistM
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

func clearSky() *Sun {
	return &Sun{Pole: func(at orb.Point) power.PoleOptions {
		return power.PoleOptions{Weather: func(groundM float64) power.Weather {
			return power.WeatherOf(sun.DefaultClimate(at.Lat(), groundM))
		}}
	}}
}

// Every cell is computed by hand and sorted; the best that lie apart must be
// those of the search, in this order, with these masts. On the ridge everything
// is seen from the ground; on the spur and in the valley the mast matters.
func TestSearchFindsWhatBruteForceFinds(t *testing.T) {
	dem := cumberland(t)
	box := func(w, s, e, n float64) orb.MultiPolygon {
		return orb.MultiPolygon{{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}}}
	}
	ridge, spur, valley := box(-84.2505, 36.5495, -84.2345, 36.5605), box(-84.2204, 36.5354, -84.2084, 36.5474), box(-84.1804, 36.5604, -84.1684, 36.5724)
	corner, hollow := box(-84.1804, 36.5654, -84.1744, 36.5724), box(-84.1074, 36.5294, -84.1004, 36.5354)
	road := []orb.LineString{{{-84.26, 36.552}, {-84.244, 36.553}, {-84.235, 36.5617}, {-84.22, 36.57}}, {{-84.19, 36.57}, {-84.171, 36.565}}}
	const nobody, quarry = -1, 3
	for _, c := range []struct {
		name        string
		area        orb.MultiPolygon
		rank        Rank
		must, least int
		askM        float64
	}{
		{"ridge, mast", ridge, ByMast, 0, 4, 6},
		{"spur, mast", spur, ByMast, nobody, 3, 6},
		{"valley, mast", valley, ByMast, quarry, 3, 6},
		{"valley, none serves", valley, ByMast, nobody, 5, 6},
		{"valley, neighbours", valley, ByNeighbours, quarry, 2, 4},
		{"ridge, probability", ridge, ByProbability, 0, 4, 6},
		{"valley, probability", valley, ByProbability, quarry, 3, 2.3},
		{"valley, road", valley, ByRoad, quarry, 3, 4},
		{"corner, sun", corner, BySun, nobody, 2, 6},
		{"hollow, sun", hollow, BySun, nobody, 1, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := bench()
			o.Areas, o.Rank, o.AtLeast, o.Candidate.HeightM, o.Roads, o.Sun = c.area, c.rank, c.least, c.askM, road, clearSky()
			o.Top, o.SeparationM = 12, 150
			for k := range o.Neighbours {
				o.Neighbours[k].Must = k == c.must
			}
			got, err := Search(context.Background(), dem, o)
			if err != nil {
				t.Fatal(err)
			}
			cells := byHand(t, dem, o)
			slices.SortStableFunc(cells, func(a, b hand) int { return a.order(b, c.rank) })
			var want []hand
			for _, cell := range cells {
				if len(want) < 12 && !slices.ContainsFunc(want, func(k hand) bool { return terrain.Inverse(k.at, cell.at).DistM < 150 }) {
					want = append(want, cell)
				}
			}
			for i, w := range want {
				t.Logf("%d %v serves %v, mast %g m, %d reached, sun %g %%, road %.0f m", i, w.at, w.serves, w.heightM, w.reached, w.sun, w.roadM)
			}
			t.Logf("%d cells, %d computed", len(cells), got.Computed)
			if got.Cells != len(cells) || got.Left != 0 || len(got.Spots) != len(want) {
				t.Fatalf("%d cells, %d left, %d spots; by hand %d cells, %d spots", got.Cells, got.Left, len(got.Spots), len(cells), len(want))
			}
			for i, s := range got.Spots {
				w := want[i]
				if d := terrain.Inverse(s.At, w.at).DistM; !(d < 0.01) || s.HeightM != w.heightM || s.Reached != w.reached || s.Serves != w.serves || !(math.Abs(*s.RoadM-w.roadM) < 0.05) {
					t.Errorf("spot %d: %v mast %g m, %d reached, serves %v, road %.1f m; by hand %v %g m, %d, %v, %.1f m", i+1, s.At, s.HeightM, s.Reached, s.Serves, *s.RoadM, w.at, w.heightM, w.reached, w.serves, w.roadM)
				}
			}
			checkChoices(t, got.Choices, cells)
			// One spot alone takes fewer cells: what the bound cuts off is not it.
			o.Top = 1
			one, err := Search(context.Background(), dem, o)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("for one spot %d cells computed", one.Computed)
			if s := one.Spots[0]; s.At != got.Spots[0].At || s.HeightM != got.Spots[0].HeightM || one.Left != 0 {
				t.Errorf("with top 1: %v mast %g m, %d left", s.At, s.HeightM, one.Left)
			}
		})
	}
}

// checkChoices compares the trade with the lowest mast over all cells and masts.
func checkChoices(t *testing.T, got []Choice, cells []hand) {
	t.Helper()
	lowest := func(n int) float64 {
		for h := 1.0; h <= 10; h += 0.5 {
			if slices.ContainsFunc(cells, func(c hand) bool { return c.most[h] >= n }) {
				return h
			}
		}
		return 0
	}
	var want []Choice
	for n := 1; n <= 5; n++ {
		h := lowest(n)
		if k := len(want); k > 0 && want[k-1].HeightM == h {
			want = want[:k-1]
		}
		want = append(want, Choice{Reached: n, HeightM: h})
		if h == 0 {
			break
		}
	}
	if len(got) != len(want) {
		t.Fatalf("choices %+v, by hand %+v", got, want)
	}
	for i, g := range got {
		if w := want[i]; g.Reached != w.Reached || g.HeightM != w.HeightM || !g.Sure {
			t.Errorf("choice %+v, by hand %+v", g, w)
		}
		if g.HeightM > 0 && !slices.ContainsFunc(cells, func(c hand) bool {
			return terrain.Inverse(c.at, g.At).DistM < 0.01 && c.most[g.HeightM] >= g.Reached
		}) {
			t.Errorf("choice %+v: the place does not do it", g)
		}
	}
}
