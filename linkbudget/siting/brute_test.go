package siting

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/sun"
)

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
	if testing.Short() {
		t.Skip("brute force")
	}
	dem := cumberland(t)
	box := func(w, s, e, n float64) orb.MultiPolygon {
		return orb.MultiPolygon{{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}}}
	}
	ridge, spur, valley := box(-84.2505, 36.5495, -84.2345, 36.5605), box(-84.2204, 36.5354, -84.2084, 36.5474),
		box(-84.1804, 36.5604, -84.1684, 36.5724)
	corner, hollow := box(-84.1804, 36.5654, -84.1744, 36.5724), box(-84.1074, 36.5294, -84.1004, 36.5354)
	road := []orb.LineString{{{-84.26, 36.552}, {-84.244, 36.553}, {-84.235, 36.5617}, {-84.22, 36.57}},
		{{-84.19, 36.57}, {-84.171, 36.565}}}
	const nobody, quarry = -1, 3
	for _, c := range []struct {
		name        string
		area        orb.MultiPolygon
		rank        Rank
		must, least int
		askM        float64
		timePercent float64
	}{
		{"ridge, mast", ridge, ByMast, 0, 4, 6, 0},
		{"spur, mast", spur, ByMast, nobody, 3, 6, 0},
		{"valley, mast", valley, ByMast, quarry, 3, 6, 0},
		{"valley, none serves", valley, ByMast, nobody, 5, 6, 0},
		{"valley, neighbours", valley, ByNeighbours, quarry, 2, 4, 0},
		{"ridge, probability", ridge, ByProbability, 0, 4, 6, 0},
		{"valley, probability", valley, ByProbability, quarry, 3, 2.3, 0},
		{"valley, road", valley, ByRoad, quarry, 3, 4, 0},
		{"corner, sun", corner, BySun, nobody, 2, 6, 0},
		{"hollow, sun", hollow, BySun, nobody, 1, 6, 0},
		{"valley, 99 % of time", valley, ByMast, quarry, 2, 6, 99},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := bench()
			o.Areas, o.Rank, o.AtLeast, o.Candidate.HeightM, o.Roads, o.Sun = c.area, c.rank, c.least, c.askM, road, clearSky()
			o.Top, o.SeparationM, o.Environment.TimePercent = 12, 150, c.timePercent
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
				if len(want) < 12 && !slices.ContainsFunc(want,
					func(k hand) bool { return terrain.Inverse(k.at, cell.at).DistM < 150 }) {
					want = append(want, cell)
				}
			}
			for i, w := range want {
				t.Logf("%d %v serves %v, mast %g m, %d reached, sun %g %%, road %.0f m", i, w.at, w.serves, w.heightM, w.reached,
					w.sun, w.roadM)
			}
			t.Logf("%d cells, %d computed", len(cells), got.Computed)
			if got.Cells != len(cells) || got.Left != 0 || len(got.Spots) != len(want) {
				t.Fatalf("%d cells, %d left, %d spots; by hand %d cells, %d spots", got.Cells, got.Left, len(got.Spots),
					len(cells), len(want))
			}
			for i, s := range got.Spots {
				w := want[i]
				if d := terrain.Inverse(s.At, w.at).DistM; !(d < 0.01) || s.HeightM != w.heightM || s.Reached != w.reached ||
					s.Serves != w.serves || !(math.Abs(*s.RoadM-w.roadM) < 0.05) {
					t.Errorf("spot %d: %v mast %g m, %d reached, serves %v, road %.1f m; by hand %v %g m, %d, %v, %.1f m", i+1, s.At,
						s.HeightM, s.Reached, s.Serves, *s.RoadM, w.at, w.heightM, w.reached, w.serves, w.roadM)
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
