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
	for row := range r.Rows {
		km2 := r.CellAreaM2(row) / 1e6
		for _, c := range r.Cells[row*r.Cols : (row+1)*r.Cols] {
			if !c.State.Wanted() {
				continue
			}
			t.WantedCells++
			t.WantedKm2 += km2
			if c.State.Unjudged() {
				t.UnjudgedKm2 += km2
				t.UnjudgedByState[c.State]++
				continue
			}
			for i := range t.Levels {
				if l := &t.Levels[i]; c.State == Foot || float64(c.Probability)*100 >= l.Percent {
					l.Cells++
					l.AreaKm2 += km2
				}
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
