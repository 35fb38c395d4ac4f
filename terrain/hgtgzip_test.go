package terrain

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"testing"
	"testing/fstest"
)

func gzipBytes(t testing.TB, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := z.Write(data); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestHGTGzip(t *testing.T) {
	tile := hgtBytes(postsSRTM3, func(col, row int) int16 { return int16(col - row) })
	packed := gzipBytes(t, tile)
	g := mustLoad(t, fstest.MapFS{"n36w085.HGT.GZ": {Data: packed}}, "n36w085.HGT.GZ")
	if g.WestDeg != -85 || g.NorthDeg != 37 || g.Cols != postsSRTM3 || g.HeightM[5*postsSRTM3+300] != 295 {
		t.Errorf("%+v, post %g m", g.Lattice, g.HeightM[5*postsSRTM3+300])
	}
	// A file that cannot be read at offsets, as in an archive.
	mustLoad(t, frontToBack{fstest.MapFS{"N36W085.hgt.gz": {Data: packed}}}, "N36W085.hgt.gz")
}

func TestHGTGzipFaults(t *testing.T) {
	packed := gzipBytes(t, hgtBytes(postsSRTM3, func(col, row int) int16 { return int16(col & row) }))
	turned := bytes.Clone(packed)
	turned[len(turned)-6] ^= 1 // of the checksum
	lying := bytes.Clone(gzipBytes(t, []byte("short")))
	copy(lying[len(lying)-4:], packed[len(packed)-4:])
	for what, tc := range map[string]struct {
		name  string
		data  []byte
		words []string
	}{
		"no corner":     {"tile.hgt.gz", packed, []string{"tile.hgt.gz", "N36W085"}},
		"empty":         {"N36W085.hgt.gz", nil, []string{"N36W085.hgt.gz", "not a gzip file"}},
		"other size":    {"N36W085.hgt.gz", gzipBytes(t, []byte("short")), []string{"5 bytes"}},
		"lie":           {"N36W085.hgt.gz", lying, []string{"2884802 bytes", "cannot be"}},
		"no gzip":       {"N36W085.hgt.gz", append(make([]byte, 9000), packed[len(packed)-4:]...), []string{"invalid header"}},
		"checksum":      {"N36W085.hgt.gz", turned, []string{"checksum"}},
		"cut":           {"N36W085.hgt.gz", packed[:len(packed)-9], []string{"N36W085.hgt.gz"}},
		"cut by a tile": {"N36W085.hgt.gz", append(packed[:len(packed)-100:len(packed)-100], packed[len(packed)-4:]...), []string{"unexpected EOF"}},
	} {
		_, err := openAndLoad(t, fstest.MapFS{tc.name: {Data: tc.data}}, tc.name)
		wantError(t, what, err, tc.words...)
	}
}

// frontToBack hides that files can be read at offsets.
type frontToBack struct{ fs.FS }

func (f frontToBack) Open(name string) (fs.File, error) {
	file, err := f.FS.Open(name)
	return struct{ fs.File }{file}, err
}
