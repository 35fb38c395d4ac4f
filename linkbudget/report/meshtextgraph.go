package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
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
func writeWeakness(out io.Writer, m *mesh.Mesh) {
	fmt.Fprintln(out, "Where the mesh is weak")
	line := func(format string, args ...any) { writeWrapped(out, "  ", fmt.Sprintf(format, args...)) }
	unknown := 0
	for i := range m.Pairs {
		if m.Pairs[i].Verdict == linkbudget.Unknown {
			unknown++
		}
	}
	if unknown > 0 {
		line("%d of %d pairs could not be judged, as terrain is missing: all that follows counts them as not reaching.",
			unknown, len(m.Pairs))
	}
	if len(m.Alone) > 0 {
		line("Poles without a link that reaches: %s.", listText(poleNames(m, m.Alone), mostNames))
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

func writeParts(out io.Writer, m *mesh.Mesh) {
	if len(m.Components) <= 1 {
		writeWrapped(out, "  ", "All poles are in one part.")
		return
	}
	writeWrapped(out, "  ", fmt.Sprintf("The mesh falls into %d parts:", len(m.Components)))
	const mostParts = 10
	writeMost(out, "    ", m.Components, mostParts, "", func(part []int) {
		writeWrapped(out, "    ", fmt.Sprintf("%d: %s", len(part), listText(poleNames(m, part), mostNames)))
	})
}

// writeRoutes lists the route of every pole, the least probable first, and the most
// probable way where that is another one.
func writeRoutes(out io.Writer, m *mesh.Mesh) {
	if len(m.Gateways) == 0 {
		return
	}
	fmt.Fprintln(out, "Routes to a gateway, the weakest first")
	told := func(v int) *mesh.Route { return cmp.Or(m.Stations[v].Route, m.Stations[v].Likelier) }
	var poles, without []int
	for v := range m.Stations {
		switch r := told(v); {
		case r == nil:
			without = append(without, v)
		case len(r.Pairs) > 0:
			poles = append(poles, v)
		}
	}
	slices.SortStableFunc(poles, func(x, y int) int { return cmp.Compare(told(x).Probability, told(y).Probability) })
	fmt.Fprintf(out, "  %s %4s %4s %6s  %s\n", pad("pole", endWidth), "hops", "P", "sent", "way")
	doubtful, others := false, false
	cut := cutter(m)
	writeMost(out, "  ", poles, mostRows, jsonListsAll, func(v int) {
		s := &m.Stations[v]
		if s.Route == nil {
			doubtful = true
			writeWay(out, m, cut(s.Station.Name), "-", s.Likelier, "in doubt: ")
			return
		}
		writeWay(out, m, cut(s.Station.Name), fmt.Sprint(s.Hops()), s.Route, "")
		if o := s.Likelier; o != nil && linkbudget.PercentText(o.Probability) != linkbudget.PercentText(s.Route.Probability) {
			others = true
			writeWay(out, m, "", "", o, "or: ")
		}
	})
	if len(without) > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Without any route: %s.", listText(poleNames(m, without), mostNames)))
	}
	legend := "way: over links that reach, of the fewest transmissions, of several such the most probable; " +
		"P: chance that every link of it closes; sent: transmissions per packet, repeated until each link is passed"
	if doubtful {
		legend += "; in doubt: no way over links that reach, so the most probable one there is"
	}
	if others {
		legend += "; or: the most probable way, longer or over links that do not reach"
	}
	writeWrapped(out, "  ", legend)
	fmt.Fprintln(out)
}

func writeWay(out io.Writer, m *mesh.Mesh, pole, hops string, r *mesh.Route, mark string) {
	sent := "-"
	if r.Transmissions > 0 && r.Transmissions < 1000 {
		sent = fmt.Sprintf("%.2f", r.Transmissions)
	}
	head := fmt.Sprintf("  %s %4s %3s%% %6s  ", pad(pole, endWidth), hops, linkbudget.PercentText(r.Probability), sent)
	writeWrapped(out, head, mark+strings.Join(poleNames(m, r.Poles[1:]), " > "))
}
