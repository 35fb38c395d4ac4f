package coverage

import (
	"errors"
	"fmt"
	"image"
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Combined is several poles over one area. Several goroutines may read it at once.
type Combined struct {
	terrain.Lattice
	Cells []Served
	// Names are the poles in the order of the rasters given.
	Names []string
	// WantPercent is that of the sweeps.
	WantPercent float64
}

// Check is that of [Raster.Check]; it refuses cells too that name poles there are not.
func (c *Combined) Check() error {
	if c == nil {
		return fault.Input("coverage: no raster given")
	}
	for i, s := range c.Cells {
		if int(s.Best) >= len(c.Names) || int(s.Heard) > len(c.Names) || s.Heard > 0 && s.Best < 0 || s.State > stateMask {
			return fault.Input("coverage: cell %d: best pole %d, %d heard, state %d: there are %d poles", i, s.Best, s.Heard,
				s.State, len(c.Names))
		}
	}
	return checkCells(c.Lattice, len(c.Cells))
}

// Served is what several poles together give a cell.
type Served struct {
	// Best is the raster with the largest probability, -1 for none; ties go to
	// the larger margin, then to the first.
	Best int16
	// Heard counts the poles that reach the cell with the wanted probability.
	Heard uint16
	// Any is the chance that at least one pole reaches, 0 to 1, the doubts of the
	// paths taken as independent; the true one lies between that of the best
	// pole and this. A pole that could not be judged adds nothing: then it is the
	// least it can be.
	Any float32
	// State is Judged where a pole reaches, or none does and all that were asked
	// were judged; else why one was not: it might reach.
	State State
}

// Combine joins rasters of one lattice: the same terrain, the same spacing.
// Their areas may differ; the result spans all.
func Combine(names []string, rasters ...*Raster) (*Combined, error) {
	if len(rasters) == 0 || len(names) != len(rasters) || len(rasters) > math.MaxInt16 {
		return nil, fault.Input("coverage: combine: %d rasters with %d names, want 1 to %d of each", len(rasters), len(names),
			math.MaxInt16)
	}
	for i, r := range rasters {
		if err := r.Check(); err != nil {
			return nil, fmt.Errorf("combine: raster %d of %q: %w", i, names[i], err)
		}
		if r.WholePercent() {
			return nil, fault.Input("coverage: combine: raster %d of %q keeps whole per cents, must keep all", i, names[i])
		}
	}
	out := &Combined{Names: names, WantPercent: rasters[0].WantPercent}
	begins, err := out.span(rasters)
	if err != nil {
		return nil, err
	}
	tallies := make([]Tally, out.Cols*out.Rows)
	for k, r := range rasters {
		for row := range r.Rows {
			first := (row+begins[k].Y)*out.Cols + begins[k].X
			for col, c := range r.Cells[row*r.Cols : (row+1)*r.Cols] {
				tallies[first+col].Add(k, c, out.WantPercent)
			}
		}
	}
	out.Cells = make([]Served, len(tallies))
	for i := range tallies {
		out.Cells[i] = tallies[i].Served()
	}
	return out, nil
}

// Tally gathers what poles give a cell. Whole numbers alone are added and compared, so that
// what comes out does not depend on the order of the poles, nor on how they are grouped.
// The zero Tally is that of no pole.
type Tally struct {
	// Best ranks the best pole: from the top its probability in steps of 2^-28, its margin, and
	// 65,535 less its number; 0 where none was judged.
	Best uint64
	// None is the chance that no pole reaches, as -log2 in steps of 2^-24, to 2^-25. It stays at
	// its largest value, which stands for 2^-256.
	None uint32
	// Heard counts the poles that reach with the wanted probability.
	Heard uint16
	// Unjudged is why a pole could not be judged, the largest of the reasons, or Beyond.
	Unjudged State
}

const (
	bestChanceBit, bestMarginBit = 32, 16
	noneSteps                    = 1 << 24
)

// Add counts in a pole, by its number from 0 to 32,766, and its cell. At its foot it reaches for sure.
func (t *Tally) Add(pole int, c Cell, wantPercent float64) {
	switch c.State() {
	case Beyond:
		return
	case Foot:
		c = Numbers{MarginDB: linkbudget.DB(math.Inf(1)), Probability: 1}.Cell()
	case Void, Outside, Hidden:
		t.Unjudged = max(t.Unjudged, c.State())
		return
	case Judged:
	default:
		return
	}
	one := Tally{Best: c.bits>>chanceBit<<bestChanceBit |
		uint64(uint16(int32(int16(c.bits>>marginBit))-math.MinInt16))<<bestMarginBit | uint64(math.MaxUint16-uint16(pole))}
	one.None = one.NoneOfBest()
	if c.reaches(wantPercent) {
		one.Heard = 1
	}
	t.Join(one)
}

// NoneOfBest is what None would be if the best pole were the only one.
func (t *Tally) NoneOfBest() uint32 {
	chance := t.Best >> bestChanceBit
	if chance >= chanceSteps {
		return math.MaxUint32
	}
	if chance == 0 {
		return 0
	}
	return uint32(-math.Log1p(-float64(chance)/chanceSteps)*(noneSteps/math.Ln2) + 0.5)
}

// Join counts in what other poles give.
func (t *Tally) Join(other Tally) {
	t.Best = max(t.Best, other.Best)
	t.None += min(other.None, math.MaxUint32-t.None)
	t.Heard += min(other.Heard, math.MaxUint16-t.Heard)
	t.Unjudged = max(t.Unjudged, other.Unjudged)
}

// Served is what all of them together give.
func (t *Tally) Served() Served {
	switch {
	case t.Heard == 0 && t.Unjudged != Beyond:
		return Served{Best: -1, State: t.Unjudged}
	case t.Best == 0:
		return Served{Best: -1}
	}
	any := -math.Expm1(-float64(t.None) * (math.Ln2 / noneSteps))
	if t.None == t.NoneOfBest() { // of one pole, or of others that add nothing, to the last step
		any = min(float64(t.Best>>bestChanceBit)/chanceSteps, 1)
	}
	return Served{Best: int16(math.MaxUint16 - uint16(t.Best)), Heard: t.Heard, Any: float32(any), State: Judged}
}

// span finds the lattice over all rasters and where each begins in it.
func (out *Combined) span(rasters []*Raster) ([]image.Point, error) {
	first := rasters[0]
	out.StepLonDeg, out.StepLatDeg = first.StepLonDeg, first.StepLatDeg
	var errs []error
	var all image.Rectangle // in cells of the first, as are the others
	begins := make([]image.Point, len(rasters))
	for i, r := range rasters {
		lon := 360 * math.Round((first.WestDeg-r.WestDeg)/360)
		x, y := (r.WestDeg+lon-first.WestDeg)/first.StepLonDeg, (first.NorthDeg-r.NorthDeg)/first.StepLatDeg
		if !same(r.StepLonDeg, first.StepLonDeg) || !same(r.StepLatDeg, first.StepLatDeg) || !whole(x) || !whole(y) {
			errs = append(errs, fault.Input("coverage: combine: raster %d of %q does not lie on the cells of the first", i,
				out.Names[i]))
			continue
		}
		if r.WantPercent != first.WantPercent {
			errs = append(errs, fault.Input("coverage: combine: raster %d of %q wants %g %%, the first %g %%", i, out.Names[i],
				r.WantPercent, first.WantPercent))
		}
		begins[i] = image.Pt(int(math.Round(x)), int(math.Round(y)))
		all = all.Union(image.Rectangle{begins[i], begins[i].Add(image.Pt(r.Cols, r.Rows))})
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	out.Cols, out.Rows = all.Dx(), all.Dy()
	out.WestDeg = first.WestDeg + float64(all.Min.X)*first.StepLonDeg
	out.NorthDeg = first.NorthDeg - float64(all.Min.Y)*first.StepLatDeg
	for i := range begins {
		begins[i] = begins[i].Sub(all.Min)
	}
	return begins, nil
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-9*b }
func whole(x float64) bool   { return math.Abs(x-math.Round(x)) < 0.01 }

// AsRaster returns the chance that at least one pole is heard as a raster, for
// the same tables, files and pictures. Loss and margin mean nothing in it, so
// only Probability may be drawn; At is the first pole, of a raster or nil.
func (c *Combined) AsRaster(first *Raster) *Raster {
	if first == nil {
		first = &Raster{}
	}
	r := &Raster{Lattice: c.Lattice, Cells: make([]Cell, len(c.Cells)), At: first.At, RadiusM: first.RadiusM,
		WantPercent: c.WantPercent}
	for i, s := range c.Cells {
		r.Cells[i] = s.State.Cell()
		if s.State == Judged {
			r.Cells[i] = Numbers{Probability: float64(s.Any)}.Cell()
		}
	}
	return r
}

// Share is the part of a combined area for which one pole is the best.
type Share struct {
	Name string
	// Km2 is where it is the best and reaches; AloneKm2 where no other reaches.
	Km2, AloneKm2 float64
}

// Shares tells what each pole contributes, and ByHeard the area in km² by the
// number of poles that reach, from none up.
func (c *Combined) Shares() (shares []Share, byHeard []float64) {
	shares, byHeard = make([]Share, len(c.Names)), make([]float64, len(c.Names)+1)
	for i, n := range c.Names {
		shares[i].Name = n
	}
	if c.Check() != nil {
		return shares, byHeard
	}
	area := Raster{Lattice: c.Lattice}
	for row := range c.Rows {
		km2 := area.CellAreaM2(row) / 1e6
		for _, s := range c.Cells[row*c.Cols : (row+1)*c.Cols] {
			if s.State != Judged {
				continue
			}
			byHeard[s.Heard] += km2
			if s.Heard > 0 {
				shares[s.Best].Km2 += km2
			}
			if s.Heard == 1 {
				shares[s.Best].AloneKm2 += km2
			}
		}
	}
	return shares, byHeard
}
