package report

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// MeshDifferenceText writes comparisons for a person: the verdict and what it
// was, what changed of the whole, then the links that are worse, lost, better and
// new, then the routes. The error is that of w.
func MeshDifferenceText(w io.Writer, differences []MeshDifference) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	for i, d := range differences {
		if i > 0 {
			fmt.Fprintln(out)
		}
		writeDifference(out, d)
	}
	writeEnd(w, out, nil, func(out io.Writer) {
		for _, d := range differences {
			writeDifferenceVerdict(out, d)
		}
	})
	return out.Flush()
}

func writeDifferenceVerdict(out io.Writer, d MeshDifference) {
	verdict := strings.ToUpper(d.New.Verdict)
	if d.Old.Verdict != d.New.Verdict {
		verdict += ", was " + d.Old.Verdict
	} else {
		verdict += " as before"
	}
	if d.Old.Connected != d.New.Connected {
		verdict += "; " + connectedText(d) + ": " + d.New.Connected + ", was " + d.Old.Connected
	}
	writeWrapped(out, "", d.Title+": "+verdict)
}

func writeDifference(out io.Writer, d MeshDifference) {
	writeDifferenceVerdict(out, d)
	for _, line := range slices.Concat(changedPoles(d), changedCounts(d), changedAsked(d), changedLoad(d)) {
		writeWrapped(out, "  ", line)
	}
	writeChanges(out, "Worse", d.Worse, d)
	writeChanges(out, "Lost", d.Lost, d)
	writeChanges(out, "Better", d.Better, d)
	writeChanges(out, "New", d.Added, d)
	writeChangedRoutes(out, d)
	switch pairs := count(d.Same, "pair"); {
	case len(d.Worse)+len(d.Lost)+len(d.Better)+len(d.Added) == 0:
		text := fmt.Sprintf("No pair differs by more than %g %% or %g dB (%s).", 100*leastChange, leastChangeDB, pairs)
		writeWrapped(out, "  ", text)
	case d.Same > 0:
		writeWrapped(out, "  ", pairs+" unchanged.")
	}
	writeWrapped(out, "  ", RulesText(d.New.Band, d.New.BeyondRules))
}

// changedPoles names the poles that one side alone has, with their links.
func changedPoles(d MeshDifference) []string {
	var lines []string
	tell := func(what string, poles []string, links []linkChange, of func(linkChange) *linkState) {
		if len(poles) == 0 {
			return
		}
		n, required := 0, 0
		for _, c := range links {
			l := of(c)
			if !slices.Contains(poles, l.From) && !slices.Contains(poles, l.To) || l.Verdict != linkbudget.Reaches.String() {
				continue
			}
			n++
			if l.Required {
				required++
			}
		}
		text := fmt.Sprintf("%s: %s, with %s", what, listText(poles, mostNames), count(n, "reaching link"))
		if required > 0 {
			text += fmt.Sprintf(", %d of them required", required)
		}
		lines = append(lines, text)
	}
	tell("gone", d.GonePoles, d.Lost, func(c linkChange) *linkState { return c.Old })
	tell("new", d.NewPoles, d.Added, func(c linkChange) *linkState { return c.New })
	if len(lines) > 0 {
		lines = append(lines, fmt.Sprintf("counted over the %d poles that both have:", d.SamePoles.New.Poles))
	}
	return lines
}

// changedCounts says in lines what differs of the whole.
func changedCounts(d MeshDifference) []string {
	var lines []string
	differs := func(what string, was, now any) {
		if was, now := fmt.Sprint(was), fmt.Sprint(now); was != now {
			lines = append(lines, fmt.Sprintf("%s: %s, was %s", what, now, was))
		}
	}
	of := func(c countJSON) string { return fmt.Sprintf("%d of %d", c.Reached, c.Of) }
	was, now := d.SamePoles.Old, d.SamePoles.New
	differs("required links that reach", of(was.Required), of(now.Required))
	differs("pairs that reach", of(was.Reached), of(now.Reached))
	differs("parts", was.Parts, now.Parts)
	differs("pairs of poles without any route", was.Unjoined, now.Unjoined)
	differs("pairs with one route, but not two disjoint ones", was.Single, now.Single)
	list := func(what string, names []string) {
		if len(names) > 0 {
			lines = append(lines, what+": "+listText(names, mostNames))
		}
	}
	list("now without a link that reaches", d.NewlyAlone)
	list("now with a link that reaches", d.NoMoreAlone)
	list("poles whose loss now splits the mesh", d.NewCutPoles)
	list("poles whose loss splits it no more", d.GoneCutPoles)
	list("links whose loss now splits it", joined(d.NewBridges))
	list("links whose loss splits it no more", joined(d.GoneBridges))
	list("now beyond the band's table", d.NewBeyondRules)
	list("no more beyond the band's table", without(d.GoneBeyondRules, d.GonePoles))
	return lines
}

// connectedText names what a plan asks of all its poles together.
func connectedText(d MeshDifference) string {
	text := "all poles in one mesh"
	if len(d.New.Gateways) > 0 {
		text = "every pole on a gateway"
	}
	if len(d.NewPoles)+len(d.GonePoles) > 0 {
		text += ", each with its own poles"
	}
	return text
}

func joined(pairs [][2]string) []string {
	names := make([]string, len(pairs))
	for i, p := range pairs {
		names[i] = p[0] + " - " + p[1]
	}
	return names
}

// changedAsked names the links that the plans ask for in different ways, which can
// turn the verdict although no figure differs.
func changedAsked(d MeshDifference) []string {
	words := [...]string{"not asked for", "wanted", "required"}
	var lines []string
	for k, c := range d.Asked {
		if k == mostRows {
			return append(lines, fmt.Sprintf("and %d more asked for in another way: --format json lists all", len(d.Asked)-k))
		}
		was, now := words[c.Old.asked()], words[c.New.asked()]
		lines = append(lines, fmt.Sprintf("%s - %s (%s): %s, was %s", c.From, c.To, c.New.Verdict, now, was))
	}
	return lines
}

// changedLoad tells the busiest place, where it or its figure differs as written.
func changedLoad(d MeshDifference) []string {
	var lines []string
	text := func(b busiest) string {
		if b.pole == "" {
			return "not told"
		}
		return b.pole + " " + share(b.utilisation)
	}
	for _, l := range []struct {
		what string
		of   [2]busiest
	}{{"busiest place, own packets", d.busiest.own}, {"busiest place, everyone repeats all", d.busiest.repeats}} {
		if was, now := text(l.of[0]), text(l.of[1]); was != now {
			lines = append(lines, fmt.Sprintf("%s: %s, was %s", l.what, now, was))
		}
	}
	return lines
}

// writeChanges lists links that are wanted or reach, before or after; others, and
// those of poles that are gone, are counted.
func writeChanges(out io.Writer, title string, list []linkChange, d MeshDifference) {
	of := func(c linkChange, has func(*linkState) bool) bool {
		return c.Old != nil && has(c.Old) || c.New != nil && has(c.New)
	}
	gone := func(c linkChange) bool {
		return slices.Contains(d.GonePoles, c.From) || slices.Contains(d.GonePoles, c.To)
	}
	list = slices.DeleteFunc(slices.Clone(list), gone)
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(out, "  %s\n", title)
	told := slices.DeleteFunc(slices.Clone(list), func(c linkChange) bool {
		return !of(c, func(l *linkState) bool { return l.asked() > 0 || l.Verdict == linkbudget.Reaches.String() })
	})
	writeMost(out, "    ", told, mostRows, jsonListsAll, func(c linkChange) {
		mark := askedMark(of(c, func(l *linkState) bool { return l.Required }),
			of(c, func(l *linkState) bool { return l.Wanted }))
		writeWrapped(out, "  "+mark+" ", c.From+" - "+c.To+": "+changeText(c, d))
	})
	if n := len(list) - len(told); n > 0 {
		writeWrapped(out, "    ", count(n, "pair")+" not wanted, and not reaching before or after: --format json lists all")
	}
}

func changeText(c linkChange, d MeshDifference) string {
	switch {
	case c.New == nil:
		return "gone or out of range; it was " + stateText(c.Old, "", d.Old.WantPercent)
	case c.Old == nil:
		return stateText(c.New, "", d.New.WantPercent)
	}
	return stateText(c.New, "", d.New.WantPercent) + "; was " + stateText(c.Old, c.New.Verdict, d.Old.WantPercent)
}

// stateText leaves the verdict out where it is known.
func stateText(l *linkState, known string, wantPercent float64) string {
	if l.MarginDB == nil || l.Probability == nil {
		return l.Verdict
	}
	text := fmt.Sprintf("%s %%, margin %+.1f dB", linkbudget.ChanceText(*l.Probability, wantPercent), *l.MarginDB)
	if l.Verdict != known {
		text = l.Verdict + ", " + text
	}
	return text
}

// writeChangedRoutes lists the poles whose packets go another way.
func writeChangedRoutes(out io.Writer, d MeshDifference) {
	changed := slices.DeleteFunc(slices.Clone(d.Poles), func(c poleChange) bool { return !c.Old.otherRoute(&c.New) })
	if len(changed) == 0 {
		return
	}
	fmt.Fprintln(out, "  Routes to a gateway")
	writeMost(out, "    ", changed, mostRows, jsonListsAll, func(c poleChange) {
		writeWrapped(out, "    ", c.Pole+": "+routeText(&c.New)+"; was "+routeText(&c.Old))
	})
}

func routeText(p *poleState) string {
	if p.Hops == nil {
		return "none"
	}
	text := count(*p.Hops, "hop")
	if way, ok := strings.CutPrefix(p.Route, p.Name+" > "); ok {
		text += " by " + way
	}
	if p.RouteProbability != nil {
		text += ", " + linkbudget.PercentText(*p.RouteProbability) + " %"
	}
	return text
}
