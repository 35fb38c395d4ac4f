package terrain

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strconv"

	"github.com/polereach/polereach/terrain/fault"
)

// Buffer sizes: the header of a tile is short, its heights are not.
const (
	headerBuffer  = 4 << 10
	heightsBuffer = 256 << 10
)

// openASCIIGrid opens an ESRI ASCII grid in degrees: it reads the header and
// the .prj file beside it, if there is one.
func openASCIIGrid(fsys fs.FS, name string) (Source, error) {
	h, err := inFile(fsys, name, func(f fs.File, size int64) (asciiHeader, error) {
		h, err := readASCIIHeader(newASCIIScanner(f, headerBuffer), size)
		hasPRJ, errPRJ := checkPRJ(fsys, name)
		if err == nil && errPRJ == nil {
			err = inDegrees(h.lattice, hasPRJ)
		}
		return h, errors.Join(err, errPRJ)
	})
	if err != nil {
		return Source{}, err
	}
	return Source{Name: name, Lattice: h.lattice, Format: "ESRI ASCII grid", Load: func() (*Grid, error) {
		return inFile(fsys, name, func(f fs.File, size int64) (*Grid, error) {
			g, err := readASCIIGrid(f, size)
			if err == nil && g.Lattice != h.lattice {
				err = errChanged
			}
			return g, err
		})
	}}, nil
}

// inDegrees refuses a lattice that cannot be longitude and latitude. Without a
// .prj the numbers are all there is to judge by: metres betray themselves by
// coordinates beyond the poles or by cells larger than a degree.
func inDegrees(l Lattice, hasPRJ bool) error {
	err := l.faults()
	if hasPRJ {
		return err
	}
	if err == nil && !(l.StepLonDeg <= 1 && l.StepLatDeg <= 1) {
		err = fmt.Errorf("cells of %g × %g are larger than 1°", l.StepLonDeg, l.StepLatDeg)
	}
	if err != nil {
		return fmt.Errorf("no .prj beside it and the coordinates do not look like degrees (%w);"+
			" if the grid is projected: %w, it needs a build with -tags gdal", err, ErrNotBuiltIn)
	}
	return nil
}

// readASCIIGrid reads a whole file of the given size. The memory it takes is
// at most twice that size.
func readASCIIGrid(r io.Reader, fileBytes int64) (*Grid, error) {
	s := newASCIIScanner(r, heightsBuffer)
	h, err := readASCIIHeader(s, fileBytes)
	if err != nil {
		return nil, err
	}
	g := &Grid{Lattice: h.lattice, HeightM: make([]float32, h.lattice.Cols*h.lattice.Rows)}
	// Void marks are compared in single precision too: programs write the same
	// float32 with more or fewer digits.
	mark, mark32 := h.noDataM, float32(h.noDataM)
	for i := range g.HeightM {
		if !s.skip() {
			if s.err != io.EOF {
				return nil, s.err
			}
			return nil, fmt.Errorf("%d heights, must be %d (%d columns by %d rows): the file ends at %s",
				i, len(g.HeightM), h.lattice.Cols, h.lattice.Rows, s.place())
		}
		v, err := s.number()
		if err != nil {
			return nil, err
		}
		g.HeightM[i] = groundOrVoid(v)
		if v == mark || float32(v) == mark32 {
			g.HeightM[i] = VoidHeight()
		}
	}
	if s.skip() {
		return nil, fmt.Errorf("more heights than %d (%d columns by %d rows): the first one too many is %s at %s",
			len(g.HeightM), h.lattice.Cols, h.lattice.Rows, quoteWord(s.peek()), s.place())
	}
	if s.err != io.EOF {
		return nil, s.err
	}
	return g, nil
}

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
