package plan

import "math"

// routes are the most probable ways from every vertex to the nearest of the
// sources: least sum of -ln p, then fewest edges, then the lower next vertex.
// E. W. Dijkstra, A note on two problems in connexion with graphs, Numerische
// Mathematik 1 (1959).
type routes struct {
	g    *graph
	cost []float64 // -ln p of each edge
	best []reach   // of each vertex
	// next and via are the vertex and the edge towards the source, -1 at a source
	// and where there is no way.
	next, via []int32
	queue     reachQueue
	inside    []int32 // vertex -> the last edge whose loss cut it off, plus one
}

// reach is how far a vertex is from a source.
type reach struct {
	cost float64
	hops int32
}

var nowhere = reach{math.Inf(1), math.MaxInt32}

func (r reach) before(s reach) bool {
	if r.cost != s.cost {
		return r.cost < s.cost
	}
	return r.hops < s.hops
}

// newRoutes finds the ways over edges of the given probabilities, above 0.
func newRoutes(g *graph, probability []float64, sources []int) *routes {
	n := g.size()
	r := &routes{g: g, cost: make([]float64, len(probability)), best: make([]reach, n), next: make([]int32, n), via: make([]int32, n), inside: make([]int32, n)}
	for i, p := range probability {
		r.cost[i] = -math.Log(min(p, 1)) + 0 // no negative zero
	}
	for v := range n {
		r.best[v], r.next[v], r.via[v] = nowhere, -1, -1
	}
	for _, s := range sources {
		if r.improve(int32(s), reach{}, -1, -1) {
			r.queue.push(queued{reach{}, int32(s)})
		}
	}
	r.settle(-1)
	return r
}

// improve takes a way to v if it is better than the one known; shorter says
// that it is not merely another of the same length.
func (r *routes) improve(v int32, by reach, next, via int32) (shorter bool) {
	if by.before(r.best[v]) || by == r.best[v] && next >= 0 && next < r.next[v] {
		shorter = by != r.best[v]
		r.best[v], r.next[v], r.via[v] = by, next, via
	}
	return shorter
}

// settle works off the queue; with the loss of an edge, -1 for none, only into
// the vertices inside.
func (r *routes) settle(lost int32) {
	for len(r.queue) > 0 {
		q := r.queue.pop()
		if q.reach != r.best[q.v] {
			continue // an older entry
		}
		for _, a := range r.g.from(q.v) {
			if a.edge != lost && (lost < 0 || r.inside[a.to] == lost+1) {
				by := reach{q.cost + r.cost[a.edge], q.hops + 1}
				if r.improve(a.to, by, q.v, a.edge) {
					r.queue.push(queued{by, a.to})
				}
			}
		}
	}
}

// probability is that of the best way from v, 0 without one.
func (r *routes) probability(v int32) float64 { return math.Exp(-r.best[v].cost) }

// lossOf is by how much the probabilities of all best ways fall, in sum,
// without each edge. Only edges on some best way can cost anything, and only
// for the vertices whose way they are on, which are routed anew.
func (r *routes) lossOf() []float64 {
	loss := make([]float64, len(r.cost))
	behind := make([][]int32, r.g.size()) // vertices whose way goes next through it
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
		loss[r.via[v]] = r.reroute(cut, r.via[v])
	}
	return loss
}

// reroute finds the ways of the vertices cut off by the loss of an edge, sums
// up what they lose, and puts everything back.
func (r *routes) reroute(cut []int32, edge int32) float64 {
	before := make([]reach, len(cut))
	next, via := make([]int32, len(cut)), make([]int32, len(cut))
	for i, v := range cut {
		r.inside[v] = edge + 1
		before[i], next[i], via[i] = r.best[v], r.next[v], r.via[v]
	}
	for _, v := range cut {
		r.best[v], r.next[v], r.via[v] = nowhere, -1, -1
	}
	for _, v := range cut {
		for _, a := range r.g.from(v) {
			if a.edge != edge && r.inside[a.to] != edge+1 && r.best[a.to] != nowhere {
				r.improve(v, reach{r.best[a.to].cost + r.cost[a.edge], r.best[a.to].hops + 1}, a.to, a.edge)
			}
		}
		if r.best[v] != nowhere {
			r.queue.push(queued{r.best[v], v})
		}
	}
	r.settle(edge)
	var sum float64
	for i, v := range cut {
		after := r.probability(v)
		r.best[v], r.next[v], r.via[v] = before[i], next[i], via[i]
		sum += max(0, r.probability(v)-after)
	}
	return sum
}

type queued struct {
	reach
	v int32
}

func (q queued) before(o queued) bool {
	if q.reach != o.reach {
		return q.reach.before(o.reach)
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
