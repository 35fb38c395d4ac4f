package terrain

import (
	"io/fs"

	"github.com/polereach/polereach/terrain/geotiff"
)

// A raster of more than wholePosts, those of a square degree of 1" and some more, is served as many
// sources of about windowSide by windowSide posts, so that no more of it has to be in memory than is
// used; the posts of one continue those of the next.
const (
	wholePosts = 1 << 24
	windowSide = 1024
)

// openGeoTIFF opens a GeoTIFF in degrees, openCodes also one whose numbers stand for colours of a list.
func openGeoTIFF(fsys fs.FS, name string) ([]Source, error) { return openRaster(fsys, name, false) }

func openCodes(fsys fs.FS, name string) ([]Source, error) { return openRaster(fsys, name, true) }

func openRaster(fsys fs.FS, name string, codes bool) ([]Source, error) {
	return inFile(fsys, name, func(f fs.File, size int64) ([]Source, error) {
		r, whole, err := readGeoTIFFHead(f, size)
		if err == nil && !codes {
			err = r.NoCodes()
		}
		if err != nil {
			return nil, err
		}
		cols, rows := r.Cols, r.Rows
		if cols > wholePosts/rows { // windows of whole blocks
			cols = min(cols, r.BlockCols*max(1, windowSide/r.BlockCols))
			rows = min(rows, r.BlockRows*max(1, windowSide*windowSide/cols/r.BlockRows))
		}
		var sources []Source
		for row := 0; row < r.Rows; row += rows {
			for col := 0; col < r.Cols; col += cols {
				l := whole
				l.WestDeg, l.NorthDeg = whole.WestDeg+float64(col)*l.StepLonDeg, whole.NorthDeg-float64(row)*l.StepLatDeg
				l.Cols, l.Rows = min(cols, r.Cols-col), min(rows, r.Rows-row)
				s := Source{Name: name, Lattice: l, Format: "GeoTIFF, " + r.DataType, CRS: r.CRS, VerticalCRS: r.VerticalCRS,
					Surface: r.Surface, Part: len(sources)}
				s.Load = func() (*Grid, error) { return loadGeoTIFF(fsys, name, whole, l, col, row) }
				if _, bytes := r.Bytes(); bytes {
					s.LoadBytes = func(c, r, cols, rows int) ([]uint8, int, error) {
						return loadBytes(fsys, name, whole, col+c, row+r, cols, rows)
					}
				}
				sources = append(sources, s)
			}
		}
		return sources, nil
	})
}

// readGeoTIFFHead reads the head of a file and where its posts lie.
func readGeoTIFFHead(f fs.File, size int64) (*geotiff.Raster, Lattice, error) {
	at, err := randomAccess(f)
	if err != nil {
		return nil, Lattice{}, err
	}
	r, err := geotiff.Open(at, size)
	if err != nil {
		return nil, Lattice{}, err
	}
	l := Lattice{r.WestDeg, r.NorthDeg, r.StepLonDeg, r.StepLatDeg, r.Cols, r.Rows}
	return r, l, l.faults()
}

// loadGeoTIFF reads the window of a raster that begins at a post.
func loadGeoTIFF(fsys fs.FS, name string, whole, l Lattice, col, row int) (*Grid, error) {
	return inFile(fsys, name, func(f fs.File, size int64) (*Grid, error) {
		r, err := sameGeoTIFF(f, size, whole)
		if err != nil {
			return nil, err
		}
		g := &Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
		if err := r.Read(g.HeightM, col, row, l.Cols, l.Rows); err != nil {
			return nil, err
		}
		for i, h := range g.HeightM {
			if !(h >= lowestGroundM && h <= highestGroundM) {
				g.HeightM[i] = VoidHeight()
			}
		}
		return g, nil
	})
}

// loadBytes reads a window of a raster of bytes.
func loadBytes(fsys fs.FS, name string, whole Lattice, col, row, cols, rows int) (cells []uint8, void int, err error) {
	cells, err = inFile(fsys, name, func(f fs.File, size int64) ([]uint8, error) {
		r, err := sameGeoTIFF(f, size, whole)
		if err != nil {
			return nil, err
		}
		void, _ = r.Bytes()
		out := make([]uint8, max(cols, 0)*max(rows, 0))
		return out, r.ReadBytes(out, col, row, cols, rows)
	})
	return cells, void, err
}

// sameGeoTIFF reads the head of a file that was opened before.
func sameGeoTIFF(f fs.File, size int64, whole Lattice) (*geotiff.Raster, error) {
	r, now, err := readGeoTIFFHead(f, size)
	if err == nil && now != whole {
		err = errChanged
	}
	return r, err
}
