//go:build gdal

package gdal

/*
#cgo pkg-config: gdal
#include <stdlib.h>
#include "shim.h"
*/
import "C"

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync"
	"unsafe"
)

// blockCacheMiB bounds GDAL's own cache of blocks, which serves windows that
// share blocks; what is read is kept in a Cache.
const blockCacheMiB = 32

// register loads GDAL and prepares it, when it is first needed: what reads no raster through
// it does without the time that takes, and without the library.
var register = sync.OnceValue(func() error {
	if why := C.polereach_load(); why != nil {
		return fmt.Errorf("the library cannot be loaded: %s", C.GoString(why))
	}
	C.polereach_register(blockCacheMiB)
	return nil
})

// call runs fn, which calls GDAL, on one thread with the error state cleared before, and returns
// GDAL's text of what failed meanwhile, nil if nothing did. The error state belongs to the thread,
// so what fn leaves there cannot be another goroutine's. Where GDAL cannot be loaded fn is not called.
func call(remote bool, fn func()) error {
	if err := register(); err != nil {
		return err
	}
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	flag := C.int(0)
	if remote {
		flag = 1
	}
	C.polereach_begin(flag)
	defer C.polereach_end()
	fn()
	n := C.polereach_failed()
	if n == 0 {
		return nil
	}
	text := tidy(C.GoString(C.polereach_first()))
	if n > 1 {
		if last := tidy(C.GoString(C.polereach_last())); last != text && last != "" {
			text += "; " + last
		}
	}
	return errors.New(text)
}

// tidy makes one line of an error text and fills an empty one.
func tidy(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if text == "" {
		return "GDAL gives no reason"
	}
	return text
}

// crs is a coordinate system taken apart.
type crs struct {
	wkt           string // horizontal part, empty if not understood
	name          string
	vertical      string // name of the vertical part, empty if none
	verticalUnit  string
	verticalUnitM float64 // 0 if none
	geographic    bool
}

// readCRS takes a coordinate system apart, given as well-known text or by any
// name GDAL takes.
func readCRS(text string) (crs, error) {
	in := C.CString(text)
	defer C.free(unsafe.Pointer(in))
	var out C.struct_polereach_crs
	err := call(false, func() { C.polereach_crs_read(in, &out) })
	defer C.polereach_crs_free(&out)
	c := crs{
		wkt: C.GoString(out.horizontal), name: C.GoString(out.name), vertical: C.GoString(out.vertical),
		verticalUnit: C.GoString(out.vertical_unit), verticalUnitM: float64(out.vertical_m), geographic: out.geographic != 0,
	}
	if c.wkt != "" {
		err = nil // a missing vertical part is reported as a failure, too
	} else if err == nil {
		err = errors.New("neither geographic nor projected, or called by the number of another kind")
	}
	return c, err
}
