package graph

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// redundantPairs counts pairs in a common block of three and more, by the walk
// alone: what the tree of components must say is found by taking out one vertex
// or edge after the other.
func redundantPairs(n int, ends [][2]int32) (pairs int) {
	for _, b := range walkBlocks(New(n, ends)).blocks {
		if len(b) > 2 {
			pairs += PairsOf(len(b))
		}
	}
	return pairs
}

// woven is a graph full of pairs that separate it: ears of random length over
// two vertices of what is there, and chords.
func woven(r *rand.Rand, most int) (n int, ends [][2]int32) {
	n = 3 + r.IntN(3)
	has := map[[2]int32]bool{}
	add := func(v, w int) {
		e := [2]int32{int32(min(v, w)), int32(max(v, w))}
		if v != w && !has[e] {
			has[e] = true
			ends = append(ends, e)
		}
	}
	for v := range n {
		add(v, (v+1)%n)
	}
	chords := r.Float64()
	for n < most {
		v, w := r.IntN(n), r.IntN(n)
		if v == w {
			continue
		}
		if r.Float64() < chords {
			add(v, w)
			if r.IntN(3) > 0 {
				continue
			}
		}
		for range 1 + r.IntN(3) {
			add(v, n)
			v, n = n, n+1
		}
		add(v, w)
	}
	name := r.Perm(n)
	for i, e := range ends {
		ends[i] = [2]int32{int32(name[e[0]]), int32(name[e[1]])}
	}
	r.Shuffle(len(ends), func(i, j int) { ends[i], ends[j] = ends[j], ends[i] })
	return n, ends
}

func TestBlockLossAgainstTheWalk(t *testing.T) {
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 7))
		n, ends := woven(r, 4+r.IntN(3+int(seed/50)))
		b, number := newBlockLoss(New(n, ends))
		for v := range n {
			without := slices.DeleteFunc(slices.Clone(ends), func(e [2]int32) bool {
				return e[0] == int32(v) ||
					e[1] == int32(v)
			})
			if got, want := b.vertexLeft[number[v]], redundantPairs(n, without); got != want {
				t.Errorf("without vertex %d: %d pairs left, want %d", v, got, want)
			}
		}
		for i := range ends {
			if got, want := b.edgeLeft[i], redundantPairs(n, slices.Delete(slices.Clone(ends), i, i+1)); got != want {
				t.Errorf("without edge %v: %d pairs left, want %d", ends[i], got, want)
			}
		}
		if t.Failed() {
			t.Fatalf("seed %d: %d vertices, edges %v", seed, n, ends)
		}
	}
}

// A ring so long that the walks go deep: without a vertex or an edge of it no
// two others have two routes left.
func TestBlockLossOfALongRing(t *testing.T) {
	const n = 200_000
	ends := make([][2]int32, n)
	for v := range int32(n) {
		ends[v] = [2]int32{v, (v + 1) % n}
	}
	b, _ := newBlockLoss(New(n, ends))
	if left := slices.Max(b.vertexLeft) + slices.Max(b.edgeLeft); left != 0 {
		t.Errorf("%d pairs left", left)
	}
}

// BenchmarkLoss is the loss of each of 2000 vertices and their edges.
func BenchmarkLoss(b *testing.B) {
	n, ends := woven(rand.New(rand.NewPCG(1, 7)), 2000)
	g := New(n, ends)
	b.ReportAllocs()
	for b.Loop() {
		NewLosses(NewLayout(g), nil)
	}
}
