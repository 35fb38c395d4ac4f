package graph

// components are the pieces of a block, each a list of edges: those from the
// number of edges of the block on are virtual and stand in two pieces.
type components struct {
	start []int32 // where the edges of a piece begin
	edges []int32
	bond  []bool // piece is a bundle of parallel edges
}

func (c *components) begin(bond bool) {
	c.start, c.bond = append(c.start, int32(len(c.edges))), append(c.bond, bond)
}

func (c *components) add(edges ...int32) { c.edges = append(c.edges, edges...) }

// of returns the edges of a piece.
func (c *components) of(k int) []int32 {
	if k+1 < len(c.start) {
		return c.edges[c.start[k]:c.start[k+1]]
	}
	return c.edges[c.start[k]:]
}

// try is a pair a, b that may separate the vertices from a to h from the rest;
// a is -1 where a path begins.
type try struct{ h, a, b int32 }

// split finds all pieces. Those of three edges that are no bonds are triangles,
// of which polygons are yet to be joined; larger ones are triconnected.
func (s *splitter) split() *components {
	s.tries = append(s.tries, try{a: -1})
	s.search(1)
	s.found.begin(false)
	s.found.add(s.edges...)
	return &s.found
}

func (s *splitter) lastTry() *try { return &s.tries[len(s.tries)-1] }
func (s *splitter) dropTry()      { s.tries = s.tries[:len(s.tries)-1] }

func (s *splitter) push(e int32) { s.edges = append(s.edges, e) }
func (s *splitter) pop() int32 {
	e := s.edges[len(s.edges)-1]
	s.edges = s.edges[:len(s.edges)-1]
	return e
}

// virtual makes a new edge.
func (s *splitter) virtual(from, to int32) int32 {
	s.from, s.to = append(s.from, from), append(s.to, to)
	s.tree, s.begins = append(s.tree, false), append(s.begins, false)
	s.out.slotOf, s.highs.slotOf = append(s.out.slotOf, 0), append(s.highs.slotOf, 0)
	return int32(len(s.from) - 1)
}

// forget takes an edge out of the lists that the search goes by.
func (s *splitter) forget(e int32) {
	s.out.remove(s.from[e], e)
	s.highs.remove(s.to[e], e)
}

// high is the highest start of a frond to v, 0 without one.
func (s *splitter) high(v int32) int32 { return s.highs.value[s.highs.head[v]] }

func (s *splitter) search(v int32) {
	left := 0 // edges of v not yet done
	for i := s.out.head[v]; i != 0; i = s.out.next[i] {
		left++
	}
	for i := s.out.head[v]; i != 0; {
		after := s.out.next[i]
		e := s.out.value[i]
		w := s.to[e]
		if !s.tree[e] {
			if s.begins[e] {
				s.beginTry(w, try{v, w, v})
			}
			s.push(e)
			i = after
			continue
		}
		if s.begins[e] {
			s.beginTry(s.low1[w], try{w + s.below[w] - 1, s.low1[w], v})
			s.tries = append(s.tries, try{a: -1})
		}
		s.search(w)
		s.push(s.treeArc[w])
		w = s.inner(v, w, i)
		if s.low2[w] >= v && s.low1[w] < v && (s.father[v] != 1 || left >= 2) {
			s.outer(v, w, i)
		}
		if s.begins[e] {
			for s.lastTry().a != -1 {
				s.dropTry()
			}
			s.dropTry()
		}
		for t := s.lastTry(); t.a != -1 && t.b != v && s.high(v) > t.h; t = s.lastTry() {
			s.dropTry()
		}
		left--
		i = after
	}
}

// beginTry joins the tries that reach above low into one, or begins with fresh.
func (s *splitter) beginTry(low int32, fresh try) {
	if s.lastTry().a <= low {
		s.tries = append(s.tries, fresh)
		return
	}
	joined := try{a: low}
	for t := s.lastTry(); t.a > low; t = s.lastTry() {
		joined.h, joined.b = max(joined.h, t.h), t.b
		s.dropTry()
	}
	s.tries = append(s.tries, joined)
}

// inner splits off what pairs of v and a vertex below separate, in the branch
// of w whose edge is in slot i; it returns what then stands in the place of w.
func (s *splitter) inner(v, w, i int32) int32 {
	for v != 1 {
		corner := s.degree[w] == 2 && s.out.head[w] != 0 && s.to[s.out.value[s.out.head[w]]] > w
		t := *s.lastTry()
		switch {
		case t.a != v && !corner:
			return w
		case t.a == v && s.father[t.b] == t.a:
			s.dropTry()
			continue
		}
		var x, edge, beside int32 // beside is an edge between v and x
		if corner {
			x, edge, beside = s.corner(v)
		} else {
			s.dropTry()
			x = t.b
			edge, beside = s.between(t, i)
		}
		if beside >= 0 {
			s.found.begin(true)
			s.found.add(beside, edge)
			edge = s.virtual(v, x)
			s.found.add(edge)
			s.degree[x]--
			s.degree[v]--
		}
		s.push(edge)
		s.out.replace(i, edge)
		s.degree[x]++
		s.degree[v]++
		s.father[x], s.treeArc[x], s.tree[edge] = v, edge, true
		w = x
	}
	return w
}

// corner splits off a triangle: v, a vertex of two edges below it, and x.
func (s *splitter) corner(v int32) (x, edge, beside int32) {
	e1, e2 := s.pop(), s.pop()
	s.out.remove(s.from[e2], e2)
	x = s.to[e2]
	edge, beside = s.virtual(v, x), -1
	s.degree[x]--
	s.degree[v]--
	s.found.begin(false)
	s.found.add(e1, e2, edge)
	if n := len(s.edges); n > 0 {
		if e := s.edges[n-1]; s.from[e] == x && s.to[e] == v {
			beside = s.pop()
			s.forget(beside)
		}
	}
	return x, edge, beside
}

// between splits off what a pair below v separates.
func (s *splitter) between(t try, i int32) (edge, beside int32) {
	beside = -1
	s.found.begin(false)
	for len(s.edges) > 0 {
		e := s.edges[len(s.edges)-1]
		x, y := s.from[e], s.to[e]
		if x < t.a || x > t.h || y < t.a || y > t.h {
			break
		}
		s.pop()
		if x == t.a && y == t.b || y == t.a && x == t.b {
			beside = e
			s.forget(e)
			continue
		}
		if s.out.slotOf[e] != i {
			s.forget(e)
		}
		s.found.add(e)
		s.degree[x]--
		s.degree[y]--
	}
	edge = s.virtual(t.a, t.b)
	s.found.add(edge)
	return edge, beside
}

// outer splits off the branch of w below v that reaches one vertex above v.
func (s *splitter) outer(v, w, i int32) {
	low := s.low1[w]
	inBranch := func(x int32) bool { return w <= x && x < w+s.below[w] }
	s.found.begin(false)
	for len(s.edges) > 0 {
		e := s.edges[len(s.edges)-1]
		x, y := s.from[e], s.to[e]
		if !inBranch(x) && !inBranch(y) {
			break
		}
		s.pop()
		s.found.add(e)
		s.highs.remove(y, e)
		s.degree[x]--
		s.degree[y]--
	}
	edge := s.virtual(v, low)
	s.found.add(edge)
	if n := len(s.edges); n > 0 {
		e := s.edges[n-1]
		if s.from[e] == v && s.to[e] == low || s.from[e] == low && s.to[e] == v {
			s.pop()
			if s.out.slotOf[e] != i {
				s.out.remove(s.from[e], e)
			}
			s.found.begin(true)
			s.found.add(e, edge)
			edge = s.virtual(v, low)
			s.found.add(edge)
			s.highs.slotOf[edge] = s.highs.slotOf[e]
			s.degree[v]--
			s.degree[low]--
		}
	}
	if low != s.father[v] {
		s.push(edge)
		s.out.replace(i, edge)
		if s.highs.slotOf[edge] == 0 && s.high(low) < v {
			s.highs.pushFront(low, edge, v)
		}
		s.degree[v]++
		s.degree[low]++
		return
	}
	s.out.removeSlot(v, i)
	up := s.virtual(low, v)
	s.found.begin(true)
	s.found.add(edge, up, s.treeArc[v])
	slot := s.out.slotOf[s.treeArc[v]]
	s.treeArc[v], s.tree[up] = up, true
	s.out.replace(slot, up)
}
