package report_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// changedPlans are a plan around the cone and the same with one thing changed; of
// three changes in a row one is a pole that is gone, one a pole that is new.
func changedPlans(seed uint64) (before, after *plan.Plan, opt mesh.Options) {
	r := rand.New(rand.NewPCG(seed, 7))
	p := &plan.Plan{}
	for i := range 6 + r.IntN(4) {
		height, tx := 3+10*r.Float64(), -8+20*r.Float64()
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprint("p", i), HeightM: &height, TxDBm: &tx,
			At: orb.Point{9.87 + 0.17*r.Float64(), 49.98 + 0.04*r.Float64()}})
	}
	order := r.Perm(len(p.Stations))
	for k := 0; seed%2 == 1 && k < 3; k++ {
		p.Links = append(p.Links, plan.Link{From: p.Stations[order[k]].Name, To: p.Stations[order[k+1]].Name,
			Required: k < 2})
	}
	opt = mesh.Options{SiteOptions: mesh.SiteOptions{PacketsPerHour: 6,
		Settings: plan.Settings{Station: linkbudget.DefaultStation("", 8),
			Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1},
				WantPercent: 80}}}}
	if seed%5 > 0 {
		opt.Gateways = []string{p.Stations[order[0]].Name}
	}
	q := &plan.Plan{Stations: slices.Clone(p.Stations), Links: slices.Clone(p.Links)}
	gone := order[len(order)-1] // no end of a drawn link
	switch {
	case seed%3 == 0:
		q.Stations = slices.Delete(q.Stations, gone, gone+1)
	case seed%3 == 1:
		p.Stations = slices.Delete(slices.Clone(p.Stations), gone, gone+1)
	case seed%2 == 1:
		q.Links[0].Required, q.Links[2].Required = false, true
	default:
		height := 1.5 + 30*float64(seed/2%2)
		q.Stations[gone].HeightM = &height
	}
	return p, q, opt
}

// graphOf is the graph of the links that reach, by gonum; nodes are numbers of names.
func graphOf(m *mesh.Mesh, number func(string) int64) *simple.UndirectedGraph {
	g := simple.NewUndirectedGraph()
	for i := range m.Stations {
		g.AddNode(simple.Node(number(m.Stations[i].Station.Name)))
	}
	for i := range m.Pairs {
		if p := &m.Pairs[i]; p.Solid() {
			g.SetEdge(simple.Edge{F: simple.Node(number(m.Stations[p.A].Station.Name)),
				T: simple.Node(number(m.Stations[p.B].Station.Name))})
		}
	}
	return g
}

// counted tells poles, parts, pairs without a route and pairs with one but not two
// disjoint ones among some poles: two are left together by the loss of any other
// vertex and of any edge (Menger).
func counted(g *simple.UndirectedGraph, both []int64) [4]int {
	c := [4]int{len(both)}
	for _, part := range topo.ConnectedComponents(g) {
		if slices.ContainsFunc(both, func(v int64) bool {
			return slices.ContainsFunc(part,
				func(n graph.Node) bool { return n.ID() == v })
		}) {
			c[1]++
		}
	}
	joined := func(v, w int64) bool { return topo.PathExistsIn(g, simple.Node(v), simple.Node(w)) }
	for i, v := range both {
		for _, w := range both[:i] {
			if !joined(v, w) {
				c[2]++
				continue
			}
			two := true
			for edges := slices.Collect(edgesOf(g)); len(edges) > 0 && two; edges = edges[1:] {
				e := edges[0]
				g.RemoveEdge(e[0], e[1])
				two = joined(v, w)
				g.SetEdge(simple.Edge{F: simple.Node(e[0]), T: simple.Node(e[1])})
			}
			for nodes := g.Nodes(); nodes.Next() && two; {
				if x := nodes.Node().ID(); x != v && x != w {
					var edges [][2]int64
					for e := range edgesOf(g) {
						if e[0] == x || e[1] == x {
							edges = append(edges, e)
							g.RemoveEdge(e[0], e[1])
						}
					}
					two = joined(v, w)
					for _, e := range edges {
						g.SetEdge(simple.Edge{F: simple.Node(e[0]), T: simple.Node(e[1])})
					}
				}
			}
			if !two {
				c[3]++
			}
		}
	}
	return c
}

func edgesOf(g *simple.UndirectedGraph) func(yield func([2]int64) bool) {
	var list [][2]int64
	for edges := g.Edges(); edges.Next(); {
		list = append(list, [2]int64{edges.Edge().From().ID(), edges.Edge().To().ID()})
	}
	slices.SortFunc(list, func(x, y [2]int64) int { return slices.Compare(x[:], y[:]) })
	return slices.Values(list)
}

// Sixty pairs of plans: both are counted over the poles that both have, every link
// that became worse or better is named as such, and so is one asked for in another way.
func TestDifferencesOfSixtyPlans(t *testing.T) {
	seen := map[string]int{}
	for seed := range uint64(60) {
		before, after, opt := changedPlans(seed)
		var meshes [2]*mesh.Mesh
		var states [2]report.MeshState
		number := func(name string) int64 { return int64(name[1] - '0') }
		var has [2]map[int64]bool
		for i, p := range []*plan.Plan{before, after} {
			m, err := mesh.Check(context.Background(), p, cone{}, opt)
			if err != nil {
				t.Fatal(err)
			}
			meshes[i], states[i], has[i] = m, report.NewMeshState(m), map[int64]bool{}
			for _, s := range m.Stations {
				has[i][number(s.Station.Name)] = true
			}
		}
		d := report.CompareMeshes("x", states[0], states[1])
		var both []int64
		for v := range int64(10) {
			if has[0][v] && has[1][v] {
				both = append(both, v)
			}
		}
		old, now := d.SamePoles.Old, d.SamePoles.New
		for i, got := range [2][4]int{{old.Poles, old.Parts, old.Unjoined, old.Single}, {now.Poles, now.Parts, now.Unjoined,
			now.Single}} {
			if want := counted(graphOf(meshes[i], number), both); got != want {
				t.Errorf("seed %d, side %d: %v, want %v", seed, i, got, want)
			}
		}
		was, is := linksOf(meshes[0]), linksOf(meshes[1])
		var worse, better, asked []string
		for ends, a := range was {
			b, ok := is[ends]
			if !ok {
				continue
			}
			if a.Required != b.Required {
				asked = append(asked, ends)
			}
			percent := func(p *mesh.Pair) string { return linkbudget.PercentText(p.Probability) }
			tenths := func(p *mesh.Pair) string { return fmt.Sprintf("%.1f", p.MarginDB) }
			order := 0.0 // above 0 is worse
			switch {
			case a.Verdict != b.Verdict:
				order = float64(b.Verdict - a.Verdict)
			case math.Abs(a.Probability-b.Probability) > 0.005 && percent(a) != percent(b):
				order = a.Probability - b.Probability
			case math.Abs(float64(a.MarginDB-b.MarginDB)) > 0.05 && tenths(a) != tenths(b):
				order = float64(a.MarginDB - b.MarginDB)
			}
			if order > 0 {
				worse = append(worse, ends)
			} else if order < 0 {
				better = append(better, ends)
			}
		}
		list := func(what string, got int, name func(int) (string, string), want []string) {
			var names []string
			for i := range got {
				from, to := name(i)
				names = append(names, min(from, to)+" "+max(from, to))
			}
			slices.Sort(names)
			slices.Sort(want)
			seen[what] += len(want)
			if diff := cmp.Diff(want, names); diff != "" {
				t.Errorf("seed %d: %s (-want +got):\n%s", seed, what, diff)
			}
		}
		list("worse", len(d.Worse), func(i int) (string, string) { return d.Worse[i].From, d.Worse[i].To }, worse)
		list("better", len(d.Better), func(i int) (string, string) { return d.Better[i].From, d.Better[i].To }, better)
		list("asked", len(d.Asked), func(i int) (string, string) { return d.Asked[i].From, d.Asked[i].To }, asked)
		seen["routes"] += otherRoutes(t, meshes, d)
		var text bytes.Buffer
		if err := report.MeshDifferenceText(&text, []report.MeshDifference{d}); err != nil {
			t.Fatal(err)
		}
		for _, ends := range asked {
			if from, to, _ := strings.Cut(ends, " "); !strings.Contains(text.String(), from+" - "+to) &&
				!strings.Contains(text.String(), to+" - "+from) {
				t.Errorf("seed %d: %s is not named:\n%s", seed, ends, &text)
			}
		}
	}
	t.Log(seen)
	for _, what := range []string{"worse", "better", "asked", "routes"} {
		if seen[what] < 10 {
			t.Errorf("%d %s: too few to say anything", seen[what], what)
		}
	}
}

func linksOf(m *mesh.Mesh) map[string]*mesh.Pair {
	links := map[string]*mesh.Pair{}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		a, b := m.Stations[p.A].Station.Name, m.Stations[p.B].Station.Name
		links[min(a, b)+" "+max(a, b)] = p
	}
	return links
}

// otherRoutes counts the poles whose number of hops changed; each must be listed.
func otherRoutes(t *testing.T, meshes [2]*mesh.Mesh, d report.MeshDifference) (n int) {
	hops := map[string]int{}
	for i := range meshes[0].Stations {
		hops[meshes[0].Stations[i].Station.Name] = meshes[0].Stations[i].Hops()
	}
	for i := range meshes[1].Stations {
		s := &meshes[1].Stations[i]
		if was, ok := hops[s.Station.Name]; ok && was != s.Hops() {
			n++
			listed := false
			for _, c := range d.Poles {
				listed = listed || c.Pole == s.Station.Name
			}
			if !listed {
				t.Errorf("%s has %d hops, had %d, and is not listed", s.Station.Name, s.Hops(), was)
			}
		}
	}
	return n
}
