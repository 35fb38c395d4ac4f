package plan

import "container/heap"

// certificate returns at most 3 (n-1) edges of g that hold together whatever g
// holds together: remove any two vertices or edges, and what is connected in g
// is connected in the certificate. Blocks, bridges and cut vertices are the
// same, also after the loss of one vertex or edge, so that a dense mesh costs
// no more than a sparse one.
//
// H. Nagamochi and T. Ibaraki, A linear-time algorithm for finding a sparse
// k-connected spanning subgraph of a k-connected graph, Algorithmica 7 (1992),
// with k = 3: vertices are visited in maximum adjacency order, an edge to a
// vertex met r times before goes into forest r + 1, and forests 1 to 3 stay.
// An edge left out has three routes without a common vertex between its ends.
func certificate(g *graph) *graph {
	n := g.size()
	met := make([]int32, n)
	scanned := make([]bool, n)
	var ends [][2]int32
	var queue metQueue
	for root := range int32(n) {
		if scanned[root] {
			continue
		}
		heap.Push(&queue, metVertex{0, root})
		for len(queue) > 0 {
			v := heap.Pop(&queue).(metVertex).v
			if scanned[v] {
				continue // an older entry
			}
			scanned[v] = true
			for _, a := range g.from(v) {
				if scanned[a.to] {
					continue
				}
				if met[a.to]++; met[a.to] <= 3 {
					ends = append(ends, g.ends[a.edge])
				}
				heap.Push(&queue, metVertex{met[a.to], a.to})
			}
		}
	}
	return newGraph(n, ends)
}

// metQueue gives the vertex met most often, the lowest of equals.
type metQueue []metVertex

type metVertex struct{ met, v int32 }

func (q metQueue) Len() int { return len(q) }
func (q metQueue) Less(i, j int) bool {
	if q[i].met != q[j].met {
		return q[i].met > q[j].met
	}
	return q[i].v < q[j].v
}
func (q metQueue) Swap(i, j int) { q[i], q[j] = q[j], q[i] }
func (q *metQueue) Push(x any)   { *q = append(*q, x.(metVertex)) }
func (q *metQueue) Pop() any {
	old := *q
	x := old[len(old)-1]
	*q = old[:len(old)-1]
	return x
}
