package coverage

import (
	"github.com/polereach/polereach/linkbudget"
)

// Level is one line of a [Table]: how much of the area has at least this chance.
type Level struct {
	// Percent is the probability from which cells count.
	Percent float64
	// Cells and AreaKm2 count them; Share is their part of what was judged, 0 where
	// nothing was.
	Cells   int
	AreaKm2 float64
	Share   float64
}

// Table says how much of the area is served.
type Table struct {
	Levels []Level
	// Wanted is the whole area asked for; Unjudged the part without an answer,
	// by reason, and UnjudgedShare of all of it.
	WantedCells     int
	WantedKm2       float64
	UnjudgedKm2     float64
	UnjudgedShare   float64
	UnjudgedByState map[State]int
}

// Table sums the raster up. A cell at the foot of the pole counts as served. A raster that
// Check refuses has an empty one.
func (r *Raster) Table(percents []float64) Table {
	t := Table{UnjudgedByState: map[State]int{}}
	for _, p := range percents {
		t.Levels = append(t.Levels, Level{Percent: p})
	}
	if r.Check() != nil {
		return t
	}
	served := make([]int, len(percents)) // in a row
	for row := range r.Rows {
		var states [stateMask + 1]int
		clear(served)
		count := func(c Cell, n int) {
			if states[c.State()] += n; c.State() != Judged {
				return
			}
			percent := c.Probability() * 100
			for i, p := range percents {
				if percent >= p {
					served[i] += n
				}
			}
		}
		if r.WholePercent() {
			for p, n := range countPercents(r.percents[row*r.Cols:][:r.Cols]) {
				count(percent(p).cell(), n)
			}
		} else {
			for _, c := range r.Cells[row*r.Cols:][:r.Cols] {
				count(c, 1)
			}
		}
		km2, wanted := r.CellAreaM2(row)/1e6, r.Cols-states[Beyond]
		t.WantedCells += wanted
		t.WantedKm2 += float64(wanted) * km2
		for i, n := range served {
			n += states[Foot]
			t.Levels[i].Cells += n
			t.Levels[i].AreaKm2 += float64(n) * km2
		}
		for state, n := range states {
			if State(state).Unjudged() && n > 0 {
				t.UnjudgedByState[State(state)] += n
				t.UnjudgedKm2 += float64(n) * km2
			}
		}
	}
	t.divide()
	return t
}

// divide makes the shares.
func (t *Table) divide() {
	if judgedKm2 := t.JudgedKm2(); judgedKm2 > 0 {
		for i := range t.Levels {
			t.Levels[i].Share = t.Levels[i].AreaKm2 / judgedKm2
		}
	}
	if t.WantedKm2 > 0 {
		t.UnjudgedShare = t.UnjudgedKm2 / t.WantedKm2
	}
}

// Add counts in another area, of whose levels those of t are taken. An empty Table takes all of the other's.
func (t *Table) Add(other Table) {
	if t.Levels == nil {
		for _, l := range other.Levels {
			t.Levels = append(t.Levels, Level{Percent: l.Percent})
		}
	}
	for i := range min(len(t.Levels), len(other.Levels)) {
		t.Levels[i].Cells += other.Levels[i].Cells
		t.Levels[i].AreaKm2 += other.Levels[i].AreaKm2
	}
	t.WantedCells += other.WantedCells
	t.WantedKm2 += other.WantedKm2
	t.UnjudgedKm2 += other.UnjudgedKm2
	if t.UnjudgedByState == nil {
		t.UnjudgedByState = map[State]int{}
	}
	for state, n := range other.UnjudgedByState {
		t.UnjudgedByState[state] += n
	}
	t.divide()
}

// JudgedKm2 is the area that has an answer.
func (t Table) JudgedKm2() float64 {
	if t.UnjudgedKm2 >= t.WantedKm2 {
		return 0
	}
	return t.WantedKm2 - t.UnjudgedKm2
}

// Verdict of one cell in the words of a link.
func (r *Raster) Verdict(c Cell) linkbudget.Verdict {
	switch {
	case c.State() == Foot:
		return linkbudget.Reaches
	case c.State() != Judged:
		return linkbudget.Unknown
	case c.reaches(r.WantPercent):
		return linkbudget.Reaches
	case c.Probability() >= 0.5:
		return linkbudget.Marginal
	}
	return linkbudget.Short
}
