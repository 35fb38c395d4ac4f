package plan

import (
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget/plan/internal/brute"
)

// Two vertices are of one set exactly if the walk puts them into one part.
func TestVertexSetsAgainstParts(t *testing.T) {
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, _ *rand.Rand) {
		l, sets := newLayout(newGraph(n, ends)), newVertexSets(n)
		for _, e := range ends {
			sets.Join(e[0], e[1])
		}
		if sets.Count != len(l.Parts) {
			t.Errorf("%d sets, want %d", sets.Count, len(l.Parts))
		}
		for v := range int32(n) {
			for w := range v {
				if got, want := sets.Top(v) == sets.Top(w), l.Part[v] == l.Part[w]; got != want {
					t.Errorf("%d and %d in one set: %v, want %v", v, w, got, want)
				}
			}
		}
	})
}
