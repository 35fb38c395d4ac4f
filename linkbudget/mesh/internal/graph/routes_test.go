package graph

import (
	"math"
	"math/rand/v2"
	"testing"

	gonumpath "gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"

	"github.com/polereach/polereach/linkbudget/mesh/internal/brute"
)

// Best routes against every simple path there is, and their first sums against gonum.
func TestRoutesAgainstEveryPath(t *testing.T) {
	ties := 0
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, r *rand.Rand) {
		if n > 7 {
			return
		}
		weights := make([]Weight, len(ends))
		of := map[[2]int32]Weight{}
		w := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for v := range n {
			w.AddNode(simple.Node(v))
		}
		for i, e := range ends {
			weights[i] = Weight{[]float64{1000, 1000, 1000, 1500, math.Round(1000 + 900*r.Float64())}[r.IntN(5)], r.Float64()}
			of[e], of[[2]int32{e[1], e[0]}] = weights[i], weights[i]
			w.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(e[0]), T: simple.Node(e[1]), W: weights[i].First})
		}
		sources := []int{r.IntN(n)}
		got := NewRoutes(New(n, ends), weights, sources)
		tree := gonumpath.DijkstraFrom(simple.Node(sources[0]), w)
		best := func(without [2]int32, v int32) Weight {
			return bestPath(of, without, v, int32(sources[0]), make([]bool, n), n, &ties)
		}
		none := [2]int32{-1, -1}
		more := got.Detours()
		want := make([]float64, len(more))
		for v := range int32(n) {
			b := best(none, v)
			if got.best[v].First != b.First || !near(got.best[v].Second, b.Second) {
				t.Errorf("route from %d: %v, want %v", v, got.best[v], b)
			}
			if gonum := tree.WeightTo(int64(v)); got.best[v].First != gonum {
				t.Errorf("route from %d: %v, gonum %g", v, got.best[v], gonum)
			}
			if b == nowhere {
				continue
			}
			var sum Weight
			for u := v; got.via[u] >= 0; u = got.next[u] {
				sum = sum.plus(of[[2]int32{u, got.next[u]}])
			}
			if sum.First != b.First || !near(sum.Second, b.Second) {
				t.Errorf("the way from %d has %v, want %v", v, sum, b)
			}
			for i, e := range ends {
				if detour := best(e, v); detour != nowhere {
					want[i] += detour.First - b.First
				}
			}
		}
		for i := range want {
			if more[i] != want[i] {
				t.Errorf("without edge %v: %g more, want %g", ends[i], more[i], want[i])
			}
		}
	})
	if ties == 0 {
		t.Error("no two ways of equal first sums: the test says nothing of the second")
	}
}

func near(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-12 }

// bestPath tries every simple path.
func bestPath(of map[[2]int32]Weight, without [2]int32, v, to int32, seen []bool, n int, ties *int) Weight {
	if v == to {
		return Weight{}
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
		if way.First == least.First && way.First < math.Inf(1) {
			*ties++
		}
		if way.before(least) {
			least = way
		}
	}
	return least
}
