//go:build gdal

package gdal

import (
	"bufio"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"sync"

	binding "github.com/lukeroth/gdal"
)

// checksums verifies the Adler-32 sums of the DEFLATE blocks of a GeoTIFF (RFC 1950, section 2.2),
// each block once. The TIFF library stops reading when it has enough bytes, before the sum: of 100
// bits turned over in the blocks of a test file, it let 9 through as wrong heights.
type checksums struct {
	blockCols, blockRows int
	mostBytes            int64 // a block, unpacked

	mu    sync.Mutex
	done  []uint64 // a bit for each block
	wide  int      // blocks in a row
	cells int
}

// newChecksums returns nil where there is nothing to verify.
func newChecksums(h head, b *bandHead, remote bool) *checksums {
	if remote || h.driver != "GTiff" || h.compression != "DEFLATE" || b.blockCols < 1 || b.blockRows < 1 {
		return nil
	}
	wide, high := (h.cols+b.blockCols-1)/b.blockCols, (h.rows+b.blockRows-1)/b.blockRows
	return &checksums{
		blockCols: b.blockCols, blockRows: b.blockRows, wide: wide, cells: wide * high,
		mostBytes: int64(b.blockCols) * int64(b.blockRows) * int64(b.pixelBytes),
		done:      make([]uint64, (wide*high+63)/64),
	}
}

// verify checks the blocks under a window. It runs inside file.use.
func (c *checksums) verify(path string, ds binding.Dataset, band, col, row, cols, rows int) error {
	if c == nil {
		return nil
	}
	var f *os.File
	for br := row / c.blockRows; br <= (row+rows-1)/c.blockRows; br++ {
		for bc := col / c.blockCols; bc <= (col+cols-1)/c.blockCols; bc++ {
			if k := br*c.wide + bc; c.verified(k, false) {
				continue
			}
			offset, size := c.stored(ds, band, bc, br)
			if size > 0 { // else nothing is stored
				if f == nil {
					var err error
					if f, err = os.Open(path); err != nil {
						return plainPathError(err)
					}
					defer f.Close()
				}
				if err := c.inflate(io.NewSectionReader(f, offset, size)); err != nil {
					return fmt.Errorf("the compressed block at byte %d is damaged: %w", offset, err)
				}
			}
			c.verified(br*c.wide+bc, true)
		}
	}
	return nil
}

// verified reports whether block k has been verified, and notes it if it is now.
func (c *checksums) verified(k int, now bool) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if k < 0 || k >= c.cells {
		return true // GDAL will complain
	}
	was := c.done[k/64]>>(k%64)&1 == 1
	if now {
		c.done[k/64] |= 1 << (k % 64)
	}
	return was
}

// stored tells where a block lies in the file, as the GTiff driver knows it.
func (c *checksums) stored(ds binding.Dataset, band, bc, br int) (offset, size int64) {
	at := fmt.Sprintf("%d_%d", bc, br)
	_ = call(false, func() { // what it has to say, reading says again
		b := ds.RasterBand(band)
		offset, _ = strconv.ParseInt(b.MetadataItem("BLOCK_OFFSET_"+at, "TIFF"), 10, 64)
		size, _ = strconv.ParseInt(b.MetadataItem("BLOCK_SIZE_"+at, "TIFF"), 10, 64)
	})
	if offset <= 0 || size <= 0 {
		return 0, 0
	}
	return offset, size
}

// inflate unpacks a block to nowhere, to the sum at its end.
func (c *checksums) inflate(r io.Reader) error {
	z, err := zlib.NewReader(bufio.NewReader(r))
	if err != nil {
		return err
	}
	n, err := io.Copy(io.Discard, io.LimitReader(z, c.mostBytes+1))
	if err == nil && n > c.mostBytes {
		err = errors.New("it unpacks to more than a block")
	}
	return err
}
