//go:build gdal

package gdal

import (
	"strings"
	"testing"

	binding "github.com/lukeroth/gdal"
)

// readOver tries a source straight in GDAL, past the look at the files.
func readOver(source string) {
	ds, err := binding.OpenEx(vrtOver(source), binding.OFReadOnly|binding.OFRaster|binding.OFVerbose_Error, nil, nil, nil)
	if err == nil {
		var pixels [9]float64
		_ = ds.RasterBand(1).IO(binding.Read, 0, 0, 3, 3, pixels[:], 3, 3, 0, 0)
		ds.Close()
	}
}

func openNothing(name string) { _, _ = binding.Open("/nowhere/"+name, binding.ReadOnly) }

// A call inside a call keeps its errors to itself, leaves those of the outer one, and the
// network as that one has it.
func TestCallsNest(t *testing.T) {
	url, asked := counting(t)
	for _, remote := range []bool{false, true} {
		var inner, clean error
		outer := call(false, func() {
			openNothing("before")
			inner = call(remote, func() {
				openNothing("inside")
				readOver(url + "/a.tif")
			})
			clean = call(remote, func() {})
			readOver(url + "/a.tif")
			readOver("/vsicurl/" + url + "/a.tif")
			openNothing("after")
		})
		if n := asked.Swap(0); n != 0 {
			t.Errorf("inner call remote %t: the server was asked %d times behind a shut door", remote, n)
		}
		if clean != nil {
			t.Errorf("a call that does nothing fails: %v", clean)
		}
		if inner == nil || !strings.Contains(inner.Error(), "inside") || strings.Contains(inner.Error(), "before") {
			t.Errorf("the inner call says %v", inner)
		}
		if outer == nil || !strings.Contains(outer.Error(), "before") || !strings.Contains(outer.Error(), "after") ||
			strings.Contains(outer.Error(), "inside") {
			t.Errorf("the outer call says %v", outer)
		}
	}
	// A shut call inside an open one ends with the door open again.
	_ = call(true, func() {
		_ = call(false, func() { readOver(url + "/a.tif") })
		if n := asked.Swap(0); n != 0 {
			t.Errorf("a shut call inside an open one asked the server %d times", n)
		}
		readOver(url + "/b.tif")
	})
	if asked.Load() == 0 {
		t.Error("the open call has lost the network to the shut one inside")
	}
}
