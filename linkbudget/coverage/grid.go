package coverage

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/terrain"
)

// Quantity is one of the numbers of a cell.
type Quantity uint8

// The quantities of a raster file or picture.
const (
	Probability Quantity = iota // 0 to 1
	Margin                      // dB
	Loss                        // dB
)

var quantityWords = [...]string{"probability", "margin", "loss"}

// ParseQuantity returns the quantity of a word; the error lists them.
func ParseQuantity(word string) (Quantity, error) {
	for i, w := range quantityWords {
		if w == word {
			return Quantity(i), nil
		}
	}
	return 0, fmt.Errorf("quantity: found %q, allowed probability, margin or loss", word)
}

// String returns the word.
func (q Quantity) String() string {
	if int(q) >= len(quantityWords) {
		return "unknown quantity"
	}
	return quantityWords[q]
}

// Of returns the quantity of a cell, and false where it has none.
func (q Quantity) Of(c Cell) (float64, bool) {
	if c.State != Judged {
		return 0, false
	}
	switch q {
	case Margin:
		return float64(c.MarginDB), true
	case Loss:
		return float64(c.LossDB), true
	}
	return float64(c.Probability), true
}

// Grid returns one quantity as a grid, to be written as a raster file: decibels
// with two decimals, probabilities with four, rounded down so that a cell has a
// level in the file only if it has it in the table. What is not judged is a void,
// and so is the foot of the pole.
func (r *Raster) Grid(q Quantity) *terrain.Grid {
	g := &terrain.Grid{Lattice: r.Lattice, HeightM: make([]float32, len(r.Cells))}
	for i, c := range r.Cells {
		v, ok := q.Of(c)
		if !ok {
			g.HeightM[i] = terrain.VoidHeight()
			continue
		}
		if q == Probability {
			g.HeightM[i] = float32(math.Floor(v*1e4) / 1e4)
		} else {
			g.HeightM[i] = float32(math.Round(v*100) / 100)
		}
	}
	return g
}
