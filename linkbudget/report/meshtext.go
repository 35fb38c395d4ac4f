package report

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// mostRows bounds each list of the text; what is left out is counted.
const mostRows = 40

// What is left out is said to be elsewhere.
const jsonListsAll, csvListsAll = ": --format json lists all", ": --format csv lists all"

// MeshText writes the answer for a person: the verdict, the links by how much
// they matter, what fails and why, where the mesh is weak, what each pole is
// worth, the traffic. The error is that of w.
func MeshText(w io.Writer, m *mesh.Mesh) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	writeMeshVerdict(out, m)
	writeMeshWhat(out, m)
	writeSolidLinks(out, m)
	writeWeakLinks(out, m)
	if assumed := meshAssumed(m); assumed != "" {
		writeWrapped(out, "", "Assumed: "+assumed+".")
		fmt.Fprintln(out)
	}
	writeWeakness(out, m)
	writeRoutes(out, m)
	writeGains(out, m)
	writeFailures(out, m)
	writeLoad(out, m)
	writeMeshRules(out, m)
	for _, warning := range meshWarnings(m) {
		writeWrapped(out, "note: ", warning)
	}
	writeEnd(w, out, Cautions(strongest(m), m.Options.Settings.Environment.FreqHz), func(out io.Writer) {
		writeMeshVerdict(out, m)
	})
	return out.Flush()
}

func writeMeshVerdict(out io.Writer, m *mesh.Mesh) {
	head := strings.ToUpper(m.Verdict.String()) + "  "
	text := fmt.Sprintf("%d of %s reach", m.Reached, count(len(m.Pairs), "pair"))
	if m.WantedCount > m.RequiredCount {
		text = fmt.Sprintf("%d of %d wanted links, ", m.WantedReached, m.WantedCount) + text
	}
	if m.RequiredCount > 0 {
		text = fmt.Sprintf("%d of %d required links, ", m.RequiredReached, m.RequiredCount) + text
	}
	if len(m.Gateways) > 0 {
		text += "; every pole on a gateway: " + m.Connected.String()
	} else {
		text += "; all poles in one mesh: " + m.Connected.String()
	}
	writeWrapped(out, head, text)
}

// writeMeshWhat tells what was examined.
func writeMeshWhat(out io.Writer, m *mesh.Mesh) {
	proposed := 0
	for i := range m.Stations {
		if m.Stations[i].Status == plan.Proposed {
			proposed++
		}
	}
	text := count(len(m.Stations), "pole")
	if m.Plan.Source != "" {
		text = m.Plan.Source + ": " + text
	}
	if proposed > 0 {
		text += fmt.Sprintf(", %d of them proposed and counted as if they stood", proposed)
	}
	writeWrapped(out, "  ", text+"; "+examined(m))
	if len(m.Gateways) > 0 {
		writeWrapped(out, "  ", "gateways: "+strings.Join(poleNames(m, m.Gateways), ", "))
	}
	fmt.Fprintf(out, "  %s  %s\n", ChannelText(m.Options.Settings.Environment), StationText(m.Options.Settings.Station))
	writeConditions(out, m.Options.Settings)
	writeCalibration(out, "  ", m.Options.Settings.Environment)
	fmt.Fprintln(out)
}

func examined(m *mesh.Mesh) string {
	text := fmt.Sprintf("every pair within %g km was examined", m.Options.RangeM/1000)
	if m.WantedCount > 0 {
		text = fmt.Sprintf("the wanted links and every other pair within %g km were examined", m.Options.RangeM/1000)
	}
	if m.Cost.Hopeless > 0 {
		text += fmt.Sprintf(", but %d that fall short by 20 dB and more even through free space", m.Cost.Hopeless)
	}
	return text
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

const endWidth = 13

func writeLinkHead(out io.Writer, last string) {
	head := fmt.Sprintf("  %s - %s %5s %6s %3s %4s %4s %-8s %s", pad("from", endWidth), pad("to", endWidth), "km", "margin",
		"±", "P", "time", "verdict", last)
	fmt.Fprintln(out, strings.TrimRight(head, " "))
}

func writeLinkRow(out io.Writer, l *link, cut func(string) string, wantPercent float64, last string) {
	row := fmt.Sprintf("%s %s - %s %5.1f ", askedMark(l.Required, l.Wanted()), pad(cut(l.from), endWidth),
		pad(cut(l.to), endWidth), l.DistM/1000)
	if l.known() {
		held := ""
		if l.timed() {
			held = linkbudget.TimePercentText(l.TimePercentHeld)
		}
		row += fmt.Sprintf("%+6.0f %3.0f %3s%% %4s %-8s %s", l.MarginDB, l.SigmaDB, linkbudget.ChanceText(l.Probability,
			wantPercent), held, l.Verdict, last)
	} else {
		row += fmt.Sprintf("%6s %3s %4s %4s %-8s %s", "", "", "", "", l.Verdict, last)
	}
	fmt.Fprintln(out, strings.TrimRight(row, " "))
}

// roleText is the role with the figure it is told by.
func roleText(r *mesh.LinkRank) string {
	switch r.Role {
	case mesh.RoleBridge:
		return fmt.Sprintf("bridge %d", r.JoinedPairs)
	case mesh.RoleNarrow:
		return fmt.Sprintf("narrow %d", r.RedundantPairs)
	case mesh.RoleFaster:
		return fmt.Sprintf("faster %.2f", r.Detour)
	}
	return string(r.Role)
}

func writeSolidLinks(out io.Writer, m *mesh.Mesh) {
	if len(m.Ranking) == 0 {
		fmt.Fprint(out, "No link reaches.\n\n")
		return
	}
	fmt.Fprintln(out, "Links that reach, those that matter most first")
	writeLinkHead(out, "role")
	links, cut := newMeshLinks(m), cutter(m)
	roles := map[mesh.Role]bool{}
	rows, spare := 0, 0
	for k := range m.Ranking {
		r := &m.Ranking[k]
		l := links.at(r.Pair)
		switch {
		case m.WantedCount > 0 && !l.Wanted() && r.Role == mesh.RoleRedundant:
			spare++
		case rows < mostRows:
			roles[r.Role] = true
			writeLinkRow(out, &l, cut, m.Options.Settings.Environment.WantPercent, roleText(r))
			rows++
		}
	}
	if more := len(m.Ranking) - spare - rows; more > 0 {
		writeWrapped(out, "  ", fmt.Sprintf("and %d more: --format csv lists all", more))
	}
	if spare > 0 {
		roles[mesh.RoleRedundant] = true
		text := fmt.Sprintf("and %d redundant ones that the plan does not ask for: --format csv lists them", spare)
		writeWrapped(out, "  ", text)
	}
	writeMeshLegend(out, m, roles)
	fmt.Fprintln(out)
}

func writeMeshLegend(out io.Writer, m *mesh.Mesh, roles map[mesh.Role]bool) {
	var parts []string
	if m.WantedCount > 0 {
		parts = append(parts, "* required by the plan, + wanted, not required; others are not drawn, but there")
	}
	want := wantPercent(m.Options.Settings.Environment)
	parts = append(parts, fmt.Sprintf("margin and its doubt (±) in dB; P: chance that the link closes; time: per cent of an "+
		"average year in which the level is then enough; reaches: P %g %% or more; marginal: 50 to %g %%; short: below 50 %%",
		want, want))
	for _, l := range []struct {
		role mesh.Role
		says string
	}{
		{mesh.RoleBridge, "bridge N: without it N pairs of poles have no route left"},
		{mesh.RoleNarrow, "narrow N: without it N pairs lose the second of two disjoint routes"},
		{mesh.RoleFaster, "faster X: without it the routes to a gateway take X transmissions more in sum"},
		{mesh.RoleRedundant, "redundant: without it no pair loses a route or the second of two, " +
			"and no route to a gateway takes longer"},
	} {
		if roles[l.role] {
			parts = append(parts, l.says)
		}
	}
	for _, p := range parts {
		writeWrapped(out, "  ", p)
	}
}

// writeWeakLinks lists the wanted links that do not reach, and why; pairs that
// nobody wanted are counted.
func writeWeakLinks(out io.Writer, m *mesh.Mesh) {
	links, cut := newMeshLinks(m), cutter(m)
	var wanted []int
	others, of := 0, map[linkbudget.Verdict]int{}
	for _, i := range byWeight(m)[len(m.Ranking):] {
		l := links.at(int(i))
		if l.Wanted() {
			wanted = append(wanted, int(i))
			continue
		}
		others++
		of[l.Verdict]++
	}
	if len(wanted) == 0 && others == 0 {
		return
	}
	fmt.Fprintln(out, "Links that do not reach")
	if len(wanted) > 0 {
		writeLinkHead(out, "")
	}
	var hopeless *mesh.Pair
	advised := false
	writeMost(out, "  ", wanted, mostRows, csvListsAll, func(i int) {
		l := links.at(i)
		writeLinkRow(out, &l, cut, m.Options.Settings.Environment.WantPercent, "")
		if reasons := l.Reasons(); len(reasons) > 0 {
			writeWrapped(out, "    ", strings.Join(reasons, "; ")+".")
		}
		if c := l.Counsel(); c != nil {
			writeCounsel(out, l.Verdict, *c, m.Options.Band != "")
			advised = advised || len(c.Advice) > 0
			if hopeless == nil && needsRelay(l.Verdict, *c) {
				hopeless = l.Pair
			}
		}
	})
	if advised {
		writeWrapped(out, "  ", aloneText)
	}
	if len(wanted) > 0 && !m.Options.Advice {
		writeWrapped(out, "  ", "With --advice: what would do.")
	}
	if hopeless != nil {
		writeRelay(out, &m.Plan.Stations[hopeless.A], &m.Plan.Stations[hopeless.B])
	}
	if others > 0 {
		text := count(others, "pair")
		if m.WantedCount > 0 {
			text += " that the plan does not ask for"
		}
		separator := ": "
		for _, v := range []linkbudget.Verdict{linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown} {
			if of[v] > 0 {
				text += fmt.Sprintf("%s%d %s", separator, of[v], v)
				separator = ", "
			}
		}
		if of[linkbudget.Unknown] > 0 {
			text += " because terrain is missing"
		}
		writeWrapped(out, "  ", text+"; --format csv lists them, site --pole NAME tells why and what would do.")
	}
	fmt.Fprintln(out)
}
