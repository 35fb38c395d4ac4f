package band

import "slices"

// Row is one row of the table and how the use compares with it.
type Row struct {
	Rule     Rule
	Findings []Finding
	Rate     Rate
}

// Exceeds returns how many findings are beyond the row.
func (r Row) Exceeds() int {
	n := 0
	for _, f := range r.Findings {
		if f.Status == Exceeds {
			n++
		}
	}
	return n
}

// keeps tells whether the row can be relied on: nothing exceeds, and it is for
// a plain node.
func (r Row) keeps() bool { return r.Rule.Class == "" && r.Exceeds() == 0 }

// Report is a use compared with a band's table.
type Report struct {
	Band Band
	Use  Use
	// Rows are the rows whose edges hold the channel, in table order. They are
	// alternatives.
	Rows []Row
	// Edges says why no row holds the channel. Empty where one does.
	Edges []Finding
}

// Check compares a use with a band's table. Errors are an unknown band and
// whatever Use.Validate returns, all at once; a use beyond the table, and a
// frequency outside it, are findings.
func Check(b Band, u Use) (Report, error) {
	rules, err := checked(b, u)
	if err != nil {
		return Report{}, err
	}
	report := Report{Band: b, Use: u}
	for _, r := range held(rules, u) {
		report.Rows = append(report.Rows, r.judge(u))
	}
	if len(report.Rows) == 0 {
		report.Edges = judgeEdges(b, rules, u)
	}
	return report, nil
}

// judge compares the use with one row.
func (r Rule) judge(u Use) Row {
	found := slices.Concat(r.judgePower(u), r.judgeChannel(u), r.judgeTime(u))
	return Row{Rule: r, Findings: found, Rate: r.rate(u)}
}

// Findings returns all findings, row by row, or those of Edges.
func (r Report) Findings() []Finding {
	all := slices.Clone(r.Edges)
	for _, row := range r.Rows {
		all = append(all, row.Findings...)
	}
	return all
}

// Verdict sums the report up: Within where a row for plain nodes has nothing
// beyond it, NotJudged where the only rows are for another class of device and
// nothing is beyond one of those, else Exceeds.
func (r Report) Verdict() Status {
	classOnly, classKept := true, false
	for _, row := range r.Rows {
		switch {
		case row.keeps():
			return Within
		case row.Rule.Class == "":
			classOnly = false
		case row.Exceeds() == 0:
			classKept = true
		}
	}
	if classOnly && classKept {
		return NotJudged
	}
	return Exceeds
}

// Exceeds tells whether the use is beyond every alternative of the table.
func (r Report) Exceeds() bool { return r.Verdict() == Exceeds }

// Best returns the row to go by: one for plain nodes before one that is not, then the fewest
// findings beyond it. Among rows that are kept, the one that leaves more packets comes first, then
// the one that allows more EIRP; among rows that are not, the one that allows more EIRP. False
// where no row holds.
func (r Report) Best() (Row, bool) {
	if len(r.Rows) == 0 {
		return Row{}, false
	}
	best := r.Rows[0]
	for _, row := range r.Rows[1:] {
		if row.before(best, r.Use) {
			best = row
		}
	}
	return best, true
}

func (r Row) before(q Row, u Use) bool {
	if plain, other := r.Rule.Class == "", q.Rule.Class == ""; plain != other {
		return plain
	}
	if a, b := r.Exceeds(), q.Exceeds(); a != b {
		return a < b
	}
	if a, b := r.Rate, q.Rate; r.Exceeds() == 0 && a.Limited != b.Limited {
		return b.Limited
	} else if r.Exceeds() == 0 && a.Limited && a.PacketsPerHour != b.PacketsPerHour {
		return a.PacketsPerHour > b.PacketsPerHour
	}
	return r.Rule.maxEIRP(u.BWHz) > q.Rule.maxEIRP(u.BWHz)
}

// PacketsPerHour returns how many packets of the use's airtime an hour leaves
// in the best row, and whether that row limits them at all. It speaks of time
// alone: the row may be exceeded in something else. No row: 0, true.
func (r Report) PacketsPerHour() (packets int, limited bool) {
	best, ok := r.Best()
	if !ok {
		return 0, true
	}
	return best.Rate.PacketsPerHour, best.Rate.Limited
}

// SilenceS returns the least silence in seconds after a packet in the best
// row, packets spread evenly; 0 where nothing asks for any.
func (r Report) SilenceS() float64 {
	best, _ := r.Best()
	return best.Rate.SilenceS
}
