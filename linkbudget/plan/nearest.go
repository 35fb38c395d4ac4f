package plan

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the station whose name is most like the given one, for "did
// you mean". Case does not count; about one slip in three characters is
// forgiven, and of equally near names the first in the file is taken. False
// means that no name is near.
func (p *Plan) Nearest(name string) (string, bool) {
	n := nearest{plan: p, budget: -1}
	return n.find(name)
}

// suggestBudget bounds the work spent on suggestions for one file, in cells of the distance
// table (some tenths of a second). Past it faults are listed without a suggestion.
const suggestBudget = 20_000_000

type nearest struct {
	plan   *Plan
	budget int // negative: no limit
	folded []string
	table  editTable
}

func (n *nearest) hint(name string) string {
	if n.budget == 0 {
		return ""
	}
	if s, ok := n.find(name); ok {
		return "; did you mean " + quote(s) + "?"
	}
	return ""
}

func (n *nearest) find(name string) (string, bool) {
	size := utf8.RuneCountInString(name)
	if size == 0 || size > nameLimit {
		return "", false
	}
	if n.folded == nil {
		n.folded = make([]string, len(n.plan.Stations))
		for i := range n.plan.Stations {
			n.folded[i] = strings.ToLower(n.plan.Stations[i].Name)
		}
	}
	name = strings.ToLower(name)
	best, bestSlips := -1, 2+size/3
	for i, f := range n.folded {
		if f == "" || len(f) > 4*nameLimit {
			continue
		}
		n.table.cells = 0
		if d := n.table.distance(name, f, bestSlips); d < bestSlips {
			best, bestSlips = i, d
		}
		if n.budget >= 0 {
			if n.budget = max(0, n.budget-size-n.table.cells); n.budget == 0 {
				break // the best so far is still near
			}
		}
	}
	if best < 0 {
		return "", false
	}
	return n.plan.Stations[best].Name, true
}

// editTable is the working memory of distance, kept between calls.
type editTable struct {
	a, b              []rune
	before, last, row []int
	cells             int // work done
}

// distance counts the insertions, deletions, replacements and swaps of two
// neighbouring characters that turn a into b: the optimal string alignment
// distance, by the usual dynamic programme. It gives limit as soon as the
// distance is sure to reach it.
func (t *editTable) distance(a, b string, limit int) int {
	t.a, t.b = append(t.a[:0], []rune(a)...), append(t.b[:0], []rune(b)...)
	n := len(t.b)
	if diff := len(t.a) - n; max(diff, -diff) >= limit {
		return limit
	}
	for len(t.row) <= n {
		t.before, t.last, t.row = append(t.before, 0), append(t.last, 0), append(t.row, 0)
	}
	for j := range n + 1 {
		t.last[j] = j
	}
	for i := 1; i <= len(t.a); i++ {
		t.row[0] = i
		t.cells += n
		least := i
		for j := 1; j <= n; j++ {
			cost := 1
			if t.a[i-1] == t.b[j-1] {
				cost = 0
			}
			d := min(t.last[j]+1, t.row[j-1]+1, t.last[j-1]+cost)
			if i > 1 && j > 1 && t.a[i-1] == t.b[j-2] && t.a[i-2] == t.b[j-1] {
				d = min(d, t.before[j-2]+1)
			}
			t.row[j] = d
			least = min(least, d)
		}
		if least >= limit { // no later row is below the least of this one
			return limit
		}
		t.before, t.last, t.row = t.last, t.row, t.before
	}
	return min(limit, t.last[n])
}
