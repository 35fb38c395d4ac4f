//go:build gdal

package gdal

import "testing"

func TestCacheKeepsWithinItsBound(t *testing.T) {
	c := NewCache(400)                                           // 100 heights
	block := func(n int) []float32 { return make([]float32, n) } // 4 bytes each
	key := func(raster uint64, k int32) blockKey { return blockKey{raster, k, 0} }
	c.put(key(1, 0), block(40))
	c.put(key(1, 1), block(40))
	if c.get(key(1, 0)) == nil { // now the one used last
		t.Fatal("block 0 is gone with room to spare")
	}
	c.put(key(1, 2), block(40)) // 120 do not fit: block 1 goes
	if c.get(key(1, 1)) != nil || c.get(key(1, 0)) == nil || c.get(key(1, 2)) == nil || c.used != 320 {
		t.Errorf("kept %v, %d bytes; want blocks 0 and 2, 320 bytes", c.blocks, c.used)
	}
	c.put(key(1, 2), block(50)) // again, larger
	if c.used != 360 || len(c.get(key(1, 2))) != 50 {
		t.Errorf("%d bytes, want 360", c.used)
	}
	c.put(key(2, 0), block(101)) // more than all of it
	if c.get(key(2, 0)) != nil || c.used != 360 {
		t.Errorf("a block larger than the cache is kept, or drove out others: %d bytes", c.used)
	}
	c.put(key(2, 0), block(10))
	c.forget(1)
	if c.get(key(1, 0)) != nil || c.get(key(2, 0)) == nil || c.used != 40 || c.lru.Len() != 1 || len(c.blocks) != 1 {
		t.Errorf("after forgetting raster 1: %v, %d bytes", c.blocks, c.used)
	}
	if NewCache(0).limit != 128<<20 || NewCache(-1).limit != 128<<20 {
		t.Error("the default is not 128 MiB")
	}
}

func TestBlockShape(t *testing.T) {
	for _, tc := range []struct {
		name                                        string
		cols, rows, fileCols, fileRows, bytes, c, r int
	}{
		{"tiles of 256", 40000, 40000, 256, 256, 4, 256, 256},
		{"tiles of 128 by fours", 1000, 1000, 128, 128, 2, 256, 256},
		{"tiles of 512, whole", 40000, 40000, 512, 512, 4, 512, 512},
		{"one row a strip", 3601, 3601, 3601, 1, 2, 3601, 16},
		{"wide rows", 100000, 50000, 100000, 1, 4, 100000, 1},
		{"small file", 50, 40, 50, 40, 4, 50, 40},
		{"narrow file", 1, 100000, 1, 1, 4, 1, 65536},
		{"DTED, by columns", 121, 121, 1, 121, 2, 121, 121},
		{"blocks too large to keep", 5000, 5000, 5000, 5000, 4, 5000, 209},
		{"a row too long to keep", 3000000, 2, 3000000, 1, 4, 1048576, 1},
	} {
		c, r, err := blockShape(tc.cols, tc.rows, tc.fileCols, tc.fileRows, tc.bytes)
		if err != nil || c != tc.c || r != tc.r {
			t.Errorf("%s: %d by %d, %v; want %d by %d", tc.name, c, r, err, tc.c, tc.r)
		}
	}
	if _, _, err := blockShape(10, 10, 0, 1, 4); err == nil {
		t.Error("blocks without pixels are accepted")
	}
	if _, _, err := blockShape(1<<30, 1<<30, 1<<30, 1<<30, 8); err == nil {
		t.Error("blocks of 2^63 bytes are accepted")
	}
}

func TestVerticalUnitOfSystem(t *testing.T) {
	for _, tc := range []struct {
		band   string
		system crs
		name   string
		m      float64
	}{
		{"", crs{}, "metre", 1},
		{"unknown", crs{}, "metre", 1},
		{"", crs{verticalUnit: "US survey foot", verticalUnitM: 1200.0 / 3937}, "US survey foot", 1200.0 / 3937},
		{"", crs{verticalUnit: "British foot (1936)", verticalUnitM: 0.3048007491}, "British foot (1936)",
			0.3048007491}, // a unit of its own, with its length
		{"foot", crs{verticalUnit: "fathom", verticalUnitM: 1.8288}, "foot", 0.3048},
		{" Metre ", crs{}, "metre", 1},
		{"US_survey_foot", crs{}, "US survey foot", 1200.0 / 3937},
	} {
		if name, m, err := verticalUnit(tc.band, tc.system); err != nil || name != tc.name || m != tc.m {
			t.Errorf("%q, %+v: %q, %v m, %v; want %q, %v m", tc.band, tc.system, name, m, err, tc.name, tc.m)
		}
	}
}
