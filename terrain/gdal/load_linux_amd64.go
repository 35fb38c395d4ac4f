//go:build gdal

package gdal

// #cgo LDFLAGS: -Wl,--as-needed -ldl
import "C"
