package terrain

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
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
