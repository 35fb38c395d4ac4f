package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	gonumpath "gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// brute answers by definition, from a matrix: what is connected, and what still
// is when something is taken out.
type brute struct {
	n    int
	edge [][]bool
}

func newBrute(g *graph) brute {
	b := brute{g.size(), make([][]bool, g.size())}
	for v := range b.edge {
		b.edge[v] = make([]bool, b.n)
	}
	for _, e := range g.ends {
		b.edge[e[0]][e[1]], b.edge[e[1]][e[0]] = true, true
	}
	return b
}

// reached is what v is connected to without a vertex (-1: none).
func (b brute) reached(v, without int) []bool {
	seen := make([]bool, b.n)
	seen[v] = true
	for grown := true; grown; {
		grown = false
		for x := range b.n {
			for y := range b.n {
				if x != without && y != without && seen[x] && !seen[y] && b.edge[x][y] {
					seen[y], grown = true, true
				}
			}
		}
	}
	return seen
}

func (b brute) without(v, w int) brute {
	c := brute{b.n, make([][]bool, b.n)}
	for x := range c.edge {
		c.edge[x] = slices.Clone(b.edge[x])
	}
	c.edge[v][w], c.edge[w][v] = false, false
	return c
}

// counts of pairs among the vertices other than gone: joined, and with two
// routes. By Menger's theorem two disjoint routes exist exactly if no single
// other vertex and no single edge separates the two.
func (b brute) pairs(gone int) (joined, redundant int, two [][]bool) {
	two = make([][]bool, b.n)
	bare := b
	if gone >= 0 {
		for w := range b.n {
			bare = bare.without(gone, w)
		}
	}
	for v := range b.n {
		two[v] = make([]bool, b.n)
		for w := range b.n {
			two[v][w] = v != w && v != gone && w != gone && bare.reached(v, -1)[w]
			if v < w && two[v][w] {
				joined++
			}
		}
	}
	for x := range b.n {
		for v := range b.n {
			seen := bare.reached(v, x)
			for w := range b.n {
				if x != v && x != w && !seen[w] {
					two[v][w] = false
				}
			}
		}
		for y := range x {
			if !bare.edge[x][y] {
				continue
			}
			less := bare.without(x, y)
			for v := range b.n {
				seen := less.reached(v, -1)
				for w := range b.n {
					two[v][w] = two[v][w] && seen[w]
				}
			}
		}
	}
	for v := range b.n {
		for w := range v {
			if two[v][w] {
				redundant++
			}
		}
	}
	return joined, redundant, two
}

// randomGraphs calls f with 300 graphs of 1 to 14 vertices, from empty to full.
func randomGraphs(t *testing.T, f func(t *testing.T, g *graph, r *rand.Rand)) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 5))
		n := 1 + r.IntN(14)
		share := r.Float64()
		if seed%3 == 0 {
			share = 1.5 / float64(n) // about a tree
		}
		var ends [][2]int32
		for v := range int32(n) {
			for w := range v {
				if r.Float64() < share {
					e := [2]int32{w, v}
					if r.IntN(2) == 0 {
						e = [2]int32{v, w}
					}
					ends = append(ends, e)
				}
			}
		}
		r.Shuffle(len(ends), func(i, j int) { ends[i], ends[j] = ends[j], ends[i] })
		f(t, newGraph(n, ends), r)
		if t.Failed() {
			t.Fatalf("seed %d: %d vertices, edges %v", seed, n, ends)
		}
	}
}

func TestLayoutAgainstRemoval(t *testing.T) {
	randomGraphs(t, func(t *testing.T, g *graph, _ *rand.Rand) {
		l, b := newLayout(g), newBrute(g)
		if n := len(l.sparse.ends); n > 3*(g.size()-1) {
			t.Errorf("certificate of %d edges for %d vertices", n, g.size())
		}
		joined, redundant, two := b.pairs(-1)
		if l.joined() != joined || l.redundant != redundant {
			t.Errorf("%d pairs joined and %d redundant, want %d and %d", l.joined(), l.redundant, joined, redundant)
		}
		var single [][2]int
		for v := range g.size() {
			partners := 0
			for w := range g.size() {
				if two[v][w] {
					partners++
				} else if v < w && b.reached(v, -1)[w] {
					single = append(single, [2]int{v, w})
				}
			}
			if l.partners(v) != partners {
				t.Errorf("%d has two routes to %d, want %d", v, l.partners(v), partners)
			}
			// A cut vertex leaves two others apart that it joined.
			after, _, _ := b.pairs(v)
			cut := joined-(len(l.parts[l.part[v]])-1) != after
			if l.cuts(v) != cut {
				t.Errorf("cut vertex %d: %v, want %v", v, l.cuts(v), cut)
			}
		}
		if diff := cmp.Diff(single, l.singleRoutes(1000)); diff != "" {
			t.Errorf("single routes (-want +got):\n%s", diff)
		}
		if len(single) > 2 && len(l.singleRoutes(2)) != 2 {
			t.Error("a bounded list is not bounded")
		}
	})
}

// Components are also those of gonum.
func TestPartsAgainstGonum(t *testing.T) {
	randomGraphs(t, func(t *testing.T, g *graph, _ *rand.Rand) {
		u := simple.NewUndirectedGraph()
		for v := range g.size() {
			u.AddNode(simple.Node(v))
		}
		for _, e := range g.ends {
			u.SetEdge(simple.Edge{F: simple.Node(e[0]), T: simple.Node(e[1])})
		}
		var want [][]int
		for _, nodes := range topo.ConnectedComponents(u) {
			var part []int
			for _, n := range nodes {
				part = append(part, int(n.ID()))
			}
			slices.Sort(part)
			want = append(want, part)
		}
		slices.SortFunc(want, func(x, y []int) int {
			if len(x) != len(y) {
				return len(y) - len(x)
			}
			return x[0] - y[0]
		})
		if diff := cmp.Diff(want, newLayout(g).parts); diff != "" {
			t.Errorf("parts (-gonum +got):\n%s", diff)
		}
	})
}

func TestLossAgainstRemoval(t *testing.T) {
	randomGraphs(t, func(t *testing.T, g *graph, r *rand.Rand) {
		l, b := newLayout(g), newBrute(g)
		var gateways []int
		if r.IntN(2) == 0 {
			gateways = r.Perm(g.size())[:1+r.IntN(min(2, g.size()))]
		}
		x := newLossFinder(l, gateways)
		joined, redundant, two := b.pairs(-1)
		for v := range g.size() {
			mine := 0 // pairs with v itself are no loss to others
			for w := range g.size() {
				if two[v][w] {
					mine++
				}
			}
			after, left, _ := b.pairs(v)
			e := x.ofVertex(v)
			if want := joined - (len(l.parts[l.part[v]]) - 1) - after; e.JoinedPairs != want {
				t.Errorf("without %d: %d pairs apart, want %d", v, e.JoinedPairs, want)
			}
			if want := redundant - mine - left; e.RedundantPairs != want {
				t.Errorf("without %d: %d pairs lose their second route, want %d", v, e.RedundantPairs, want)
			}
			if want := cutOffByHand(b, v, gateways); e.CutOff != len(want) || !slices.Equal(e.Poles, want) {
				t.Errorf("without %d, gateways %v: %v cut off, want %v", v, gateways, e.Poles, want)
			}
		}
		sparse := map[[2]int32]int32{}
		for i, e := range l.sparse.ends {
			sparse[e] = int32(i)
		}
		for _, e := range g.ends {
			afterJoined, afterTwo, _ := b.without(int(e[0]), int(e[1])).pairs(-1)
			var gotJoined, gotTwo int // what is not in the certificate costs nothing
			if i, in := sparse[e]; in {
				gotJoined, gotTwo = x.ofEdge(i)
			}
			if gotJoined != joined-afterJoined || gotTwo != redundant-afterTwo {
				t.Errorf("without edge %v: %d and %d pairs lost, want %d and %d", e, gotJoined, gotTwo, joined-afterJoined, redundant-afterTwo)
			}
		}
	})
}

// cutOffByHand are the others that lose every gateway or, without gateways,
// those of the part of v outside its largest piece; equals by the lowest vertex.
func cutOffByHand(b brute, v int, gateways []int) []int {
	var out []int
	before := b.reached(v, -1)
	if gateways != nil {
		for w := range b.n {
			had, has := false, false
			for _, g := range gateways {
				had = had || b.reached(w, -1)[g]
				has = has || g != v && b.reached(w, v)[g]
			}
			if w != v && had && !has {
				out = append(out, w)
			}
		}
		return out
	}
	best, size := -1, 0
	for w := range b.n {
		count := 0
		for _, in := range b.reached(w, v) {
			if in {
				count++
			}
		}
		if w != v && before[w] && count > size {
			best, size = w, count
		}
	}
	for w := range b.n {
		if w != v && before[w] && !b.reached(best, v)[w] {
			out = append(out, w)
		}
	}
	return out
}

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
