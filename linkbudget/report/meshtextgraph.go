package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// listText joins names; beyond most it counts.
func listText(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
}

const mostNames, mostPairNames = 25, 12

// writeWeakness tells what the graph of the links that reach looks like.
func writeWeakness(out io.Writer, m *plan.Mesh) {
	fmt.Fprintln(out, "Where the mesh is weak")
	line := func(format string, args ...any) { writeWrapped(out, "  ", fmt.Sprintf(format, args...)) }
	if len(m.Alone) > 0 {
		line("Poles that reach nobody: %s.", listText(poleNames(m, m.Alone), mostNames))
	}
	writeParts(out, m)
	if len(m.CutPoles) > 0 {
		line("Poles whose loss splits the mesh: %s.", listText(poleNames(m, m.CutPoles), mostNames))
	}
	name := func(v int) string { return m.Stations[v].Station.Name }
	if len(m.Bridges) > 0 {
		var names []string
		for _, i := range m.Bridges {
			names = append(names, name(int(m.Pairs[i].A))+" - "+name(int(m.Pairs[i].B)))
		}
		line("Links whose loss splits it: %s.", listText(names, mostNames))
	}
	s := m.SingleRoute
	if len(m.CutPoles)+len(m.Bridges) == 0 && s.Single == 0 {
		line("No single pole or link splits a part.")
	}
	if s.Single > 0 {
		var names []string
		for _, p := range s.Listed {
			names = append(names, name(p[0])+" - "+name(p[1]))
		}
		names = names[:min(len(names), mostPairNames)]
		text := strings.Join(names, ", ")
		if more := s.Single - len(names); more > 0 {
			text += fmt.Sprintf(" and %d more", more)
		}
		line("Pairs without two disjoint routes, %d of %d: %s.", s.Single, s.Pairs, text)
	}
	if s.Unjoined > 0 {
		line("Pairs without any route: %d of %d.", s.Unjoined, s.Pairs)
	}
	fmt.Fprintln(out)
}

func writeParts(out io.Writer, m *plan.Mesh) {
	if len(m.Components) <= 1 {
		writeWrapped(out, "  ", "All poles are in one part.")
		return
	}
	writeWrapped(out, "  ", fmt.Sprintf("The mesh falls into %d parts:", len(m.Components)))
	const mostParts = 10
	for k, part := range m.Components {
		if k == mostParts {
			writeWrapped(out, "    ", fmt.Sprintf("and %d more", len(m.Components)-k))
			break
		}
		writeWrapped(out, "    ", fmt.Sprintf("%d: %s", len(part), listText(poleNames(m, part), mostNames)))
	}
}

// writeRoutes lists hops and the most probable route of every pole, the least
// probable first.
func writeRoutes(out io.Writer, m *plan.Mesh) {
	if len(m.Gateways) == 0 {
		return
	}
	fmt.Fprintln(out, "Routes to a gateway, the weakest first")
	var poles []int
	var without []int
	for v := range m.Stations {
		switch r := m.Stations[v].Route; {
		case r == nil:
			without = append(without, v)
		case len(r.Pairs) > 0:
			poles = append(poles, v)
		}
	}
	slices.SortStableFunc(poles, func(x, y int) int {
		return cmpFloat(m.Stations[x].Route.Probability, m.Stations[y].Route.Probability)
	})
	fmt.Fprintf(out, "  %s %4s %4s %6s  %s\n", pad("pole", endWidth), "hops", "P", "sent", "most probable way")
	for k, v := range poles {
		if k == mostRows {
			writeWrapped(out, "  ", fmt.Sprintf("and %d more: --format json lists all", len(poles)-k))
			break
		}
		s := &m.Stations[v]
		hops, sent := "-", "-"
		if s.Hops >= 0 {
			hops = fmt.Sprint(s.Hops)
		}
		if s.Route.Transmissions > 0 && s.Route.Transmissions < 1000 {
			sent = fmt.Sprintf("%.2f", s.Route.Transmissions)
		}
		writeWrapped(out, fmt.Sprintf("  %s %4s %3s%% %6s  ", pad(s.Station.Name, endWidth), hops, linkbudget.PercentText(s.Route.Probability), sent),
			strings.Join(poleNames(m, s.Route.Poles[1:]), " > "))
	}
	if len(without) > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Without any route: %s.", listText(poleNames(m, without), mostNames)))
	}
	writeWrapped(out, "  ", "hops: over links that reach, - without such a way; P: chance that every link of the way closes; sent: transmissions per packet, repeated until each link is passed")
	fmt.Fprintln(out)
}

func cmpFloat(x, y float64) int {
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}
