package geotiff

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"runtime"
	"sync/atomic"

	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain/fault"
)

// Image is a raster to be written: one band of whole numbers on lines of longitude and latitude.
type Image struct {
	Cols, Rows int
	// WestDeg and NorthDeg are the centre of the first pixel, the steps those to the next column
	// and the next row down, degrees on WGS 84, above 0.
	WestDeg, NorthDeg, StepLonDeg, StepLatDeg float64
	// Wide tells that a number takes 16 bits with a sign, else it takes 8 without.
	Wide bool
	// NoData marks pixels that have no value.
	NoData int16
	// Scale is the value of 1 in Unit, 0 for 1.
	Scale             float64
	Unit, Description string
	// Row sets the numbers of a row from a column on. Several goroutines call it at once.
	Row func(row, col int, out []int16)
}

// TileSide is the length of the sides of a tile that is written, pixels.
const TileSide = 256

// tiles counts them, across and down.
func (im *Image) tiles() (across, down int) {
	return (im.Cols-1)/TileSide + 1, (im.Rows-1)/TileSide + 1
}

// Write writes a raster as a classic TIFF in tiles, packed with DEFLATE by all cores, 16 bits as
// differences (predictor 2): the head, the tiles row by row. Unit, description and scale are those of
// tag 42112, as GDAL writes them. The bytes do not depend on the number of cores, and nothing is
// written where there is an error, which is that of w, or of a raster that cannot be: no pixel,
// a place that is no number, more than 4 GiB.
func Write(w io.Writer, im Image) error {
	tiles, err := Pack(im)
	if err != nil {
		return err
	}
	sizes := make([]uint32, len(tiles))
	for i, t := range tiles {
		sizes[i] = uint32(len(t))
	}
	head, err := Head(im, sizes)
	if err != nil {
		return err
	}
	for _, part := range append([][]byte{head}, tiles...) {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// Pack returns the tiles of a raster as they stand in its file, row by row: with a [Head] before
// them they are that file. A part of a raster that begins at a multiple of TileSide and ends at one, or where
// the raster ends, has the tiles that the whole has there. The error is that of Write.
func Pack(im Image) ([][]byte, error) {
	err := im.check()
	if im.Row == nil {
		err = fault.Input("GeoTIFF: no numbers")
	}
	if err != nil {
		return nil, err
	}
	tiles, err := im.pack()
	if err != nil {
		return nil, fmt.Errorf("GeoTIFF: %w", err)
	}
	return tiles, nil
}

// check refuses a raster that cannot be.
func (im *Image) check() error {
	if im.Cols < 1 || im.Rows < 1 {
		return fault.Input("GeoTIFF: %d columns by %d rows, must be 1 or more", im.Cols, im.Rows)
	}
	for _, x := range []float64{im.WestDeg, im.NorthDeg, im.StepLonDeg, im.StepLatDeg, im.Scale} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fault.Input("GeoTIFF: found %g for a place, a step or the scale, must be finite", x)
		}
	}
	if !(im.StepLonDeg > 0) || !(im.StepLatDeg > 0) {
		return fault.Input("GeoTIFF: steps %g and %g degrees, must be above 0", im.StepLonDeg, im.StepLatDeg)
	}
	return nil
}

// pack returns the tiles, row by row.
func (im *Image) pack() ([][]byte, error) {
	across, down := im.tiles()
	tiles := make([][]byte, across*down)
	var next atomic.Int64
	var group errgroup.Group
	for range min(len(tiles), runtime.GOMAXPROCS(0)) {
		group.Go(fault.Guarded(func() error {
			row, raw := make([]int16, TileSide), make([]byte, 0, 2*TileSide*TileSide)
			var out bytes.Buffer
			z, err := zlib.NewWriterLevel(&out, zlib.BestSpeed)
			if err != nil {
				return err
			}
			for {
				i := int(next.Add(1)) - 1
				if i >= len(tiles) {
					return nil
				}
				raw = im.tile(i%across*TileSide, i/across*TileSide, row, raw[:0])
				out.Reset()
				z.Reset(&out)
				if _, err := z.Write(raw); err != nil {
					return err
				}
				if err := z.Close(); err != nil {
					return err
				}
				tiles[i] = bytes.Clone(out.Bytes())
			}
		}))
	}
	return tiles, group.Wait()
}

// tile appends one as it is before it is packed. Beyond the raster it has no data.
func (im *Image) tile(col, row int, values []int16, raw []byte) []byte {
	n := min(TileSide, im.Cols-col)
	for y := row; y < row+TileSide; y++ {
		if y < im.Rows {
			im.Row(y, col, values[:n])
		}
		if y >= im.Rows || n < TileSide {
			for i := range values {
				if i >= n || y >= im.Rows {
					values[i] = im.NoData
				}
			}
		}
		if !im.Wide {
			for _, v := range values {
				raw = append(raw, byte(v))
			}
			continue
		}
		before := int16(0)
		for _, v := range values {
			raw = binary.LittleEndian.AppendUint16(raw, uint16(v-before))
			before = v
		}
	}
	return raw
}
