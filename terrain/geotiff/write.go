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

// written is the length of the sides of a tile, pixels.
const written = 256

// Write writes a raster as a classic TIFF in tiles, packed with DEFLATE by all cores, 16 bits as
// differences (predictor 2): the head, the tiles row by row. Unit, description and scale are those of
// tag 42112, as GDAL writes them. The bytes do not depend on the number of cores, and nothing is
// written where there is an error, which is that of w, or of a raster that cannot be: no pixel,
// a place that is no number, more than 4 GiB.
func Write(w io.Writer, im Image) error {
	if im.Cols < 1 || im.Rows < 1 || im.Row == nil {
		return fault.Input("GeoTIFF: %d columns by %d rows, must be 1 or more, with numbers", im.Cols, im.Rows)
	}
	for _, x := range []float64{im.WestDeg, im.NorthDeg, im.StepLonDeg, im.StepLatDeg, im.Scale} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fault.Input("GeoTIFF: found %g for a place, a step or the scale, must be finite", x)
		}
	}
	if !(im.StepLonDeg > 0) || !(im.StepLatDeg > 0) {
		return fault.Input("GeoTIFF: steps %g and %g degrees, must be above 0", im.StepLonDeg, im.StepLatDeg)
	}
	if im.Scale == 0 {
		im.Scale = 1
	}
	tiles, err := im.pack()
	if err != nil {
		return fmt.Errorf("GeoTIFF: %w", err)
	}
	head, err := im.head(tiles)
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

// pack returns the tiles, row by row.
func (im *Image) pack() ([][]byte, error) {
	across, down := (im.Cols-1)/written+1, (im.Rows-1)/written+1
	tiles := make([][]byte, across*down)
	var next atomic.Int64
	var group errgroup.Group
	for range min(len(tiles), runtime.GOMAXPROCS(0)) {
		group.Go(fault.Guarded(func() error {
			row, raw := make([]int16, written), make([]byte, 0, 2*written*written)
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
				raw = im.tile(i%across*written, i/across*written, row, raw[:0])
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
	n := min(written, im.Cols-col)
	for y := row; y < row+written; y++ {
		if y < im.Rows {
			im.Row(y, col, values[:n])
		}
		if y >= im.Rows || n < written {
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
