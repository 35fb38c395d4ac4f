package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	gonumpath "gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
)

// Most probable routes against every simple path there is, and against gonum.
func TestRoutesAgainstEveryPath(t *testing.T) {
	randomGraphs(t, func(t *testing.T, g *graph, r *rand.Rand) {
		if g.size() > 7 {
			return
		}
		probability := make([]float64, len(g.ends))
		of := map[[2]int32]float64{}
		w := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		for v := range g.size() {
			w.AddNode(simple.Node(v))
		}
		for i, e := range g.ends {
			probability[i] = []float64{1, 0.5, r.Float64(), r.Float64()}[r.IntN(4)]
			of[e], of[[2]int32{e[1], e[0]}] = probability[i], probability[i]
			w.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(e[0]), T: simple.Node(e[1]), W: -math.Log(probability[i])})
		}
		sources := []int{r.IntN(g.size())}
		got := newRoutes(g, probability, sources)
		tree := gonumpath.DijkstraFrom(simple.Node(sources[0]), w)
		best := func(without [2]int32, v int32) float64 {
			return bestPath(of, without, v, int32(sources[0]), make([]bool, g.size()), g.size())
		}
		none := [2]int32{-1, -1}
		loss := got.lossOf()
		want := make([]float64, len(loss))
		for v := range int32(g.size()) {
			p := best(none, v)
			if !(math.Abs(got.probability(v)-p) <= 1e-12) {
				t.Errorf("route from %d: %g, want %g", v, got.probability(v), p)
			}
			if gonum := math.Exp(-tree.WeightTo(int64(v))); !(math.Abs(got.probability(v)-gonum) <= 1e-12) {
				t.Errorf("route from %d: %g, gonum %g", v, got.probability(v), gonum)
			}
			product := 1.0
			for u := v; got.via[u] >= 0; u = got.next[u] {
				product *= of[[2]int32{u, got.next[u]}]
			}
			if p > 0 && !(math.Abs(product-p) <= 1e-12) {
				t.Errorf("the way from %d has %g, want %g", v, product, p)
			}
			for i, e := range g.ends {
				want[i] += p - best(e, v)
			}
		}
		for i := range want {
			if !(math.Abs(loss[i]-want[i]) <= 1e-12) {
				t.Errorf("without edge %v: %g lost, want %g", g.ends[i], loss[i], want[i])
			}
		}
	})
}

// bestPath tries every simple path.
func bestPath(of map[[2]int32]float64, without [2]int32, v, to int32, seen []bool, n int) float64 {
	if v == to {
		return 1
	}
	seen[v] = true
	defer func() { seen[v] = false }()
	most := 0.0
	for w := range int32(n) {
		p, ok := of[[2]int32{v, w}]
		if !ok || seen[w] || without == [2]int32{v, w} || without == [2]int32{w, v} {
			continue
		}
		most = max(most, p*bestPath(of, without, w, to, seen, n))
	}
	return most
}
