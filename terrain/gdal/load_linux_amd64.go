//go:build gdal && !asan

package gdal

// #cgo LDFLAGS: -Wl,--as-needed -ldl
import "C"
