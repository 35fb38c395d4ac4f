package plan

// PairCounts says how some poles hang together over links that also lead through
// others.
type PairCounts struct {
	// Poles is how many were counted, Parts in how many parts of the mesh they are.
	Poles, Parts int
	// Joined is how many pairs of them have a route, Redundant how many have two
	// without a common pole or link between.
	Joined, Redundant int
}

// CountPairs counts over a mesh of poles, numbered from 0, and the links between
// them, no two of which join the same poles; of says which poles count.
func CountPairs(poles int, links [][2]int32, of func(pole int) bool) PairCounts {
	return newLayout(newGraph(poles, links)).pairsAmong(of)
}

// pairsAmong counts over the vertices that of holds. Two vertices share at most one
// block, so none is counted twice.
func (l *layout) pairsAmong(of func(v int) bool) (c PairCounts) {
	for _, part := range l.parts {
		n := 0
		for _, v := range part {
			if of(v) {
				n++
			}
		}
		c.Poles += n
		c.Parts += min(n, 1)
		c.Joined += pairsOf(n)
	}
	for _, block := range l.blocks {
		n := 0
		for _, v := range block {
			if len(block) > 2 && of(int(v)) {
				n++
			}
		}
		c.Redundant += pairsOf(n)
	}
	return c
}
