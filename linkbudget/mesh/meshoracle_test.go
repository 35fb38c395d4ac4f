package mesh

import (
	"fmt"
	"math"
	"math/bits"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	gonumpath "gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh/internal/brute"
	"github.com/polereach/polereach/linkbudget/plan"
)

// routes compares every route with gonum's: all shortest ones, the most probable of
// them, and the most probable way over any link. It counts ties and others.
func (o *oracle) routes() (ties, likelier int) {
	m := o.m
	for v := range m.Stations {
		s := &m.Stations[v]
		least, best, likeliest := math.Inf(1), 0.0, math.Inf(1)
		for _, g := range m.Gateways {
			ways, sent := gonumpath.DijkstraAllFrom(simple.Node(v), o.solid).AllTo(int64(g))
			if v == g {
				least, best = 0, 1
			}
			if sent < least {
				least, best = sent, 0
			}
			for _, way := range ways {
				product := 1.0
				for k := 1; k < len(way); k++ {
					product *= o.probability(way[k-1].ID(), way[k].ID())
				}
				if sent == least {
					best = max(best, product)
				}
			}
			ties += max(len(ways)-1, 0)
			likeliest = min(likeliest, gonumpath.DijkstraFrom(simple.Node(v), o.any).WeightTo(int64(g)))
		}
		switch {
		case math.IsInf(least, 1) != (s.Route == nil):
			o.t.Errorf("%d: route %+v, gonum %g", v, s.Route, least)
		case s.Route != nil:
			var sent float64
			for k, i := range s.Route.Pairs {
				p := &m.Pairs[i]
				sent += math.Round(1000 / p.Delivery)
				from, to := int32(s.Route.Poles[k]), int32(s.Route.Poles[k+1])
				if !p.Solid() || min(from, to) != min(p.A, p.B) || max(from, to) != max(p.A, p.B) {
					o.t.Errorf("%d: link %d of the way is %d - %d, %s", v, k, p.A, p.B, p.Verdict)
				}
			}
			if sent != least || math.Abs(s.Route.Probability-best) > 1e-9 || s.Hops() != len(s.Route.Poles)-1 {
				o.t.Errorf("%d: %+v, %g thousandths, gonum %g of probability %g", v, s.Route, sent, least, best)
			}
		}
		if s.Likelier != nil {
			likelier++
			var sum float64
			for _, i := range s.Likelier.Pairs {
				sum += likelierWeight(m.Pairs[i].Probability)
			}
			if math.Abs(sum-likeliest) > 1e-9 || s.Likelier.Probability <= best+0.005 {
				o.t.Errorf("%d: most probable way %+v, %g, gonum %g; the route has %g", v, s.Likelier, sum, likeliest, best)
			}
		} else if most := math.Exp(-likeliest); most > best+0.005 { // less than it is: each link costs
			o.t.Errorf("%d: no way more probable, gonum %g against %g", v, most, best)
		}
	}
	return ties, likelier
}

// load sums up from the paths, each direction by its own margin. It returns the
// largest share of a place that is heard by those whom it does not hear.
func (o *oracle) load() (oneWay float64) {
	m := o.m
	for v := range m.Stations {
		own := 4 * m.AirtimeS
		size := func(w int) float64 { return float64(len(m.Components[m.Stations[w].Component])) }
		heard, direct, repeats := 0.0, own, own*size(v)
		for ends, c := range o.path {
			if c.Verdict == linkbudget.Unknown || ends[0] != v && ends[1] != v {
				continue
			}
			from, margin, back := ends[0], c.Forward.MarginDB, c.Backward.MarginDB
			if v == ends[0] {
				from, margin, back = ends[1], back, margin
			}
			chance := func(margin linkbudget.DB) float64 { return math.Erfc(-float64(margin/c.Doubt.SigmaDB)/math.Sqrt2) / 2 }
			heard += chance(margin)
			direct += own * chance(margin)
			repeats += own * size(from) * chance(margin)
			oneWay = max(oneWay, chance(margin)-chance(back))
		}
		l := m.Stations[v].Load
		got, want := [3]float64{l.Heard, l.DirectS, l.RepeatAllS}, [3]float64{heard, direct, repeats}
		for k := range got {
			if !(math.Abs(got[k]-want[k]) <= 1e-6*(1+want[k])) {
				o.t.Errorf("load at %d: poles heard, s, s with repeats %v, want %v", v, got, want)
			}
		}
	}
	return oneWay
}

// parts are gonum's components of the solid links among some poles.
func (o *oracle) parts(keep func(v int) bool) map[int]int {
	g := simple.NewUndirectedGraph()
	for v := range o.m.Stations {
		if keep(v) {
			g.AddNode(simple.Node(v))
		}
	}
	for edges := o.solid.Edges(); edges.Next(); {
		if e := edges.Edge(); keep(int(e.From().ID())) && keep(int(e.To().ID())) {
			g.SetEdge(e)
		}
	}
	part := map[int]int{}
	for k, nodes := range topo.ConnectedComponents(g) {
		for _, n := range nodes {
			part[int(n.ID())] = k
		}
	}
	return part
}

// effect compares what poles have less without others: of whom, before and after, by
// gonum's components; second routes by taking every vertex and edge away.
func (o *oracle) effect(what string, got Effect, of, after, before func(v int) bool) {
	m := o.m
	most, least := o.parts(after), o.parts(before)
	ofBits := func(keep func(v int) bool) brute.Graph {
		b := brute.New(o.bits.N, nil)
		for v := range b.N {
			for w := range b.N {
				if keep(v) && keep(w) && o.bits.Edge[v]>>w&1 == 1 {
					b.Edge[v] |= 1 << w
				}
			}
		}
		return b
	}
	_, _, twoMost := ofBits(after).Pairs(-1)
	_, _, twoLeast := ofBits(before).Pairs(-1)
	var want Effect
	sizes := map[int]int{} // of the pieces that are left, poles that count
	for v := range m.Stations {
		if !of(v) {
			continue
		}
		sizes[least[v]]++
		var others uint32
		for w := range v {
			if of(w) {
				others |= 1 << w
				if most[v] == most[w] && least[v] != least[w] {
					want.JoinedPairs++
				}
			}
		}
		want.RedundantPairs += bits.OnesCount32(twoMost[v]&others) - bits.OnesCount32(twoLeast[v]&others)
	}
	on := func(part map[int]int, keep func(v int) bool, v int) bool {
		return slices.ContainsFunc(m.Gateways, func(g int) bool { return keep(g) && part[g] == part[v] })
	}
	for v := range m.Stations {
		if !of(v) {
			continue
		}
		lost := on(most, after, v) && !on(least, before, v)
		if m.Gateways == nil { // not in the largest piece of its part
			best := v
			for w := range m.Stations {
				larger := sizes[least[w]] - sizes[least[best]]
				if of(w) && most[w] == most[v] && (larger > 0 || larger == 0 && w < best) {
					best = w
				}
			}
			lost = least[v] != least[best]
		}
		if lost {
			want.CutOff++
			want.Vertices = append(want.Vertices, v)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		o.t.Errorf("%s, gateways %v (-want +got):\n%s", what, m.Gateways, diff)
	}
}

// Sixty plans, with and without drawn links and gateways, poles of unequal power:
// what is told of the mesh is what gonum and removal find in the single paths.
func TestMeshOfSixtyPlans(t *testing.T) {
	ties, likelier, oneWay, drawn, effects := 0, 0, 0.0, 0, 0
	for seed := range uint64(60) {
		o := newOracle(t, seed)
		m := o.m
		a, b := o.routes()
		ties, likelier, oneWay = ties+a, likelier+b, max(oneWay, o.load())
		all := func(int) bool { return true }
		stands := func(v int) bool { return m.Stations[v].Status == plan.Standing }
		for v := range m.Stations {
			s := &m.Stations[v]
			others := func(w int) bool { return w != v }
			o.effect(fmt.Sprint("without ", v), s.Loss, others, all, others)
			if s.Gain != nil {
				o.effect(fmt.Sprint("with ", v), *s.Gain, stands, func(w int) bool { return stands(w) || w == v }, stands)
				effects += s.Gain.JoinedPairs
			}
		}
		if m.Together != nil {
			o.effect("with all", *m.Together, stands, all, stands)
		}
		if want := len(m.Plan.Links); want > 0 {
			drawn++
			if len(m.Pairs) <= want || m.WantedCount != want {
				t.Errorf("%d pairs, %d wanted of %d links", len(m.Pairs), m.WantedCount, want)
			}
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	t.Logf("%d ties, %d ways more probable, heard but not answered at most %.2f, %d with links, %d pairs joined",
		ties, likelier, oneWay, drawn, effects)
	if ties < 20 || likelier < 20 || oneWay < 0.5 || drawn != 30 || effects < 20 {
		t.Error("too little variety to say anything")
	}
}
