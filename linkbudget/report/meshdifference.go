package report

import (
	"cmp"
	"io"
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain/fault"
)

// MeshDifference is what differs between two states of a mesh.
type MeshDifference struct {
	Title string `json:"title"`
	// Old and New are the two answers, each over its own poles.
	Old meshSummary `json:"old"`
	New meshSummary `json:"new"`
	// SamePoles counts both over the poles that both have.
	SamePoles struct {
		Old sameCounts `json:"old"`
		New sameCounts `json:"new"`
	} `json:"same_poles"`
	NewPoles  []string `json:"new_poles"`
	GonePoles []string `json:"gone_poles"`
	// A link is better or worse when its verdict is, with the same verdict its
	// probability by more than 0.005, and with that the same its margin by
	// more than 0.05 dB, and the text shows it; new or lost when only one side
	// has it.
	Better []linkChange `json:"better"`
	Worse  []linkChange `json:"worse"`
	Added  []linkChange `json:"added"`
	Lost   []linkChange `json:"lost"`
	Same   int          `json:"same"`
	// Asked are the links that the plans ask for in different ways.
	Asked []linkChange `json:"asked"`
	// Poles are those that both have, with another route or load.
	Poles []poleChange `json:"poles"`

	NewlyAlone      []string    `json:"newly_alone"`
	NoMoreAlone     []string    `json:"no_more_alone"`
	NewCutPoles     []string    `json:"new_cut_poles"`
	GoneCutPoles    []string    `json:"gone_cut_poles"`
	NewBridges      [][2]string `json:"new_bridges"`
	GoneBridges     [][2]string `json:"gone_bridges"`
	NewBeyondRules  []string    `json:"new_beyond_rules"`
	GoneBeyondRules []string    `json:"gone_beyond_rules"`

	busiest struct{ own, repeats [2]busiest } // old and new
}

type linkChange struct {
	From string     `json:"from"`
	To   string     `json:"to"`
	Old  *linkState `json:"old,omitempty"`
	New  *linkState `json:"new,omitempty"`
}

type poleChange struct {
	Pole string    `json:"pole"`
	Old  poleState `json:"old"`
	New  poleState `json:"new"`
}

// Below half of what the text shows nothing has changed: a per cent of a
// probability, a tenth of a decibel, a hundredth of a per cent of the time.
const leastChange, leastChangeDB, leastChangeOfLoad = 0.005, 0.05, 0.00005

// CompareMeshes lists what differs. A link from A to B is that from B to A.
func CompareMeshes(title string, before, after MeshState) MeshDifference {
	was, is := before.summary, after.summary
	d := MeshDifference{
		Title: title, Old: was, New: is, Poles: []poleChange{},
		Better: []linkChange{}, Worse: []linkChange{}, Added: []linkChange{}, Lost: []linkChange{}, Asked: []linkChange{},
	}
	d.NewPoles, d.GonePoles = bothWays(names(before.poles), names(after.poles))
	d.NewBeyondRules, d.GoneBeyondRules = bothWays(was.BeyondRules, is.BeyondRules)
	both := inBoth(before.poles, after.poles)
	d.SamePoles.Old, d.SamePoles.New = before.over(both), after.over(both)
	d.NewlyAlone, d.NoMoreAlone = changedNames(was.Alone, is.Alone, both)
	d.NewCutPoles, d.GoneCutPoles = changedNames(was.CutPoles, is.CutPoles, both)
	d.NewBridges, d.GoneBridges = bothWays(eachWay(was.Bridges, both), eachWay(is.Bridges, both))
	d.compareLinks(before.links, after.links)
	d.comparePoles(before, after, both)
	return d
}

// inBoth are the names that both lists have.
func inBoth(x, y []poleState) map[string]bool {
	has, both := map[string]bool{}, map[string]bool{}
	for _, p := range x {
		has[p.Name] = true
	}
	for _, p := range y {
		both[p.Name] = has[p.Name]
	}
	return both
}

func names(poles []poleState) []string {
	list := make([]string, len(poles))
	for i, p := range poles {
		list[i] = p.Name
	}
	return list
}

// changedNames returns what came and what went, of the poles that both have.
func changedNames(was, is []string, both map[string]bool) (came, went []string) {
	other := func(name string) bool { return !both[name] }
	came, went = bothWays(was, is)
	return slices.DeleteFunc(came, other), slices.DeleteFunc(went, other)
}

// bothWays returns what came and what went.
func bothWays[T comparable](was, is []T) (came, went []T) { return without(is, was), without(was, is) }

// eachWay writes every pair of names in one order, those of poles that both have.
func eachWay(pairs [][2]string, both map[string]bool) [][2]string {
	var out [][2]string
	for _, p := range pairs {
		if both[p[0]] && both[p[1]] {
			out = append(out, [2]string{min(p[0], p[1]), max(p[0], p[1])})
		}
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

func (l *linkState) ends() [2]string { return [2]string{min(l.From, l.To), max(l.From, l.To)} }

func (d *MeshDifference) compareLinks(before, after []linkState) {
	old := make(map[[2]string]*linkState, len(before))
	for i := range before {
		old[before[i].ends()] = &before[i]
	}
	for i := range after {
		now := &after[i]
		was := old[now.ends()]
		delete(old, now.ends())
		change := linkChange{now.From, now.To, was, now}
		switch {
		case was == nil:
			d.Added = append(d.Added, change)
		case worse(was, now) < 0:
			d.Better = append(d.Better, change)
		case worse(was, now) > 0:
			d.Worse = append(d.Worse, change)
		default:
			d.Same++
		}
		if was != nil && was.asked() != now.asked() {
			d.Asked = append(d.Asked, change)
		}
	}
	for i := range before {
		if was := &before[i]; old[was.ends()] == was {
			d.Lost = append(d.Lost, linkChange{was.From, was.To, was, nil})
		}
	}
	for _, list := range [][]linkChange{d.Better, d.Worse, d.Added, d.Lost, d.Asked} {
		slices.SortStableFunc(list, byWeightOfChange)
	}
}

// worse is above 0 where the new state is the worse one.
func worse(was, now *linkState) int {
	if c := verdictOrder(now.Verdict) - verdictOrder(was.Verdict); c != 0 {
		return c
	}
	if was.MarginDB == nil || now.MarginDB == nil || was.Probability == nil || now.Probability == nil {
		return 0
	}
	shows := linkbudget.PercentText(*was.Probability) != linkbudget.PercentText(*now.Probability)
	if change := *now.Probability - *was.Probability; shows && math.Abs(change) > leastChange {
		return -cmp.Compare(change, 0)
	}
	shows = fixed(*was.MarginDB, 1) != fixed(*now.MarginDB, 1)
	if change := *now.MarginDB - *was.MarginDB; shows && math.Abs(change) > leastChangeDB {
		return -cmp.Compare(change, 0)
	}
	return 0
}

func changeOf(was, now *float64) float64 {
	if was == nil || now == nil {
		return 0
	}
	return *now - *was
}

// byWeightOfChange puts required links first, then wanted ones, then changed
// verdicts, then the larger change of probability and of margin, then the names.
func byWeightOfChange(x, y linkChange) int {
	weigh := func(c linkChange) (asked, verdict int, probability, margin float64) {
		was, now := cmp.Or(c.Old, c.New), cmp.Or(c.New, c.Old)
		asked = max(was.asked(), now.asked())
		if was.Verdict != now.Verdict {
			verdict = 1
		}
		probability, margin = changeOf(was.Probability, now.Probability), changeOf(was.MarginDB, now.MarginDB)
		return asked, verdict, math.Abs(probability), math.Abs(margin)
	}
	askedX, verdictX, probabilityX, marginX := weigh(x)
	askedY, verdictY, probabilityY, marginY := weigh(y)
	return cmp.Or(askedY-askedX, verdictY-verdictX, cmp.Compare(probabilityY, probabilityX), cmp.Compare(marginY, marginX),
		cmp.Compare(x.From, y.From), cmp.Compare(x.To, y.To))
}

// Verdict is the word for the new state.
func (d MeshDifference) Verdict() string { return d.New.Verdict }

// MeshDifferenceJSON writes the object of the command "plan" for comparisons:
// one element of differences for each. The error is that of w.
func MeshDifferenceJSON(w io.Writer, differences []MeshDifference) (err error) {
	defer fault.Recovered(&err)
	return writeCommand(w, "plan", func(o *object) { o.value("differences", differences) })
}
