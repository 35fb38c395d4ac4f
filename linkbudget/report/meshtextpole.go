package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

// effectWords say an effect; of is a count of poles or pairs with its noun.
type effectWords struct{ cutOff, joined, redundant string }

var (
	gainWords = effectWords{"%s newly joined to a gateway", "%s with a first route", "%s with a second, disjoint route"}
	lossWords = effectWords{"%s cut off from every gateway", "%s left without a route",
		"%s left with one route instead of two disjoint ones"}
)

// effectText is "" for an effect of nothing.
func effectText(m *mesh.Mesh, e mesh.Effect, words effectWords) string {
	var parts []string
	if e.CutOff > 0 {
		names := listText(poleNames(m, e.Vertices), 12)
		if len(e.Vertices) > 12 || e.CutOff > len(e.Vertices) {
			names = strings.Join(poleNames(m, e.Vertices[:min(12, len(e.Vertices))]), ", ") + " and others"
		}
		text := fmt.Sprintf(words.cutOff, count(e.CutOff, "pole"))
		if len(m.Gateways) == 0 {
			text = strings.NewReplacer("a gateway", "a larger part", "every gateway", "the larger part").Replace(text)
		}
		parts = append(parts, text+" ("+names+")")
	}
	if e.JoinedPairs > 0 {
		parts = append(parts, fmt.Sprintf(words.joined, count(e.JoinedPairs, "pair")))
	}
	if e.RedundantPairs > 0 {
		parts = append(parts, fmt.Sprintf(words.redundant, count(e.RedundantPairs, "pair")))
	}
	return strings.Join(parts, "; ")
}

// writeGains tells what proposed poles add to the standing ones, each alone and all
// together.
func writeGains(out io.Writer, m *mesh.Mesh) {
	var poles []int
	var nothing []string
	for v := range m.Stations {
		switch s := &m.Stations[v]; {
		case s.Gain == nil:
		case effectText(m, *s.Gain, gainWords) == "":
			nothing = append(nothing, s.Station.Name)
		default:
			poles = append(poles, v)
		}
	}
	proposed := len(poles) + len(nothing)
	if proposed == 0 || proposed == len(m.Stations) {
		return // nobody stands to whom they could add
	}
	sortByEffect(poles, func(v int) mesh.Effect { return *m.Stations[v].Gain })
	fmt.Fprintln(out, "What proposed poles add to the standing ones")
	if proposed > 1 {
		text := cmp.Or(effectText(m, *m.Together, gainWords), "nothing")
		writeWrapped(out, "  ", fmt.Sprintf("All %d together: %s.", proposed, text))
	}
	writeMost(out, "  ", poles, mostRows, jsonListsAll, func(v int) {
		writeWrapped(out, "  ", m.Stations[v].Station.Name+" alone: "+effectText(m, *m.Stations[v].Gain, gainWords)+".")
	})
	if len(nothing) > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Nothing alone: %s.", listText(nothing, mostNames)))
	}
	fmt.Fprintln(out)
}

// writeFailures tells what the failure of each standing pole costs the others.
func writeFailures(out io.Writer, m *mesh.Mesh) {
	var costly []int
	harmless := 0
	for v := range m.Stations {
		switch s := &m.Stations[v]; {
		case s.Status != plan.Standing:
		case s.Loss.CutOff+s.Loss.JoinedPairs+s.Loss.RedundantPairs > 0:
			costly = append(costly, v)
		default:
			harmless++
		}
	}
	if len(costly)+harmless == 0 {
		return
	}
	sortByEffect(costly, func(v int) mesh.Effect { return m.Stations[v].Loss })
	head := "What the failure of a standing pole costs the others"
	if m.Together != nil {
		head += ", with the proposed poles there"
	}
	writeWrapped(out, "", head)
	writeMost(out, "  ", costly, mostRows, jsonListsAll, func(v int) {
		writeWrapped(out, "  ", m.Stations[v].Station.Name+": "+effectText(m, m.Stations[v].Loss, lossWords)+".")
	})
	if harmless > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Nothing: %s.", count(harmless, "pole")))
	}
	fmt.Fprintln(out)
}

func sortByEffect(poles []int, of func(v int) mesh.Effect) {
	slices.SortStableFunc(poles, func(x, y int) int {
		a, b := of(x), of(y)
		return cmp.Or(b.CutOff-a.CutOff, b.JoinedPairs-a.JoinedPairs, b.RedundantPairs-a.RedundantPairs)
	})
}

// writeLoad tells the traffic on the air, the busiest place first.
func writeLoad(out io.Writer, m *mesh.Mesh) {
	if m.AirtimeS == 0 {
		writeWrapped(out, "", "Channel load: --packets-per-hour shows it.")
		fmt.Fprintln(out)
		return
	}
	fmt.Fprintln(out, "Channel load, the busiest place first")
	writeWrapped(out, "  ", fmt.Sprintf("%g packets an hour from every pole, %.0f ms on the air each",
		m.Options.PacketsPerHour, m.AirtimeS*1e3))
	poles := make([]int, len(m.Stations))
	for v := range poles {
		poles[v] = v
	}
	slices.SortStableFunc(poles, func(x, y int) int {
		return cmp.Compare(m.Stations[y].Load.RepeatAllUtilisation, m.Stations[x].Load.RepeatAllUtilisation)
	})
	fmt.Fprintf(out, "  %s %5s  %-24s  %s\n", pad("", endWidth), "", "own packets", "everyone repeats all")
	fmt.Fprintf(out, "  %s %5s  %7s %8s %7s  %7s %7s\n", pad("pole", endWidth), "heard", "busy", "lost", "duty", "busy",
		"duty")
	const mostLoads = 15
	cut := cutter(m)
	writeMost(out, "  ", poles, mostLoads, jsonListsAll, func(v int) {
		l := m.Stations[v].Load
		fmt.Fprintf(out, "  %s %5.1f  %7s %8s %7s  %7s %7s\n", pad(cut(m.Stations[v].Station.Name), endWidth), l.Heard,
			share(l.DirectUtilisation), share(l.DirectCollision), share(l.DirectDuty),
			share(l.RepeatAllUtilisation), share(l.RepeatAllDuty))
	})
	writeWrapped(out, "  ", "heard: other poles audible there; busy: share of the time, beyond 100 % there is none left; "+
		"lost: packets lost to others, sent at random times without listening first; duty: the pole's own time on the air")
	writeWrapped(out, "  ", "How many messages are lost when everyone repeats depends on how long each waits before: "+
		"not told.")
	writeFar(out, m)
	writeDuty(out, m)
	fmt.Fprintln(out)
}

// writeFar tells the place where most is heard while the air carries far.
func writeFar(out io.Writer, m *mesh.Mesh) {
	p := slices.MaxFunc(m.Stations, func(a, b mesh.Pole) int {
		return cmp.Compare(a.Load.Far[0].Heard, b.Load.Far[0].Heard)
	})
	tenth, hundredth := p.Load.Far[0], p.Load.Far[1]
	writeWrapped(out, "  ", fmt.Sprintf("While layers of air carry far, most is heard at %s: of the poles within %g km "+
		"%.1f for %g %% of the time and %.1f for %g %%, in place of %.1f; busy with own packets %s and %s, when everyone "+
		"repeats all %s and %s.", p.Station.Name, m.Options.RangeM/1e3, tenth.Heard, mesh.FarPercents[0], hundredth.Heard,
		mesh.FarPercents[1], p.Load.Heard, share(tenth.DirectUtilisation), share(hundredth.DirectUtilisation),
		share(tenth.RepeatAllUtilisation), share(hundredth.RepeatAllUtilisation)))
}

// writeDuty compares the poles' own time on the air with the limit of the band.
func writeDuty(out io.Writer, m *mesh.Mesh) {
	var limit float64
	direct, repeatAll, limited := 0, 0, 0
	for v := range m.Stations {
		l := m.Stations[v].Load
		if l.DutyLimit == 0 {
			continue
		}
		limited++
		limit = l.DutyLimit
		if l.DirectDuty > l.DutyLimit {
			direct++
		}
		if l.RepeatAllDuty > l.DutyLimit {
			repeatAll++
		}
	}
	if limited == 0 {
		writeWrapped(out, "  ", "No duty limit to compare with: no band chosen, or its table states none; check locally.")
		return
	}
	writeWrapped(out, "  ", fmt.Sprintf("Duty limit of the band's table %s: beyond it %d of %d poles with their own "+
		"packets, %d when everyone repeats all; check locally.", share(limit), direct, limited, repeatAll))
}

// share writes a fraction as percent with two digits that count.
func share(v float64) string {
	switch p := 100 * v; {
	case p == 0:
		return "0 %"
	case p < 0.01:
		return "<0.01 %"
	case p < 10:
		return fmt.Sprintf("%.2f %%", p)
	case p >= 99.5 && p < 100:
		return ">99 %"
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// writeMeshRules names the poles beyond the table of the band.
func writeMeshRules(out io.Writer, m *mesh.Mesh) {
	writeWrapped(out, "", RulesText(string(m.Options.Band), MeshBeyondRules(m)))
	fmt.Fprintln(out)
}

const noBandText = "No band chosen: --band shows the rules, such as --band eu868 or us915."

// RulesText says in a sentence what the table of a band, "" for none, says of poles, of which
// those named are beyond it.
func RulesText(band string, beyond []string) string {
	if band == "" {
		return noBandText
	}
	text := "no pole is beyond the table as set up here"
	if len(beyond) > 0 {
		text = "beyond the table as set up here: " + listText(beyond, mostNames)
	}
	return fmt.Sprintf("Rules of %s: %s; what the table says is not the law: check locally.", band, text)
}

// MeshBeyondRules names the poles that the band's table does not allow as they
// are set up, and the links with a channel of their own that it does not.
// It panics over nil, and over a mesh put together by hand that contradicts itself.
func MeshBeyondRules(m *mesh.Mesh) []string {
	var names []string
	for i := range m.Stations {
		if s := &m.Stations[i]; s.Rules != nil && s.Rules.Exceeds() {
			names = append(names, s.Station.Name)
		}
	}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		if a, b := &m.Stations[p.A], &m.Stations[p.B]; p.BeyondRules &&
			(a.Rules == nil || !a.Rules.Exceeds()) && (b.Rules == nil || !b.Rules.Exceeds()) {
			names = append(names, "link "+a.Station.Name+" - "+b.Station.Name)
		}
	}
	return names
}
