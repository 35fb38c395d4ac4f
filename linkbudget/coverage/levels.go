package coverage

import "github.com/polereach/polereach/linkbudget"

// Level is one line of a [Table]: how much of the area has at least this chance.
type Level struct {
	// Percent is the probability from which cells count.
	Percent float64
	// Cells and AreaKm2 count them; Share is their part of all cells asked for,
	// those that could not be judged included.
	Cells   int
	AreaKm2 float64
	Share   float64
}

// Table says how much of the area is served.
type Table struct {
	Levels []Level
	// Wanted is the whole area asked for; Unjudged the part without an answer,
	// by reason.
	WantedCells     int
	WantedKm2       float64
	UnjudgedKm2     float64
	UnjudgedShare   float64
	UnjudgedByState map[State]int
}

// DefaultLevels are the probabilities of a table where nobody asks for others,
// percent.
var DefaultLevels = []float64{50, 90, 99}

// Table sums the raster up. A cell at the foot of the pole counts as served.
func (r *Raster) Table(percents []float64) Table {
	t := Table{UnjudgedByState: map[State]int{}}
	for _, p := range percents {
		t.Levels = append(t.Levels, Level{Percent: p})
	}
	served, unjudged := make([]int, len(percents)), make([]int, len(stateWords))
	for row := range r.Rows {
		km2, wanted := r.CellAreaM2(row)/1e6, 0
		clear(served)
		clear(unjudged)
		for _, c := range r.Cells[row*r.Cols : (row+1)*r.Cols] {
			if !c.State.Wanted() {
				continue
			}
			wanted++
			if c.State.Unjudged() {
				unjudged[c.State]++
				continue
			}
			percent := float64(c.Probability) * 100
			for i, p := range percents {
				if percent >= p || c.State == Foot {
					served[i]++
				}
			}
		}
		t.WantedCells += wanted
		t.WantedKm2 += float64(wanted) * km2
		for i, n := range served {
			t.Levels[i].Cells += n
			t.Levels[i].AreaKm2 += float64(n) * km2
		}
		for state, n := range unjudged {
			if n > 0 {
				t.UnjudgedByState[State(state)] += n
				t.UnjudgedKm2 += float64(n) * km2
			}
		}
	}
	if t.WantedKm2 > 0 {
		for i := range t.Levels {
			t.Levels[i].Share = t.Levels[i].AreaKm2 / t.WantedKm2
		}
		t.UnjudgedShare = t.UnjudgedKm2 / t.WantedKm2
	}
	return t
}

// Verdict of one cell in the words of a link.
func (r *Raster) Verdict(c Cell) linkbudget.Verdict {
	switch {
	case c.State == Foot:
		return linkbudget.Reaches
	case c.State != Judged:
		return linkbudget.Unknown
	case float64(c.Probability)*100 >= r.WantPercent:
		return linkbudget.Reaches
	case c.Probability >= 0.5:
		return linkbudget.Marginal
	}
	return linkbudget.Short
}
