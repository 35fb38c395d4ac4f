// Package brute answers questions about small graphs by definition, from a matrix: what
// is connected, and what still is when something is taken out. It is what the tests of
// faster answers compare with.
package brute

import (
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"
)

// Graph is the matrix of a graph of at most 32 vertices. Sets of vertices are bits.
type Graph struct {
	N    int
	Edge []uint32 // vertex -> neighbours
}

// New makes the graph of n vertices and the edges between the given ends.
func New(n int, ends [][2]int32) Graph {
	b := Graph{n, make([]uint32, n)}
	for _, e := range ends {
		b.Add(e[0], e[1])
	}
	return b
}

// Add adds the edge between two vertices.
func (b Graph) Add(v, w int32) {
	b.Edge[v] |= 1 << w
	b.Edge[w] |= 1 << v
}

// Reached is what v is connected to, itself included, without a vertex (-1: none).
func (b Graph) Reached(v, without int) uint32 {
	for seen := uint32(1) << v; ; {
		before := seen
		for x := range b.N {
			if x != without && seen>>x&1 == 1 {
				seen |= b.Edge[x]
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

// Without is the graph without the edge between two vertices.
func (b Graph) Without(v, w int) Graph {
	c := Graph{b.N, slices.Clone(b.Edge)}
	c.Edge[v] &^= 1 << w
	c.Edge[w] &^= 1 << v
	return c
}

// Pairs counts the pairs of vertices other than gone (-1: none): joined, and with two
// routes; two are the partners of each. By Menger's theorem two disjoint routes exist exactly if no single
// other vertex and no single edge separates the two.
func (b Graph) Pairs(gone int) (joined, redundant int, two []uint32) {
	bare := b
	if gone >= 0 {
		for w := range b.N {
			bare = bare.Without(gone, w)
		}
	}
	two = make([]uint32, b.N)
	for v := range b.N {
		two[v] = bare.Reached(v, -1) &^ (1 << v)
		joined += bits.OnesCount32(two[v])
		for x := range b.N {
			if x != v {
				two[v] &= bare.Reached(v, x) | 1<<x
			}
			for y := range x {
				if bare.Edge[x]>>y&1 == 1 {
					two[v] &= bare.Without(x, y).Reached(v, -1)
				}
			}
		}
		redundant += bits.OnesCount32(two[v])
	}
	return joined / 2, redundant / 2, two
}

// Random calls f with 300 graphs of 1 to 14 vertices, from empty to full.
func Random(t *testing.T, f func(t *testing.T, n int, ends [][2]int32, r *rand.Rand)) {
	t.Helper()
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
		f(t, n, ends, r)
		if t.Failed() {
			t.Fatalf("seed %d: %d vertices, edges %v", seed, n, ends)
		}
	}
}

// CutOff are the others that lose every gateway or, without gateways,
// those of the part of v outside its largest piece; equals by the lowest vertex.
func (b Graph) CutOff(v int, gateways []int) []int {
	var out []int
	before := b.Reached(v, -1)
	if gateways != nil {
		var all uint32
		for _, g := range gateways {
			all |= 1 << g
		}
		for w := range b.N {
			if w != v && b.Reached(w, -1)&all != 0 && b.Reached(w, v)&all == 0 {
				out = append(out, w)
			}
		}
		return out
	}
	best, size := -1, 0
	for w := range b.N {
		if count := bits.OnesCount32(b.Reached(w, v)); w != v && before>>w&1 == 1 && count > size {
			best, size = w, count
		}
	}
	for w := range b.N {
		if w != v && before>>w&1 == 1 && b.Reached(best, v)>>w&1 == 0 {
			out = append(out, w)
		}
	}
	return out
}
