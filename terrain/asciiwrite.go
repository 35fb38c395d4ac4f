package terrain

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/polereach/polereach/terrain/fault"
)

// WriteASCIIGrid writes a grid as an ESRI ASCII grid that the reader of this package, GDAL and
// others take: corner given as the centre of the south-western cell, cellsize or, where the steps
// differ, dx and dy, voids as -9999, heights with as many digits as tell them apart. Read back, the
// heights are the same, and so is the lattice, but for the latitudes, which may move by a few units
// in the last digit: the format counts from the south. The error is that of w, of a grid whose
// fields contradict each other, or tells the first height that cannot be ground. Nothing is written
// in the last two cases.
func WriteASCIIGrid(w io.Writer, g *Grid) error {
	if g == nil {
		return fault.Input("terrain: ASCII grid: no grid given")
	}
	if err := g.Check(); err != nil {
		return err
	}
	for i, h := range g.HeightM {
		if !IsVoid(h) && !(h >= lowestGroundM && h <= highestGroundM) {
			return fault.Input("terrain: ASCII grid: column %d, row %d: height of %g m, must be within %d to %d m, or a void",
				i%g.Cols, i/g.Cols, h, lowestGroundM, highestGroundM)
		}
	}
	out := bufio.NewWriterSize(w, heightsBuffer)
	full := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	fmt.Fprintf(out, "ncols %d\nnrows %d\nxllcenter %s\nyllcenter %s\n", g.Cols, g.Rows, full(g.WestDeg),
		full(g.southForASCII()))
	if g.StepLonDeg == g.StepLatDeg {
		fmt.Fprintf(out, "cellsize %s\n", full(g.StepLonDeg))
	} else {
		fmt.Fprintf(out, "dx %s\ndy %s\n", full(g.StepLonDeg), full(g.StepLatDeg))
	}
	fmt.Fprintf(out, "NODATA_value %d\n", defaultNoDataM)
	var number []byte
	for i, h := range g.HeightM {
		if IsVoid(h) {
			h = defaultNoDataM
		}
		number = strconv.AppendFloat(number[:0], float64(h), 'f', -1, 32)
		if (i+1)%g.Cols == 0 {
			number = append(number, '\n')
		} else {
			number = append(number, ' ')
		}
		out.Write(number) // its error stays with the writer until Flush
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("terrain: ASCII grid: %w", err)
	}
	return nil
}

// southForASCII returns the southern edge from which a reader that counts
// upwards arrives at the northern one, if there is such a number.
func (l Lattice) southForASCII() float64 {
	height := float64(l.Rows-1) * l.StepLatDeg
	best := l.NorthDeg - height
	for _, towards := range []float64{math.Inf(1), math.Inf(-1)} {
		for s, k := l.NorthDeg-height, 0; k < 4; k++ {
			if math.Abs(s+height-l.NorthDeg) < math.Abs(best+height-l.NorthDeg) {
				best = s
			}
			s = math.Nextafter(s, towards)
		}
	}
	return best
}
