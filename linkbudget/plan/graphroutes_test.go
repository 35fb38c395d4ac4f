package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	gonumpath "gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
)

// Best routes against every simple path there is, and their first sums against gonum.
func TestRoutesAgainstEveryPath(t *testing.T) {
	ties := 0
	randomGraphs(t, func(t *testing.T, g *graph, r *rand.Rand) {
		if g.size() > 7 {
			return
		}
		weights := make([]weight, len(g.ends))
		of := map[[2]int32]weight{}
		w := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for v := range g.size() {
			w.AddNode(simple.Node(v))
		}
		for i, e := range g.ends {
			weights[i] = weight{[]float64{1000, 1000, 1000, 1500, math.Round(1000 + 900*r.Float64())}[r.IntN(5)], r.Float64()}
			of[e], of[[2]int32{e[1], e[0]}] = weights[i], weights[i]
			w.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(e[0]), T: simple.Node(e[1]), W: weights[i].first})
		}
		sources := []int{r.IntN(g.size())}
		got := newRoutes(g, weights, sources)
		tree := gonumpath.DijkstraFrom(simple.Node(sources[0]), w)
		best := func(without [2]int32, v int32) weight {
			return bestPath(of, without, v, int32(sources[0]), make([]bool, g.size()), g.size(), &ties)
		}
		none := [2]int32{-1, -1}
		more := got.detours()
		want := make([]float64, len(more))
		for v := range int32(g.size()) {
			b := best(none, v)
			if got.best[v].first != b.first || !near(got.best[v].second, b.second) {
				t.Errorf("route from %d: %v, want %v", v, got.best[v], b)
			}
			if gonum := tree.WeightTo(int64(v)); got.best[v].first != gonum {
				t.Errorf("route from %d: %v, gonum %g", v, got.best[v], gonum)
			}
			if b == nowhere {
				continue
			}
			var sum weight
			for u := v; got.via[u] >= 0; u = got.next[u] {
				sum = sum.plus(of[[2]int32{u, got.next[u]}])
			}
			if sum.first != b.first || !near(sum.second, b.second) {
				t.Errorf("the way from %d has %v, want %v", v, sum, b)
			}
			for i, e := range g.ends {
				if detour := best(e, v); detour != nowhere {
					want[i] += detour.first - b.first
				}
			}
		}
		for i := range want {
			if more[i] != want[i] {
				t.Errorf("without edge %v: %g more, want %g", g.ends[i], more[i], want[i])
			}
		}
	})
	if ties == 0 {
		t.Error("no two ways of equal first sums: the test says nothing of the second")
	}
}

func near(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-12 }

// bestPath tries every simple path.
func bestPath(of map[[2]int32]weight, without [2]int32, v, to int32, seen []bool, n int, ties *int) weight {
	if v == to {
		return weight{}
	}
	seen[v] = true
	defer func() { seen[v] = false }()
	least := nowhere
	for w := range int32(n) {
		edge, ok := of[[2]int32{v, w}]
		if !ok || seen[w] || without == [2]int32{v, w} || without == [2]int32{w, v} {
			continue
		}
		way := edge.plus(bestPath(of, without, w, to, seen, n, ties))
		if way.first == least.first && way.first < math.Inf(1) {
			*ties++
		}
		if way.before(least) {
			least = way
		}
	}
	return least
}
