package coverage

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Raster is the answer for an area, row by row from the north, each row from
// the west. Cells lie at the posts of the terrain, or at every so many. Several goroutines
// may read it at once.
type Raster struct {
	// Lattice places the cell centres. West may lie outside ±180, so that an
	// area across the antimeridian stays in one piece.
	terrain.Lattice
	// Cells is nil where whole per cents are kept: see Cell.
	Cells []Cell
	// At is the pole; RadiusM and WantPercent are those of the sweep.
	At                   orb.Point
	RadiusM, WantPercent float64

	percents []percent
}

// Check refuses a raster put together by hand whose lattice is at fault or has another
// number of posts than there are cells. Table, Grid and Outline find nothing in one, Draw
// and Combine return the error.
func (r *Raster) Check() error {
	if r == nil {
		return fault.Input("coverage: no raster given")
	}
	return checkCells(r.Lattice, max(len(r.Cells), len(r.percents)))
}

func checkCells(l terrain.Lattice, cells int) error {
	if err := l.Check(); err != nil {
		return fmt.Errorf("coverage: %w", err)
	}
	if cells != l.Cols*l.Rows {
		return fault.Input("coverage: %d cells on a lattice of %d by %d, must be as many", cells, l.Cols, l.Rows)
	}
	return nil
}

// Index returns the index of the cell nearest to a place, degrees, and false
// where the raster does not reach.
func (r *Raster) Index(p orb.Point) (int, bool) {
	lon := p[0] + 360*math.Round((r.centreLon()-p[0])/360)
	x, y := math.Round((lon-r.WestDeg)/r.StepLonDeg), math.Round((r.NorthDeg-p[1])/r.StepLatDeg)
	if !(x >= 0 && x < float64(r.Cols) && y >= 0 && y < float64(r.Rows)) {
		return 0, false
	}
	return int(y)*r.Cols + int(x), true
}

func (r *Raster) centreLon() float64 { return r.WestDeg + float64(r.Cols-1)/2*r.StepLonDeg }

// CellAreaM2 returns the area of a cell in a row, m²: the zone of the ellipsoid
// between two parallels, taken as the product of the two radii of curvature.
func (r *Raster) CellAreaM2(row int) float64 {
	lonM, latM := terrain.DegreeSizesM(r.NorthDeg - float64(row)*r.StepLatDeg)
	return r.StepLonDeg * math.Abs(lonM) * r.StepLatDeg * latM
}

// Quantity is one of the numbers of a cell.
type Quantity uint8

// The quantities of a raster file or picture.
const (
	Probability Quantity = iota // 0 to 1, in files 0 to 100 %
	Margin                      // dB
	Loss                        // dB
	// Who carries here: the number of the best pole of several, from 1 in the order
	// given, 0 where none reaches; HowMany poles reach from here. Only a [Combined] has
	// them.
	Who
	HowMany
)

var quantityWords = [...]string{"probability", "margin", "loss", "who", "how-many"}

// ParseQuantity returns the quantity of a word; the error lists them.
func ParseQuantity(word string) (Quantity, error) {
	for i, w := range quantityWords {
		if w == word {
			return Quantity(i), nil
		}
	}
	return 0, fault.Found("quantity", strconv.Quote(word), strings.Join(quantityWords[:], ", "))
}

// String returns the word.
func (q Quantity) String() string {
	if int(q) >= len(quantityWords) {
		return "unknown quantity"
	}
	return quantityWords[q]
}

// Unit is that of the quantity in files, as UCUM writes it: "%" of a probability, "dB", or
// "1" for a number.
func (q Quantity) Unit() string {
	switch q {
	case Probability:
		return "%"
	case Margin, Loss:
		return "dB"
	}
	return "1"
}

// Title says what the quantity is.
func (q Quantity) Title() string {
	return [...]string{"chance that the link closes", "margin", "path loss", "who carries here", "how many poles reach",
		"unknown quantity"}[min(int(q), len(quantityWords))]
}

// Of returns the quantity of a cell, and false where it has none. At the foot of
// the pole the probability is 1, as the table counts it.
func (q Quantity) Of(c Cell) (float64, bool) {
	if c.State() == Foot && q == Probability {
		return 1, true
	}
	if c.State() != Judged || q != Probability && !c.HasDecibels() {
		return 0, false
	}
	switch q {
	case Probability:
		return c.Probability(), true
	case Margin:
		return float64(c.MarginDB()), true
	case Loss:
		return float64(c.LossDB()), true
	}
	return 0, false
}

// OfSeveral reports whether several poles together have the quantity.
func (q Quantity) OfSeveral() bool { return q != Margin && q != Loss }

// OfOne reports whether a single pole has the quantity.
func (q Quantity) OfOne() bool { return q != Who && q != HowMany }

// checkOne refuses what a single pole lacks, in a file of some kind.
func (q Quantity) checkOne(file string) error {
	if q.OfOne() && q <= Loss {
		return nil
	}
	return fault.Input("coverage: %s: %s of one pole has no meaning; allowed probability, margin, loss", file, q)
}

// checkHas refuses what the raster lacks, too.
func (r *Raster) checkHas(q Quantity, file string) error {
	if err := q.checkOne(file); err != nil || q == Probability || !r.WholePercent() {
		return err
	}
	return fault.Input("coverage: %s: a raster of whole per cent has no %s; allowed probability", file, q)
}

// checkSeveral refuses what several poles lack.
func (q Quantity) checkSeveral(file string) error {
	if q.OfSeveral() && q <= HowMany {
		return nil
	}
	return fault.Input("coverage: %s: %s of several poles together has no meaning; allowed probability, who, how-many",
		file, q)
}

// Grid returns one quantity as a grid, to be written as a raster file: decibels with two
// decimals, probabilities in per cent with two, rounded down so that a cell has a
// level in the file only if it has it in the table. A quantity that a raster of whole per cent lacks is a
// void everywhere. What is not judged is a void,
// and so are loss and margin at the foot of the pole.
func (r *Raster) Grid(q Quantity) *terrain.Grid {
	if r.Check() != nil {
		return &terrain.Grid{}
	}
	return gridOf(r.Lattice, q, func(i int) (float64, bool) { return q.Of(r.Cell(i)) })
}

// gridOf has a void where there is no number.
func gridOf(l terrain.Lattice, q Quantity, of func(i int) (float64, bool)) *terrain.Grid {
	g := &terrain.Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
	for i := range g.HeightM {
		v, ok := of(i)
		switch {
		case !ok:
			g.HeightM[i] = terrain.VoidHeight()
		case q == Probability:
			g.HeightM[i] = float32(math.Floor(v*1e4) / 100)
		default:
			g.HeightM[i] = float32(math.Round(v*100) / 100)
		}
	}
	return g
}
