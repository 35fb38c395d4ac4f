package plan

// gainFinder tells what one more vertex makes of a graph. A vertex with several
// neighbours in one part makes one block of all the blocks between them.
type gainFinder struct {
	*layout
	now     int32   // stamp of the vertex looked at
	blockOf []int32 // block -> last vertex that took it in
	partOf  []int32 // part -> last vertex that touched it
	// Of each part touched: the vertex nearest to its root that was taken in, and
	// how many vertices and redundant pairs there were before.
	top         []int32
	taken, pair []int
	touched     []int // parts
}

func newGainFinder(l *layout) *gainFinder {
	n := len(l.parts)
	return &gainFinder{layout: l, blockOf: make([]int32, len(l.blocks)), partOf: make([]int32, n),
		top: make([]int32, n), taken: make([]int, n), pair: make([]int, n)}
}

// touch begins anew, with a vertex that has these neighbours.
func (f *gainFinder) touch(neighbours []int32) {
	f.now++
	f.touched = f.touched[:0]
	for _, v := range neighbours {
		k := f.part[v]
		if f.partOf[k] != f.now {
			f.partOf[k], f.top[k], f.taken[k], f.pair[k] = f.now, v, 1, 0
			f.touched = append(f.touched, k)
			continue
		}
		f.join(k, v)
	}
}

// join takes in the blocks between a vertex and those taken in before. Of two
// vertices, that visited later is not above the other: it climbs.
func (f *gainFinder) join(k int, v int32) {
	for v != f.top[k] && (f.up[v] < 0 || f.blockOf[f.up[v]] != f.now) {
		if f.order[v] > f.order[f.top[k]] {
			v = f.take(k, f.up[v])
		} else {
			f.top[k] = f.take(k, f.up[f.top[k]])
		}
	}
}

// take takes a block in, if it is not yet, and returns its top.
func (f *gainFinder) take(k int, b int32) int32 {
	if n := len(f.blocks[b]); f.blockOf[b] != f.now {
		f.blockOf[b] = f.now
		f.taken[k] += n - 1
		if n > 2 {
			f.pair[k] += pairsOf(n)
		}
	}
	return f.blocks[b][0]
}

// pairs is how many pairs of the others get a route, and a second one.
func (f *gainFinder) pairs() (joined, redundant int) {
	size := 0
	for _, k := range f.touched {
		n := len(f.parts[k])
		joined += size * n
		size += n
		if f.taken[k] > 1 {
			redundant += pairsOf(f.taken[k]) - f.pair[k]
		}
	}
	return joined, redundant
}
