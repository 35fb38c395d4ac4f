//go:build gdal

package gdal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"sync"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// Blocks read at a time have about wantedPosts, whole blocks of the file, and
// never more than mostPosts.
const (
	wantedPosts = 1 << 16
	mostPosts   = 1 << 20
)

// mostBlockBytes bounds a block of the file, which GDAL decodes as a whole.
const mostBlockBytes = 128 << 20

// Heights outside these limits are no ground; the limits are those of the
// built-in readers.
const (
	lowestGroundM  = -500
	highestGroundM = 9000
)

// blockShape chooses what to read at a time from the blocks of the file.
func blockShape(cols, rows, fileCols, fileRows, pixelBytes int) (blockCols, blockRows int, err error) {
	if cols < 1 || rows < 1 || fileCols < 1 || fileRows < 1 || pixelBytes < 1 {
		return 0, 0, fmt.Errorf("%d columns by %d rows in blocks of %d by %d with %d bytes a pixel, all must be 1 or more",
			cols, rows, fileCols, fileRows, pixelBytes)
	}
	if size := int64(fileCols) * int64(fileRows); size > mostBlockBytes/int64(pixelBytes) {
		return 0, 0, fmt.Errorf("its blocks of %d by %d pixels are decoded as a whole and take more than %d MiB each; "+
			"gdal_translate -co TILED=YES can cut it up", fileCols, fileRows, mostBlockBytes>>20)
	}
	c, r := min(fileCols, cols), min(fileRows, rows)
	switch {
	case c*r > mostPosts:
		if c > mostPosts {
			c = mostPosts
		}
		r = max(1, mostPosts/c)
	default:
		// Grow by whole blocks, the shorter side first; a strip grows down only.
		for c*r*2 <= wantedPosts && (c < cols || r < rows) {
			if (c <= r || r >= rows) && c < cols {
				c *= 2
			} else {
				r *= 2
			}
		}
	}
	return min(c, cols), min(r, rows), nil
}

// scratch holds what GDAL writes to before it becomes a block.
type scratch struct {
	raw  []float64
	mask []uint8
}

var scratchPool = sync.Pool{New: func() any { return new(scratch) }}

// block returns the heights of block bc, br and its shape.
func (r *Raster) block(bc, br int) (heightM []float32, err error) {
	key := blockKey{r.id, int32(bc), int32(br)}
	if b := r.cache.get(key); b != nil {
		return b, nil
	}
	err = r.file.use(func(ds binding.Dataset) error {
		// Another goroutine may have read it while this one waited.
		if heightM = r.cache.get(key); heightM != nil {
			return nil
		}
		cols, rows := r.blockSize(bc, br)
		heightM = make([]float32, cols*rows)
		if _, err := r.read(ds, bc*r.blockCols, br*r.blockRows, cols, rows, heightM); err != nil {
			return err
		}
		r.cache.put(key, heightM)
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("gdal: %s: %w", r.info.Path, err)
	}
	return heightM, nil
}

// blockSize returns the shape of a block, smaller at the right and lower edge.
func (r *Raster) blockSize(bc, br int) (cols, rows int) {
	return min(r.blockCols, r.info.Cols-bc*r.blockCols), min(r.blockRows, r.info.Rows-br*r.blockRows)
}

// read reads a window in one call, settles the voids, and returns how many
// values were no heights though not marked as void. It runs inside file.use.
func (r *Raster) read(ds binding.Dataset, col, row, cols, rows int, heightM []float32) (implausible int64, err error) {
	n := cols * rows
	s := scratchPool.Get().(*scratch)
	defer scratchPool.Put(s)
	s.raw, s.mask = slices.Grow(s.raw[:0], n)[:n], slices.Grow(s.mask[:0], n)[:n]
	err = r.sums.verify(r.file.path, ds, r.band, col, row, cols, rows)
	if err == nil {
		err = r.columns.verify(col, cols)
	}
	if err == nil {
		var ioErr error
		text := call(r.file.remote, func() {
			b := ds.RasterBand(r.band)
			if b == (binding.RasterBand{}) {
				ioErr = errors.New("the band is gone")
				return
			}
			ioErr = b.IO(binding.Read, col, row, cols, rows, s.raw, cols, rows, 0, 0)
			switch {
			case ioErr != nil:
			case r.masked:
				ioErr = b.GetMaskBand().IO(binding.Read, col, row, cols, rows, s.mask, cols, rows, 0, 0)
			default:
				w := window{b, col, row, s.mask, cols}
				w.settle(0, 0, cols, rows)
			}
		})
		err = cmp.Or(text, ioErr)
	}
	if err != nil {
		return 0, fmt.Errorf("reading columns %d to %d, rows %d to %d: %w", col, col+cols-1, row, row+rows-1, err)
	}
	for i, v := range s.raw {
		switch {
		case s.mask[i] == 0, v != v:
			heightM[i] = terrain.VoidHeight()
			continue
		case !r.plain:
			v = (v*r.scale + r.offset) * r.info.UnitM
		}
		if !(v >= lowestGroundM && v <= highestGroundM) {
			heightM[i] = terrain.VoidHeight()
			implausible++
			continue
		}
		heightM[i] = float32(v)
	}
	return implausible, nil
}
