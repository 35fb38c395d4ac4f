package largepages

import (
	"unsafe"

	"golang.org/x/sys/unix"
)

// hint asks for large pages for all ordinary pages that lie inside the slice: madvise(2)
// with MADV_HUGEPAGE.
func hint[T any](s []T) {
	var t T
	bytes := uintptr(len(s)) * unsafe.Sizeof(t)
	if bytes < leastBytes {
		return
	}
	start, page := unsafe.Pointer(unsafe.SliceData(s)), uintptr(unix.Getpagesize())
	skip := -uintptr(start) % page
	whole := (bytes - skip) / page * page
	_ = unix.Madvise(unsafe.Slice((*byte)(start), bytes)[skip:skip+whole], unix.MADV_HUGEPAGE) // refused: ordinary pages do too
}
