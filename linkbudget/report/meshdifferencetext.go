package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
)

// MeshDifferenceText writes comparisons for a person: the verdict and what it
// was, the counts that changed, then the links that are worse, lost, better and
// new. The error is that of w.
func MeshDifferenceText(w io.Writer, differences []MeshDifference) error {
	out := bufio.NewWriter(w)
	for i, d := range differences {
		if i > 0 {
			fmt.Fprintln(out)
		}
		writeDifference(out, d)
	}
	return out.Flush()
}

func writeDifference(out io.Writer, d MeshDifference) {
	verdict := strings.ToUpper(d.New.Verdict)
	if d.Old.Verdict != d.New.Verdict {
		verdict += ", was " + d.Old.Verdict
	} else {
		verdict += " as before"
	}
	writeWrapped(out, "", d.Title+": "+verdict)
	for _, line := range changedCounts(d) {
		writeWrapped(out, "  ", line)
	}
	nothing := len(d.Worse)+len(d.Lost)+len(d.Better)+len(d.Added) == 0
	if nothing {
		writeWrapped(out, "  ", fmt.Sprintf("No link differs by more than %g dB (%s).", leastChangeDB, count(d.Same, "link")))
		return
	}
	writeChanges(out, "Worse", d.Worse)
	writeChanges(out, "Lost", d.Lost)
	writeChanges(out, "Better", d.Better)
	writeChanges(out, "New", d.Added)
	if d.Same > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("%s unchanged.", count(d.Same, "link")))
	}
}

// changedCounts says in lines what differs of the whole.
func changedCounts(d MeshDifference) []string {
	var lines []string
	of := func(c *countJSON) string {
		if c == nil {
			return "none"
		}
		return fmt.Sprintf("%d of %d", c.Reached, c.Of)
	}
	differs := func(what, was, now string) {
		if was != now {
			lines = append(lines, fmt.Sprintf("%s: %s, was %s", what, now, was))
		}
	}
	differs("required links that reach", of(d.Old.Required), of(d.New.Required))
	differs("links that reach", fmt.Sprintf("%d of %d", d.Old.Reached, d.Old.Of), fmt.Sprintf("%d of %d", d.New.Reached, d.New.Of))
	connected := "all poles in one mesh"
	if len(d.New.Gateways) > 0 {
		connected = "every pole on a gateway"
	}
	differs(connected, d.Old.Connected, d.New.Connected)
	differs("poles", fmt.Sprint(d.Old.Poles), fmt.Sprint(d.New.Poles))
	differs("parts", fmt.Sprint(d.Old.Parts), fmt.Sprint(d.New.Parts))
	differs("pairs of poles without any route", fmt.Sprint(d.Old.SingleRoute.Unjoined), fmt.Sprint(d.New.SingleRoute.Unjoined))
	differs("pairs with one route, but not two disjoint ones", fmt.Sprint(d.Old.SingleRoute.Single), fmt.Sprint(d.New.SingleRoute.Single))
	names := func(what string, list []string) {
		if len(list) > 0 {
			lines = append(lines, what+": "+listText(list, mostNames))
		}
	}
	names("now reach nobody", d.NewlyAlone)
	names("no more alone", d.NoMoreAlone)
	names("poles whose loss now splits the mesh", d.NewCutPoles)
	names("poles whose loss splits it no more", d.GoneCutPoles)
	names("links whose loss now splits it", joined(d.NewBridges))
	names("links whose loss splits it no more", joined(d.GoneBridges))
	return lines
}

func joined(pairs [][2]string) []string {
	names := make([]string, len(pairs))
	for i, p := range pairs {
		names[i] = p[0] + " - " + p[1]
	}
	return names
}

func writeChanges(out io.Writer, title string, list []linkChange) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(out, "  %s\n", title)
	for k, c := range list {
		if k == mostRows {
			writeWrapped(out, "    ", fmt.Sprintf("and %d more: --format json lists all", len(list)-k))
			return
		}
		mark := " "
		if c.Old != nil && c.Old.Required || c.New != nil && c.New.Required {
			mark = "*"
		}
		writeWrapped(out, "  "+mark+" ", c.From+" - "+c.To+": "+changeText(c))
	}
}

func changeText(c linkChange) string {
	switch {
	case c.New == nil:
		return "gone from the plan or out of range; it was " + stateText(c.Old)
	case c.Old == nil:
		return stateText(c.New)
	case c.Old.Verdict != c.New.Verdict:
		return stateText(c.New) + "; was " + stateText(c.Old)
	}
	return stateText(c.New) + fmt.Sprintf("; margin %+.1f dB against before", marginChange(c.Old, c.New))
}

func stateText(l *linkState) string {
	if l.MarginDB == nil || l.Probability == nil {
		return l.Verdict
	}
	return fmt.Sprintf("%s, %s %%, margin %+.1f dB", l.Verdict, linkbudget.PercentText(*l.Probability), *l.MarginDB)
}
