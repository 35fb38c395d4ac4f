package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

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
func effectText(m *plan.Mesh, e plan.Effect, words effectWords) string {
	var parts []string
	if e.CutOff > 0 {
		names := listText(poleNames(m, e.Poles), 12)
		if len(e.Poles) > 12 || e.CutOff > len(e.Poles) {
			names = strings.Join(poleNames(m, e.Poles[:min(12, len(e.Poles))]), ", ") + " and others"
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
func writeGains(out io.Writer, m *plan.Mesh) {
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
	sortByEffect(poles, func(v int) plan.Effect { return *m.Stations[v].Gain })
	fmt.Fprintln(out, "What proposed poles add to the standing ones")
	if proposed > 1 {
		text := cmp.Or(effectText(m, *m.Together, gainWords), "nothing")
		writeWrapped(out, "  ", fmt.Sprintf("All %d together: %s.", proposed, text))
	}
	for k, v := range poles {
		if k == mostRows {
			writeWrapped(out, "  ", fmt.Sprintf("and %d more: --format json lists all", len(poles)-k))
			break
		}
		writeWrapped(out, "  ", m.Stations[v].Station.Name+" alone: "+effectText(m, *m.Stations[v].Gain, gainWords)+".")
	}
	if len(nothing) > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Nothing alone: %s.", listText(nothing, mostNames)))
	}
	fmt.Fprintln(out)
}

// writeFailures tells what the failure of each standing pole costs the others.
func writeFailures(out io.Writer, m *plan.Mesh) {
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
	sortByEffect(costly, func(v int) plan.Effect { return m.Stations[v].Loss })
	head := "What the failure of a standing pole costs the others"
	if m.Together != nil {
		head += ", with the proposed poles there"
	}
	writeWrapped(out, "", head)
	for k, v := range costly {
		if k == mostRows {
			writeWrapped(out, "  ", fmt.Sprintf("and %d more: --format json lists all", len(costly)-k))
			break
		}
		text := effectText(m, m.Stations[v].Loss, lossWords)
		writeWrapped(out, "  ", m.Stations[v].Station.Name+": "+text+".")
	}
	if harmless > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("Nothing: %s.", count(harmless, "pole")))
	}
	fmt.Fprintln(out)
}

func sortByEffect(poles []int, of func(v int) plan.Effect) {
	slices.SortStableFunc(poles, func(x, y int) int {
		a, b := of(x), of(y)
		return cmp.Or(b.CutOff-a.CutOff, b.JoinedPairs-a.JoinedPairs, b.RedundantPairs-a.RedundantPairs)
	})
}
