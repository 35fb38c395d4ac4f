package plan

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
)

// brute answers by definition, from a matrix: what is connected, and what still
// is when something is taken out. Sets of vertices are bits.
type brute struct {
	n    int
	edge []uint32 // vertex -> neighbours
}

func newBrute(g *graph) brute {
	b := brute{g.size(), make([]uint32, g.size())}
	for _, e := range g.ends {
		b.edge[e[0]] |= 1 << e[1]
		b.edge[e[1]] |= 1 << e[0]
	}
	return b
}

// reached is what v is connected to, itself included, without a vertex (-1: none).
func (b brute) reached(v, without int) uint32 {
	for seen := uint32(1) << v; ; {
		before := seen
		for x := range b.n {
			if x != without && seen>>x&1 == 1 {
				seen |= b.edge[x]
			}
		}
		if without >= 0 && v != without {
			seen &^= 1 << without
		}
		if seen == before {
			return seen
		}
	}
}

func (b brute) without(v, w int) brute {
	c := brute{b.n, slices.Clone(b.edge)}
	c.edge[v] &^= 1 << w
	c.edge[w] &^= 1 << v
	return c
}

// counts of pairs among the vertices other than gone: joined, and with two
// routes. By Menger's theorem two disjoint routes exist exactly if no single
// other vertex and no single edge separates the two.
func (b brute) pairs(gone int) (joined, redundant int, two []uint32) {
	bare := b
	if gone >= 0 {
		for w := range b.n {
			bare = bare.without(gone, w)
		}
	}
	two = make([]uint32, b.n)
	for v := range b.n {
		two[v] = bare.reached(v, -1) &^ (1 << v)
		joined += bits.OnesCount32(two[v])
		for x := range b.n {
			if x != v {
				two[v] &= bare.reached(v, x) | 1<<x
			}
			for y := range x {
				if bare.edge[x]>>y&1 == 1 {
					two[v] &= bare.without(x, y).reached(v, -1)
				}
			}
		}
		redundant += bits.OnesCount32(two[v])
	}
	return joined / 2, redundant / 2, two
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
		joined, redundant, two := b.pairs(-1)
		if l.joined() != joined || l.redundant != redundant {
			t.Errorf("%d pairs joined and %d redundant, want %d and %d", l.joined(), l.redundant, joined, redundant)
		}
		var single [][2]int
		for v := range g.size() {
			partners := 0
			for w := range g.size() {
				if two[v]>>w&1 == 1 {
					partners++
				} else if v < w && b.reached(v, -1)>>w&1 == 1 {
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
			mine := bits.OnesCount32(two[v]) // pairs with v itself are no loss to others
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
		for i, e := range g.ends {
			afterJoined, afterTwo, _ := b.without(int(e[0]), int(e[1])).pairs(-1)
			gotJoined, gotTwo := x.ofEdge(int32(i))
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
		var all uint32
		for _, g := range gateways {
			all |= 1 << g
		}
		for w := range b.n {
			if w != v && b.reached(w, -1)&all != 0 && b.reached(w, v)&all == 0 {
				out = append(out, w)
			}
		}
		return out
	}
	best, size := -1, 0
	for w := range b.n {
		if count := bits.OnesCount32(b.reached(w, v)); w != v && before>>w&1 == 1 && count > size {
			best, size = w, count
		}
	}
	for w := range b.n {
		if w != v && before>>w&1 == 1 && b.reached(best, v)>>w&1 == 0 {
			out = append(out, w)
		}
	}
	return out
}
