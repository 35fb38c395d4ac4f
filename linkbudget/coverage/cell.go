package coverage

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// State says what is known about a cell.
type State uint8

// The states of a cell. Only a Judged one has numbers.
const (
	Beyond  State = iota // outside the radius or the area asked for
	Judged               // computed
	Void                 // the terrain marks this place as unknown
	Outside              // no terrain covers this place
	Hidden               // unknown ground lies on the path from the pole
	Foot                 // the pole itself stands here: no path, no loss
)

var stateWords = [...]string{"beyond", "judged", "void", "outside the terrain", "behind unknown ground",
	"foot of the pole"}

// String returns the word used in output.
func (s State) String() string {
	if int(s) >= len(stateWords) {
		return "unknown state"
	}
	return stateWords[s]
}

// Unjudged reports whether the cell was asked for and could not be judged.
func (s State) Unjudged() bool { return s == Void || s == Outside || s == Hidden }

// Cell is the path between the pole and a receiver in one place, in eight bytes:
// a raster has millions, and what they cost is memory. [Numbers.Cell] and
// [State.Cell] make one; the zero Cell is Beyond.
type Cell struct {
	// bits hold the loss, the margin, the state and the probability, each from the
	// bit of its name on.
	bits uint64
}

const (
	marginBit, stateBit, chanceBit = 16, 32, 35
	stateMask                      = 1<<(chanceBit-stateBit) - 1

	stepsPerDB  = 100
	highestLoss = math.MaxUint16 // in steps, as is the next
	mostMargin  = math.MaxInt16
	chanceSteps = 1 << 28 // 1 itself fits into the 29 bits left
)

// Numbers are what is known about a judged cell.
type Numbers struct {
	// LossDB is the path loss, the median unless a share of time was asked for, MarginDB what is
	// left in the weaker direction.
	LossDB, MarginDB linkbudget.DB
	// Probability is the chance that the path closes, 0 to 1.
	Probability float64
}

// Cell returns a Judged cell. It keeps decibels to the nearest 0.01 dB, a loss
// from 0 to 655.35 dB and a margin from -327.67 to 327.67 dB, and probabilities in
// steps of 2^-28 (4e-9), rounded down, so that rounding lifts none to a level: 1 is
// kept for 1. What lies beyond these limits is kept as the limit, NaN as the lower
// one.
func (n Numbers) Cell() Cell {
	loss := uint64(within(float64(n.LossDB)*stepsPerDB, 0, highestLoss) + 0.5)
	margin := within(float64(n.MarginDB)*stepsPerDB, -mostMargin, mostMargin)
	margin += math.Copysign(0.5, margin) // halves away from 0, as they are printed
	return Cell{loss | uint64(uint16(int32(margin)))<<marginBit | uint64(Judged)<<stateBit |
		stepsOf(n.Probability)<<chanceBit}
}

// stepsOf is a probability in whole steps.
func stepsOf(chance float64) uint64 { return uint64(within(chance*chanceSteps, 0, chanceSteps)) }

// within returns x, or the limit that it lies beyond; of NaN the lower one.
func within(x, low, high float64) float64 {
	if !(x >= low) {
		return low
	}
	if x > high {
		return high
	}
	return x
}

// Cell returns a cell in that state whose numbers are all 0.
func (s State) Cell() Cell { return Cell{uint64(min(s, stateMask)) << stateBit} }

// State returns what is known about the cell.
func (c Cell) State() State { return State(c.bits >> stateBit & stateMask) }

// HasDecibels reports whether the cell has a loss and a margin: it is Judged, and of no raster of
// whole per cent.
func (c Cell) HasDecibels() bool {
	return c.State() == Judged && uint16(c.bits>>marginBit) != noDecibels
}

// LossDB returns the path loss, to 0.01 dB, from 0 to 655.35 dB; it means
// nothing, and is 0, in a cell without decibels, see HasDecibels.
func (c Cell) LossDB() linkbudget.DB { return linkbudget.DB(uint16(c.bits)) / stepsPerDB }

// MarginDB returns the margin of the weaker direction, to 0.01 dB, from -327.67 to
// 327.67 dB; as the loss it means nothing, and is 0, in a cell without decibels.
func (c Cell) MarginDB() linkbudget.DB {
	if !c.HasDecibels() {
		return 0
	}
	return linkbudget.DB(int16(c.bits>>marginBit)) / stepsPerDB
}

// Probability returns the chance that the path closes, 0 to 1, rounded down to
// steps of 2^-28; it means nothing, and is 0, in a cell that is not Judged.
func (c Cell) Probability() float64 { return float64(c.bits>>chanceBit) / chanceSteps }

// reaches reports whether a judged cell has at least that chance.
func (c Cell) reaches(wantPercent float64) bool { return c.Probability()*100 >= wantPercent }

// String returns state and numbers, for messages.
func (c Cell) String() string {
	if c.State() != Judged {
		return c.State().String()
	}
	if !c.HasDecibels() {
		return fmt.Sprintf("probability %.2f", c.Probability())
	}
	return fmt.Sprintf("loss %.2f dB, margin %.2f dB, probability %.9f", c.LossDB(), c.MarginDB(), c.Probability())
}

// percent is what a raster of whole per cent keeps of a cell, in one byte: from percentFrom on the
// chance, rounded down, below it a state without one. The zero percent is Beyond.
type percent uint8

const percentFrom percent = stateMask + 1

// percent is that of a cell.
func (c Cell) percent() percent {
	if state := c.State(); state != Judged {
		return percent(state)
	}
	return percentOf(c.bits >> chanceBit)
}

// percentOf is that of a chance in steps.
func percentOf(steps uint64) percent { return percentFrom + percent(steps*100/chanceSteps) }

// noDecibels stands for the margin of a cell of which neither that nor the loss is known.
const noDecibels = 1 << 15

// cell has the chance alone: rounded up to a step, so that it is rounded down to the same per cent.
func (p percent) cell() Cell {
	if p < percentFrom {
		return State(p).Cell()
	}
	chance := (uint64(p-percentFrom)*chanceSteps + 99) / 100
	return Cell{noDecibels<<marginBit | uint64(Judged)<<stateBit | chance<<chanceBit}
}

// make makes room for the cells.
func (r *Raster) make(wholePercent bool) {
	if n := r.Cols * r.Rows; wholePercent {
		r.percents = make([]percent, n)
	} else {
		r.Cells = make([]Cell, n)
	}
}

// put notes the state of a cell without numbers.
func (r *Raster) put(i int, s State) {
	if r.Cells == nil {
		r.percents[i] = percent(s)
		return
	}
	r.Cells[i] = s.Cell()
}

// take takes the cells of those numbers in.
func (r *Raster) take(numbers []int32, cells []Cell) {
	if r.Cells == nil {
		for k, i := range numbers {
			r.percents[i] = cells[k].percent()
		}
		return
	}
	for k, i := range numbers {
		r.Cells[i] = cells[k]
	}
}

// Cell returns cell i, with the chance alone where the raster has whole per cents; Beyond for a number
// that no cell has.
func (r *Raster) Cell(i int) Cell {
	switch {
	case i < 0:
		return Beyond.Cell()
	case i < len(r.Cells):
		return r.Cells[i]
	case r.Cells == nil && i < len(r.percents):
		return r.percents[i].cell()
	}
	return Beyond.Cell()
}

// WholePercent reports whether the raster keeps chances alone, in whole per cent rounded down, see
// [Options]. A level between two whole per cents then counts as the higher one.
func (r *Raster) WholePercent() bool { return r.Cells == nil && r.percents != nil }

// percentPixels are those of a GeoTIFF.
func (r *Raster) percentPixels(row, col int, out []int16) {
	for k, p := range r.percents[row*r.Cols+col:][:len(out)] {
		switch {
		case p >= percentFrom:
			out[k] = int16(p - percentFrom)
		case State(p) == Foot:
			out[k] = 100
		default:
			out[k] = byteNoData
		}
	}
}

// countPercents counts the cells of each kind: two by two, as neighbours mostly are of the same one.
func countPercents(cells []percent) (all [1 << 8]int) {
	var second [len(all)]int
	for len(cells) >= 2 {
		all[cells[0]]++
		second[cells[1]]++
		cells = cells[2:]
	}
	for _, p := range cells {
		all[p]++
	}
	for i, n := range second {
		all[i] += n
	}
	return all
}
