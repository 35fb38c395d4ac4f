package report

import (
	"cmp"
	"io"
	"math"
	"slices"
)

// MeshDifference is what differs between two states of a mesh.
type MeshDifference struct {
	Title string `json:"title"`
	// Old and New are the two answers.
	Old meshSummary `json:"old"`
	New meshSummary `json:"new"`
	// A link is better or worse when its verdict or, with the same verdict, its
	// margin by more than leastChangeDB is; new or lost when only one side has it.
	Better []linkChange `json:"better"`
	Worse  []linkChange `json:"worse"`
	Added  []linkChange `json:"added"`
	Lost   []linkChange `json:"lost"`
	Same   int          `json:"same"`

	NewlyAlone   []string    `json:"newly_alone"`
	NoMoreAlone  []string    `json:"no_more_alone"`
	NewCutPoles  []string    `json:"new_cut_poles"`
	GoneCutPoles []string    `json:"gone_cut_poles"`
	NewBridges   [][2]string `json:"new_bridges"`
	GoneBridges  [][2]string `json:"gone_bridges"`
}

type linkChange struct {
	From string     `json:"from"`
	To   string     `json:"to"`
	Old  *linkState `json:"old,omitempty"`
	New  *linkState `json:"new,omitempty"`
}

// leastChangeDB is half of what the text shows; below it nothing has changed.
const leastChangeDB = 0.05

// CompareMeshes lists what differs. A link from A to B is that from B to A.
func CompareMeshes(title string, before, after MeshState) MeshDifference {
	d := MeshDifference{
		Title: title, Old: before.summary, New: after.summary,
		Better: []linkChange{}, Worse: []linkChange{}, Added: []linkChange{}, Lost: []linkChange{},
		NewlyAlone: without(after.summary.Alone, before.summary.Alone), NoMoreAlone: without(before.summary.Alone, after.summary.Alone),
		NewCutPoles: without(after.summary.CutPoles, before.summary.CutPoles), GoneCutPoles: without(before.summary.CutPoles, after.summary.CutPoles),
		NewBridges:  without(eachWay(after.summary.Bridges), eachWay(before.summary.Bridges)),
		GoneBridges: without(eachWay(before.summary.Bridges), eachWay(after.summary.Bridges)),
	}
	old := make(map[[2]string]*linkState, len(before.links))
	for i := range before.links {
		old[before.links[i].ends()] = &before.links[i]
	}
	for i := range after.links {
		now := &after.links[i]
		was := old[now.ends()]
		delete(old, now.ends())
		change := linkChange{now.From, now.To, was, now}
		switch {
		case was == nil:
			d.Added = append(d.Added, change)
		case compareLinks(was, now) < 0:
			d.Better = append(d.Better, change)
		case compareLinks(was, now) > 0:
			d.Worse = append(d.Worse, change)
		default:
			d.Same++
		}
	}
	for i := range before.links {
		if was := &before.links[i]; old[was.ends()] == was {
			d.Lost = append(d.Lost, linkChange{was.From, was.To, was, nil})
		}
	}
	for _, list := range [][]linkChange{d.Better, d.Worse, d.Added, d.Lost} {
		slices.SortStableFunc(list, byWeightOfChange)
	}
	return d
}

func (l *linkState) ends() [2]string { return [2]string{min(l.From, l.To), max(l.From, l.To)} }

// eachWay writes every pair of names in one order.
func eachWay(pairs [][2]string) [][2]string {
	out := make([][2]string, len(pairs))
	for i, p := range pairs {
		out[i] = [2]string{min(p[0], p[1]), max(p[0], p[1])}
	}
	return out
}

// without returns what of list is not in other, never nil.
func without[T comparable](list, other []T) []T {
	has := make(map[T]bool, len(other))
	for _, v := range other {
		has[v] = true
	}
	out := []T{}
	for _, v := range list {
		if !has[v] {
			out = append(out, v)
		}
	}
	return out
}

// compareLinks is above 0 where the new state is the worse one.
func compareLinks(was, now *linkState) int {
	if c := verdictOrder(now.Verdict) - verdictOrder(was.Verdict); c != 0 {
		return c
	}
	if change := marginChange(was, now); math.Abs(change) > leastChangeDB {
		return -cmp.Compare(change, 0)
	}
	return 0
}

func marginChange(was, now *linkState) float64 {
	if was.MarginDB == nil || now.MarginDB == nil {
		return 0
	}
	return *now.MarginDB - *was.MarginDB
}

// byWeightOfChange puts required links first, then changed verdicts, then the
// larger change of margin, then the names.
func byWeightOfChange(x, y linkChange) int {
	required := func(c linkChange) int {
		if c.Old != nil && c.Old.Required || c.New != nil && c.New.Required {
			return 0
		}
		return 1
	}
	verdict := func(c linkChange) int {
		if c.Old != nil && c.New != nil && c.Old.Verdict == c.New.Verdict {
			return 1
		}
		return 0
	}
	change := func(c linkChange) float64 {
		if c.Old == nil || c.New == nil {
			return 0
		}
		return math.Abs(marginChange(c.Old, c.New))
	}
	return cmp.Or(required(x)-required(y), verdict(x)-verdict(y), cmp.Compare(change(y), change(x)),
		cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To))
}

// Verdict is the word for the new state.
func (d MeshDifference) Verdict() string { return d.New.Verdict }

// MeshDifferenceJSON writes the object of the command "plan" for comparisons:
// one element of differences for each. The error is that of w.
func MeshDifferenceJSON(w io.Writer, differences []MeshDifference) error {
	return writeJSON(w, struct {
		Schema      int              `json:"schema"`
		Command     string           `json:"command"`
		Differences []MeshDifference `json:"differences"`
	}{1, "plan", differences})
}
