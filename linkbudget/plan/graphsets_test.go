package plan

import (
	"math/rand/v2"
	"testing"
)

// Two vertices are of one set exactly if the walk puts them into one part.
func TestVertexSetsAgainstParts(t *testing.T) {
	randomGraphs(t, func(t *testing.T, g *graph, _ *rand.Rand) {
		l, sets := newLayout(g), newVertexSets(g.size())
		for _, e := range g.ends {
			sets.join(e[0], e[1])
		}
		if sets.count != len(l.parts) {
			t.Errorf("%d sets, want %d", sets.count, len(l.parts))
		}
		for v := range int32(g.size()) {
			for w := range v {
				if got, want := sets.top(v) == sets.top(w), l.part[v] == l.part[w]; got != want {
					t.Errorf("%d and %d in one set: %v, want %v", v, w, got, want)
				}
			}
		}
	})
}
