package graph

// edgeLists holds a list for every vertex, from which edges can be taken at any
// place. Slots are numbers from 1, 0 is none.
type edgeLists struct {
	head, tail []int32 // of each vertex
	next, prev []int32 // of each slot
	value      []int32
	slotOf     []int32 // of each edge
}

func newEdgeLists(n int32, edges int) edgeLists {
	return edgeLists{head: make([]int32, n+1), tail: make([]int32, n+1), slotOf: make([]int32, edges, 2*edges),
		next: make([]int32, 1, edges+1), prev: make([]int32, 1, edges+1), value: make([]int32, 1, edges+1)}
}

// slot makes a slot between two others for a value of an edge.
func (l *edgeLists) slot(v, edge, value, before, after int32) {
	i := int32(len(l.value))
	l.value, l.prev, l.next = append(l.value, value), append(l.prev, before), append(l.next, after)
	l.slotOf[edge] = i
	l.join(v, before, i)
	l.join(v, i, after)
}

// join makes two slots neighbours; 0 is beyond the ends of the list.
func (l *edgeLists) join(v, before, after int32) {
	if before == 0 {
		l.head[v] = after
	} else {
		l.next[before] = after
	}
	if after == 0 {
		l.tail[v] = before
	} else {
		l.prev[after] = before
	}
}

func (l *edgeLists) append(v, edge, value int32)    { l.slot(v, edge, value, l.tail[v], 0) }
func (l *edgeLists) pushFront(v, edge, value int32) { l.slot(v, edge, value, 0, l.head[v]) }

// remove takes an edge out of the list of v, if it is in there.
func (l *edgeLists) remove(v, edge int32) {
	if i := l.slotOf[edge]; i != 0 {
		l.removeSlot(v, i)
		l.slotOf[edge] = 0
	}
}

func (l *edgeLists) removeSlot(v, i int32) { l.join(v, l.prev[i], l.next[i]) }

// replace puts an edge into the slot of another, which then has none.
func (l *edgeLists) replace(slot, edge int32) {
	l.value[slot], l.slotOf[edge] = edge, slot
}
