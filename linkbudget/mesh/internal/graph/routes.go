package graph

import "math"

// Routes are the best ways from every vertex to the nearest of the sources: of the
// least weight, then by the lower next vertex. E. W. Dijkstra, A note on two
// problems in connexion with graphs, Numerische Mathematik 1 (1959).
type Routes struct {
	g         *Graph
	weight    []Weight // of each edge
	best      []Weight // of the way from each vertex
	next, via []int32  // what Next returns
	queue     reachQueue
	inside    []int32 // vertex -> the last edge whose loss cut it off, plus one
}

// Weight is what an edge or a way costs: two sums, of which the second counts
// where the first are equal. Neither is negative, and one of them is above 0.
type Weight struct{ First, Second float64 }

var nowhere = Weight{math.Inf(1), math.Inf(1)}

func (w Weight) plus(x Weight) Weight { return Weight{w.First + x.First, w.Second + x.Second} }

func (w Weight) before(x Weight) bool {
	if w.First != x.First {
		return w.First < x.First
	}
	return w.Second < x.Second
}

// NewRoutes finds the ways over edges of the given weights.
func NewRoutes(g *Graph, weights []Weight, sources []int) *Routes {
	n := g.Size()
	r := &Routes{g: g, weight: weights, best: make([]Weight, n),
		next: make([]int32, n), via: make([]int32, n), inside: make([]int32, n)}
	for v := range n {
		r.best[v], r.next[v], r.via[v] = nowhere, -1, -1
	}
	for _, s := range sources {
		if r.improve(int32(s), Weight{}, -1, -1) {
			r.queue.push(queued{Weight{}, int32(s)})
		}
	}
	r.settle(-1)
	return r
}

// Reaches reports whether there is a way from v.
func (r *Routes) Reaches(v int32) bool { return r.best[v] != nowhere }

// Next is the vertex and the edge from v towards the source, -1 at a source and where
// there is no way.
func (r *Routes) Next(v int32) (next, edge int32) { return r.next[v], r.via[v] }

// improve takes a way to v if it is better than the one known; shorter says
// that it is not merely another of the same weight.
func (r *Routes) improve(v int32, by Weight, next, via int32) (shorter bool) {
	if by.before(r.best[v]) || by == r.best[v] && next >= 0 && next < r.next[v] {
		shorter = by != r.best[v]
		r.best[v], r.next[v], r.via[v] = by, next, via
	}
	return shorter
}

// settle works off the queue; with the loss of an edge, -1 for none, only into
// the vertices inside.
func (r *Routes) settle(lost int32) {
	for len(r.queue) > 0 {
		q := r.queue.pop()
		if q.by != r.best[q.v] {
			continue // an older entry
		}
		for _, a := range r.g.From(q.v) {
			if a.Edge != lost && (lost < 0 || r.inside[a.To] == lost+1) {
				by := q.by.plus(r.weight[a.Edge])
				if r.improve(a.To, by, q.v, a.Edge) {
					r.queue.push(queued{by, a.To})
				}
			}
		}
	}
}

// Detours is by how much the first sums of all best ways grow, in sum, without
// each edge; a vertex that then has no way does not count. Only edges on some best
// way can cost anything, and only for the vertices whose way they are on, which
// are routed anew.
func (r *Routes) Detours() []float64 {
	more := make([]float64, len(r.weight))
	behind := make([][]int32, r.g.Size()) // vertices whose way goes next through it
	for v := range int32(len(behind)) {
		if r.next[v] >= 0 {
			behind[r.next[v]] = append(behind[r.next[v]], v)
		}
	}
	for v := range int32(len(behind)) {
		if r.via[v] < 0 {
			continue
		}
		cut := []int32{v}
		for i := 0; i < len(cut); i++ {
			cut = append(cut, behind[cut[i]]...)
		}
		more[r.via[v]] = r.reroute(cut, r.via[v])
	}
	return more
}

// reroute finds the ways of the vertices cut off by the loss of an edge, sums
// up what their detours cost, and puts everything back.
func (r *Routes) reroute(cut []int32, edge int32) float64 {
	before := make([]Weight, len(cut))
	next, via := make([]int32, len(cut)), make([]int32, len(cut))
	for i, v := range cut {
		r.inside[v] = edge + 1
		before[i], next[i], via[i] = r.best[v], r.next[v], r.via[v]
	}
	for _, v := range cut {
		r.best[v], r.next[v], r.via[v] = nowhere, -1, -1
	}
	for _, v := range cut {
		for _, a := range r.g.From(v) {
			if a.Edge != edge && r.inside[a.To] != edge+1 && r.best[a.To] != nowhere {
				r.improve(v, r.best[a.To].plus(r.weight[a.Edge]), a.To, a.Edge)
			}
		}
		if r.best[v] != nowhere {
			r.queue.push(queued{r.best[v], v})
		}
	}
	r.settle(edge)
	var sum float64
	for i, v := range cut {
		if r.best[v] != nowhere {
			sum += r.best[v].First - before[i].First
		}
		r.best[v], r.next[v], r.via[v] = before[i], next[i], via[i]
	}
	return sum
}

type queued struct {
	by Weight
	v  int32
}

func (q queued) before(o queued) bool {
	if q.by != o.by {
		return q.by.before(o.by)
	}
	return q.v < o.v
}

// reachQueue is a binary heap, the nearest first (J. W. J. Williams, Algorithm
// 232, CACM 1964). container/heap would box every entry.
type reachQueue []queued

func (q *reachQueue) push(x queued) {
	h := append(*q, x)
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 2
		if !x.before(h[up]) {
			break
		}
		h[i], i = h[up], up
	}
	h[i] = x
	*q = h
}

func (q *reachQueue) pop() queued {
	h := *q
	first, x := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	*q = h
	i := 0
	for {
		down := 2*i + 1
		if down >= len(h) {
			break
		}
		if down+1 < len(h) && h[down+1].before(h[down]) {
			down++
		}
		if !h[down].before(x) {
			break
		}
		h[i], i = h[down], down
	}
	if len(h) > 0 {
		h[i] = x
	}
	return first
}
