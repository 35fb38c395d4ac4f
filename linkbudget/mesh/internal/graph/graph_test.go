package graph

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"github.com/polereach/polereach/linkbudget/mesh/internal/brute"
)

func TestLayoutAgainstRemoval(t *testing.T) {
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, _ *rand.Rand) {
		l, b := NewLayout(New(n, ends)), brute.New(n, ends)
		joined, redundant, two := b.Pairs(-1)
		if l.Joined() != joined || l.Redundant != redundant {
			t.Errorf("%d pairs joined and %d redundant, want %d and %d", l.Joined(), l.Redundant, joined, redundant)
		}
		var single [][2]int
		for v := range n {
			partners := 0
			for w := range n {
				if two[v]>>w&1 == 1 {
					partners++
				} else if v < w && b.Reached(v, -1)>>w&1 == 1 {
					single = append(single, [2]int{v, w})
				}
			}
			if l.partners(v) != partners {
				t.Errorf("%d has two routes to %d, want %d", v, l.partners(v), partners)
			}
			// A cut vertex leaves two others apart that it joined.
			after, _, _ := b.Pairs(v)
			cut := joined-(len(l.Parts[l.Part[v]])-1) != after
			if l.Cuts(v) != cut {
				t.Errorf("cut vertex %d: %v, want %v", v, l.Cuts(v), cut)
			}
		}
		if diff := cmp.Diff(single, l.SingleRoutes(1000)); diff != "" {
			t.Errorf("single routes (-want +got):\n%s", diff)
		}
		if len(single) > 2 && len(l.SingleRoutes(2)) != 2 {
			t.Error("a bounded list is not bounded")
		}
	})
}

// Components are also those of gonum.
func TestPartsAgainstGonum(t *testing.T) {
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, _ *rand.Rand) {
		u := simple.NewUndirectedGraph()
		for v := range n {
			u.AddNode(simple.Node(v))
		}
		for _, e := range ends {
			u.SetEdge(simple.Edge{F: simple.Node(e[0]), T: simple.Node(e[1])})
		}
		var want [][]int
		for _, nodes := range topo.ConnectedComponents(u) {
			var part []int
			for _, node := range nodes {
				part = append(part, int(node.ID()))
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
		if diff := cmp.Diff(want, NewLayout(New(n, ends)).Parts); diff != "" {
			t.Errorf("parts (-gonum +got):\n%s", diff)
		}
	})
}

func TestLossAgainstRemoval(t *testing.T) {
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, r *rand.Rand) {
		l, b := NewLayout(New(n, ends)), brute.New(n, ends)
		var gateways []int
		if r.IntN(2) == 0 {
			gateways = r.Perm(n)[:1+r.IntN(min(2, n))]
		}
		x := NewLosses(l, gateways)
		joined, redundant, two := b.Pairs(-1)
		for v := range n {
			mine := bits.OnesCount32(two[v]) // pairs with v itself are no loss to others
			after, left, _ := b.Pairs(v)
			e := x.OfVertex(v)
			if want := joined - (len(l.Parts[l.Part[v]]) - 1) - after; e.JoinedPairs != want {
				t.Errorf("without %d: %d pairs apart, want %d", v, e.JoinedPairs, want)
			}
			if want := redundant - mine - left; e.RedundantPairs != want {
				t.Errorf("without %d: %d pairs lose their second route, want %d", v, e.RedundantPairs, want)
			}
			if want := b.CutOff(v, gateways); e.CutOff != len(want) || !slices.Equal(e.Vertices, want) {
				t.Errorf("without %d, gateways %v: %v cut off, want %v", v, gateways, e.Vertices, want)
			}
		}
		for i, e := range ends {
			afterJoined, afterTwo, _ := b.Without(int(e[0]), int(e[1])).Pairs(-1)
			gotJoined, gotTwo := x.OfEdge(int32(i))
			if gotJoined != joined-afterJoined || gotTwo != redundant-afterTwo {
				t.Errorf("without edge %v: %d and %d pairs lost, want %d and %d", e, gotJoined, gotTwo, joined-afterJoined,
					redundant-afterTwo)
			}
		}
	})
}

// Two vertices are of one set exactly if the walk puts them into one part.
func TestVertexSetsAgainstParts(t *testing.T) {
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, _ *rand.Rand) {
		l, sets := NewLayout(New(n, ends)), NewSets(n)
		for _, e := range ends {
			sets.Join(e[0], e[1])
		}
		if sets.Count != len(l.Parts) {
			t.Errorf("%d sets, want %d", sets.Count, len(l.Parts))
		}
		for v := range int32(n) {
			for w := range v {
				if got, want := sets.Top(v) == sets.Top(w), l.Part[v] == l.Part[w]; got != want {
					t.Errorf("%d and %d in one set: %v, want %v", v, w, got, want)
				}
			}
		}
	})
}
