package mesh

import (
	"context"
	"fmt"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh/internal/brute"
	"github.com/polereach/polereach/linkbudget/plan"
)

// drawnMesh assembles a mesh of drawn pairs: no terrain, only what is made of them.
func drawnMesh(t *testing.T, n int, ends [][2]int32, r *rand.Rand, gateways int) *Mesh {
	t.Helper()
	p := &plan.Plan{}
	j := &job{p: p, opt: Options{}.withDefaults()}
	for v := range n {
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprint("p", v), Status: plan.Status(r.IntN(3) / 2)})
	}
	for _, v := range r.Perm(n)[:min(gateways, n)] {
		j.opt.Gateways = append(j.opt.Gateways, p.Stations[v].Name)
	}
	j.stations = make([]linkbudget.Station, n)
	pairs := make([]Pair, len(ends))
	for i, e := range ends {
		pairs[i] = Pair{A: min(e[0], e[1]), B: max(e[0], e[1]), Link: -1}
		pairs[i].Delivery = 0.5 + r.Float64()/2
		switch d := &pairs[i]; r.IntN(8) {
		case 0:
			d.Verdict = linkbudget.Unknown
		case 1:
			d.Verdict, d.Probability = linkbudget.Short, r.Float64()/2
		case 2:
			d.Verdict, d.Probability = linkbudget.Marginal, 0.5+0.4*r.Float64()
		default:
			d.Verdict, d.Probability = linkbudget.Reaches, 0.9+0.1*r.Float64()
		}
	}
	slices.SortFunc(pairs, inOrder)
	m, err := j.assemble(context.Background(), pairs, nil)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// matrixOf is the matrix of the pairs that has accepts, among the poles of keep.
func matrixOf(m *Mesh, has func(*Pair) bool, keep func(v int) bool) brute.Graph {
	b := brute.New(len(m.Stations), nil)
	for i := range m.Pairs {
		if p := &m.Pairs[i]; has(p) && keep(int(p.A)) && keep(int(p.B)) {
			b.Add(p.A, p.B)
		}
	}
	return b
}

func TestMeshAgainstRemoval(t *testing.T) {
	gained, more := 0, 0
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, r *rand.Rand) {
		m := drawnMesh(t, n, ends, r, r.IntN(3))
		solid := matrixOf(m, (*Pair).Solid, func(int) bool { return true })
		for v, s := range m.Stations {
			var near []int
			for w := range m.Stations {
				if solid.Edge[v]>>w&1 == 1 {
					near = append(near, w)
				}
			}
			if !slices.Equal(s.Neighbours, near) || slices.Contains(m.Alone, v) != (near == nil) {
				t.Errorf("neighbours of %d: %v, want %v, alone %v", v, s.Neighbours, near, m.Alone)
			}
			checkEffect(t, solid, v, m.Gateways, s.Loss)
			if (s.Gain != nil) != (s.Status == plan.Proposed) {
				t.Errorf("gain of %d is %v, its status %v", v, s.Gain, s.Status)
			}
			if s.Gain != nil {
				// What is gained with it is what is lost without it again.
				with := matrixOf(m, (*Pair).Solid, func(w int) bool { return w == v || m.Stations[w].Status == plan.Standing })
				gateways := slices.DeleteFunc(slices.Clone(m.Gateways), func(w int) bool {
					return w != v &&
						m.Stations[w].Status != plan.Standing
				})
				if m.Gateways == nil {
					gateways = nil
				} else if gateways == nil {
					gateways = []int{}
				}
				checkEffect(t, with, v, gateways, *s.Gain)
				gained += s.Gain.CutOff
			}
		}
		more += checkTogether(t, m, solid)
		checkConnected(t, m)
		checkRanking(t, m, solid)
	})
	if gained == 0 {
		t.Error("no proposed pole of any mesh gained anything: the test says nothing")
	}
	if more == 0 {
		t.Error("nowhere is all together more than the sum: the test says nothing")
	}
}

func checkEffect(t *testing.T, b brute.Graph, v int, gateways []int, got Effect) {
	t.Helper()
	joined, redundant, two := b.Pairs(-1)
	after, left, _ := b.Pairs(v)
	poles := b.CutOff(v, gateways)
	want := Effect{
		CutOff: len(poles), Vertices: poles,
		JoinedPairs:    joined - bits.OnesCount32(b.Reached(v, -1)) + 1 - after,
		RedundantPairs: redundant - bits.OnesCount32(two[v]) - left,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("without %d, gateways %v (-want +got):\n%s", v, gateways, diff)
	}
}

// checkTogether holds what all proposed poles add against the standing poles before
// and after, pair by pair, and says whether it is more than the sum of each alone.
func checkTogether(t *testing.T, m *Mesh, all brute.Graph) (more int) {
	t.Helper()
	if m.Together == nil {
		if slices.ContainsFunc(m.Stations, func(s Pole) bool { return s.Status == plan.Proposed }) {
			t.Error("proposed poles add nothing together")
		}
		return 0
	}
	stands := func(v int) bool { return m.Stations[v].Status == plan.Standing }
	before := matrixOf(m, (*Pair).Solid, stands)
	_, _, twoAfter := all.Pairs(-1)
	_, _, twoBefore := before.Pairs(-1)
	var want Effect
	for v := range m.Stations {
		for w := range v {
			if !stands(v) || !stands(w) {
				continue
			}
			want.JoinedPairs += int(all.Reached(v, -1)>>w&1 - before.Reached(v, -1)>>w&1)
			want.RedundantPairs += int(twoAfter[v]>>w&1 - twoBefore[v]>>w&1)
		}
	}
	on := func(b brute.Graph, v int, counts func(int) bool) bool {
		return slices.ContainsFunc(m.Gateways, func(g int) bool { return counts(g) && b.Reached(v, -1)>>g&1 == 1 })
	}
	for v := range m.Stations {
		if !stands(v) {
			continue
		}
		newly := on(all, v, func(int) bool { return true }) && !on(before, v, stands)
		if m.Gateways == nil { // not in the largest of the pieces that are now one
			best, size := v, 0
			for w := range m.Stations {
				n := bits.OnesCount32(before.Reached(w, -1))
				if stands(w) && all.Reached(v, -1)>>w&1 == 1 && n > size {
					best, size = w, n
				}
			}
			newly = before.Reached(best, -1)>>v&1 == 0
		}
		if newly {
			want.CutOff++
			want.Vertices = append(want.Vertices, v)
		}
	}
	if diff := cmp.Diff(want, *m.Together); diff != "" {
		t.Errorf("all proposed poles, gateways %v (-want +got):\n%s", m.Gateways, diff)
	}
	for _, s := range m.Stations {
		if s.Gain != nil {
			want.JoinedPairs -= s.Gain.JoinedPairs
		}
	}
	return max(want.JoinedPairs, 0)
}

// checkConnected tries the definition: everything on a gateway or together.
func checkConnected(t *testing.T, m *Mesh) {
	t.Helper()
	want := linkbudget.Short
	for _, v := range []linkbudget.Verdict{linkbudget.Marginal, linkbudget.Unknown, linkbudget.Reaches} {
		b := matrixOf(m, func(p *Pair) bool { return rank(p.Verdict) <= rank(v) }, func(int) bool { return true })
		var all uint32
		for _, g := range m.Gateways {
			all |= b.Reached(g, -1)
		}
		if m.Gateways == nil {
			all = b.Reached(0, -1)
		}
		if all == 1<<b.N-1 {
			want = v
		}
	}
	if len(m.Stations) < 2 {
		want = linkbudget.Unknown // nothing to be together with
	}
	if m.Connected != want || m.Verdict != want {
		t.Errorf("connected %q, verdict %q, want %q", m.Connected, m.Verdict, want)
	}
}

func checkRanking(t *testing.T, m *Mesh, solid brute.Graph) {
	t.Helper()
	if len(m.Ranking) != m.Reached {
		t.Errorf("%d links ranked, %d reach", len(m.Ranking), m.Reached)
	}
	joined, redundant, _ := solid.Pairs(-1)
	place := func(r LinkRank) [4]float64 {
		return [4]float64{float64(-roleOrder[r.Role]), float64(r.JoinedPairs), float64(r.RedundantPairs), r.Detour}
	}
	var bridges []int
	for i, r := range m.Ranking {
		p := m.Pairs[r.Pair]
		less := solid.Without(int(p.A), int(p.B))
		afterJoined, afterTwo, _ := less.Pairs(-1)
		want := RoleRedundant
		switch {
		case afterJoined < joined:
			want = RoleBridge
			bridges = append(bridges, r.Pair)
		case afterTwo < redundant:
			want = RoleNarrow
		case r.Detour > 0: // the figure itself: TestRoutesAgainstEveryPath
			want = RoleFaster
		}
		if r.JoinedPairs != joined-afterJoined || r.RedundantPairs != redundant-afterTwo || r.Role != want {
			t.Errorf("link %d: %+v, want %s, %d and %d pairs", i, r, want, joined-afterJoined, redundant-afterTwo)
		}
		if i > 0 {
			if a, b := place(m.Ranking[i-1]), place(r); slices.Compare(a[:], b[:]) < 0 {
				t.Errorf("rank %d: %v before %v", i, m.Ranking[i-1], r)
			}
		}
	}
	slices.Sort(bridges)
	if !slices.Equal(bridges, m.Bridges) {
		t.Errorf("bridges %v, want %v", m.Bridges, bridges)
	}
}

// Routes say what their links say.
func TestRouteFigures(t *testing.T) {
	likelier := 0
	brute.Random(t, func(t *testing.T, n int, ends [][2]int32, r *rand.Rand) {
		m := drawnMesh(t, n, ends, r, 2)
		for v, s := range m.Stations {
			if s.Route != nil {
				checkRoute(t, m, v, s.Route)
			}
			if s.Likelier != nil {
				checkRoute(t, m, v, s.Likelier)
				likelier++
			}
			if s.Route != nil && (!s.Route.Solid || s.Hops() != len(s.Route.Poles)-1) || s.Route == nil && s.Hops() != -1 {
				t.Errorf("%d: %d hops, route %+v", v, s.Hops(), s.Route)
			}
		}
	})
	if likelier == 0 {
		t.Error("no way more probable than the route told: the test says nothing")
	}
}

func checkRoute(t *testing.T, m *Mesh, v int, route *Route) {
	t.Helper()
	at, probability, delivery, sent, solid := v, 1.0, 1.0, 0.0, true
	for k, i := range route.Pairs {
		p := m.Pairs[i]
		if int(p.A) != at && int(p.B) != at || route.Poles[k] != at {
			t.Fatalf("route %+v does not go on at %d", route, at)
		}
		at = int(p.A+p.B) - at
		probability, delivery, sent = probability*p.Probability, delivery*p.Delivery, sent+1/p.Delivery
		solid = solid && p.Solid()
	}
	want := &Route{Gateway: at, Poles: route.Poles, Pairs: route.Pairs, Solid: solid,
		Probability: probability, Delivery: delivery, Transmissions: sent}
	if diff := cmp.Diff(want, route); diff != "" || !slices.Contains(m.Gateways, at) {
		t.Errorf("route from %d (-want +got):\n%s", v, diff)
	}
}

// inOrder sorts pairs as in Mesh.Pairs.
func inOrder(x, y Pair) int {
	if x.Link != y.Link {
		return int(uint32(x.Link)) - int(uint32(y.Link)) // -1 comes last
	}
	if x.A != y.A {
		return int(x.A - y.A)
	}
	return int(x.B - y.B)
}
