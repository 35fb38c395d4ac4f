//go:build gdal

package gdal

/*
#include "shim.h"
*/
import "C"

import (
	"unsafe"

	binding "github.com/lukeroth/gdal"
)

// window is a part of a band without a mask and what stands behind its posts. GDAL gives
// 0 for a post that no source of a mosaic covers, and for a block that a sparse file does
// not hold: not heights, but nothing.
type window struct {
	band     binding.RasterBand
	col, row int
	mask     []uint8 // 0 where nothing stands behind a post
	cols     int
}

// settle fills in the mask of a part of the window: where part of it is backed, both
// halves are asked. A driver that cannot tell counts as backed.
func (w *window) settle(col, row, cols, rows int) {
	// The binding's band is GDAL's handle and nothing else.
	handle := *(*unsafe.Pointer)(unsafe.Pointer(&w.band))
	backed := C.polereach_backed(handle, C.int(w.col+col), C.int(w.row+row), C.int(cols), C.int(rows))
	if backed == 2 && cols*rows > 1 {
		if cols >= rows {
			w.settle(col, row, cols/2, rows)
			w.settle(col+cols/2, row, cols-cols/2, rows)
		} else {
			w.settle(col, row, cols, rows/2)
			w.settle(col, row+rows/2, cols, rows-rows/2)
		}
		return
	}
	value := uint8(255)
	if backed == 0 {
		value = 0
	}
	for y := row; y < row+rows; y++ {
		line := w.mask[y*w.cols+col : y*w.cols+col+cols]
		for i := range line {
			line[i] = value
		}
	}
}
