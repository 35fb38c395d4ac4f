package terrain

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"io"
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
)

// zipEntry is one file to be packed.
type zipEntry struct {
	name string
	data []byte
}

// zipBytes packs entries as tightly as DEFLATE can.
func zipBytes(t testing.TB, method uint16, entries ...zipEntry) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	w.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) {
		return flate.NewWriter(w, flate.BestCompression)
	})
	for _, e := range entries {
		f, err := w.CreateHeader(&zip.FileHeader{Name: e.name, Method: method})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(e.data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestHGTZipLoads(t *testing.T) {
	tile := flatHGT(0)
	binary.BigEndian.PutUint16(tile[2*1200:], 321) // north-east post
	resources := zipEntry{"__MACOSX/._N36W085.hgt", []byte("not a tile")}
	readme := zipEntry{"readme.txt", []byte("hello")}
	for _, tc := range []struct {
		what, name string
		method     uint16
		entries    []zipEntry
	}{
		{"name on both", "N36W085.hgt.zip", zip.Deflate, []zipEntry{{"N36W085.hgt", tile}}},
		{"any case", "n36w085.HGT.ZIP", zip.Deflate, []zipEntry{{"N36W085.HGT", tile}}},
		{"stored", "N36W085.hgt.zip", zip.Store, []zipEntry{{"N36W085.hgt", tile}}},
		{"with a suffix", "N36W085.SRTMGL3.hgt.zip", zip.Deflate, []zipEntry{{"N36W085.hgt", tile}}},
		{"plain .zip", "N36W085.zip", zip.Deflate, []zipEntry{{"N36W085.hgt", tile}}},
		{"only the archive speaks", "N36W085.hgt.zip", zip.Deflate, []zipEntry{{"data.hgt", tile}}},
		{"only the entry speaks", "download.hgt.zip", zip.Deflate, []zipEntry{{"N36W085.hgt", tile}}},
		{"in a folder, among others", "N36W085.hgt.zip", zip.Deflate, []zipEntry{resources, {"srtm/N36W085.hgt", tile}, readme}},
	} {
		fsys := fstest.MapFS{tc.name: {Data: zipBytes(t, tc.method, tc.entries...)}}
		for kind, fsys := range map[string]fs.FS{"seekable": fsys, "stream": streamFS{fsys}} {
			g := mustLoad(t, fsys, tc.name)
			if h, flag := heightAt(t, g, orb.Point{-84, 37}); h != 321 || flag != Ground {
				t.Errorf("%s, %s: %g m, %v; want 321 m", tc.what, kind, h, flag)
			}
			if h, flag := heightAt(t, g, orb.Point{-85, 36}); h != 0 || flag != Ground {
				t.Errorf("%s, %s: %g m, %v; want the sea", tc.what, kind, h, flag)
			}
		}
	}
}

// A 1" tile of nothing but sea is the tightest honest archive there is.
func TestHGTZipTightestTile(t *testing.T) {
	data := zipBytes(t, zip.Deflate, zipEntry{"S01E180.hgt", make([]byte, bytesSRTM1)})
	g := mustLoad(t, fstest.MapFS{"S01E180.hgt.zip": {Data: data}}, "S01E180.hgt.zip")
	if low, high, voids := rangeOf(g); low != 0 || high != 0 || voids != 0 {
		t.Errorf("%g..%g m, %d voids; want the sea in %d packed bytes", low, high, voids, len(data))
	}
}

func TestHGTZipFaults(t *testing.T) {
	tile := flatHGT(5)
	good := zipBytes(t, zip.Deflate, zipEntry{"N36W085.hgt", tile})
	stored := zipBytes(t, zip.Store, zipEntry{"N36W085.hgt", tile})
	// The central directory (APPNOTE.TXT 4.3.12) begins with PK\1\2; method at
	// +10, flags at +8, CRC at +16, packed size at +20, full size at +24.
	patched := func(archive []byte, change func(central []byte)) []byte {
		b := bytes.Clone(archive)
		change(b[bytes.LastIndex(b, []byte("PK\x01\x02")):])
		return b
	}
	broken := func(archive []byte) []byte { // one bit in the middle of the packed data
		b := bytes.Clone(archive)
		b[len(b)/2] ^= 0x10
		return b
	}
	for _, tc := range []struct {
		what, name string
		data       []byte
		words      []string
	}{
		{"no zip", "N36W085.hgt.zip", []byte("hello"), []string{"N36W085.hgt.zip", "not a readable zip"}},
		{"empty file", "N36W085.hgt.zip", nil, []string{"N36W085.hgt.zip", "not a readable zip"}},
		{"cut off", "N36W085.hgt.zip", good[:len(good)-30], []string{"not a readable zip"}},
		{"no tile", "N36W085.hgt.zip", zipBytes(t, zip.Deflate, zipEntry{"N36W085.tif", tile}), []string{"no .hgt entry", "N36W085.tif"}},
		{"nothing in it", "N36W085.hgt.zip", zipBytes(t, zip.Deflate), []string{"no .hgt entry", "nothing"}},
		{"two tiles", "N36W085.hgt.zip", zipBytes(t, zip.Deflate, zipEntry{"N36W085.hgt", tile},
			zipEntry{"N36W086.hgt", tile}), []string{"2 .hgt entries", "N36W085.hgt", "N36W086.hgt"}},
		{"names disagree", "N36W085.hgt.zip", zipBytes(t, zip.Deflate, zipEntry{"N36E085.hgt", tile}), []string{"N36W085", "N36E085"}},
		{"no name", "x.hgt.zip", zipBytes(t, zip.Deflate, zipEntry{"y.hgt", tile}), []string{"x.hgt.zip", "neither", "y.hgt"}},
		{"wrong size", "N36W085.hgt.zip", zipBytes(t, zip.Deflate, zipEntry{"N36W085.hgt", tile[1:]}), []string{"2884801 bytes", "2884802", "25934402"}},
		{"promises a larger tile", "N36W085.hgt.zip", patched(good, func(c []byte) { binary.LittleEndian.PutUint32(c[24:], bytesSRTM1) }), []string{"promises 25934402"}},
		{"promises terabytes", "N36W085.hgt.zip", patched(good, func(c []byte) { binary.LittleEndian.PutUint32(c[24:], 0xfffffffe) }), []string{"4294967294 bytes"}},
		{"packed size beyond the file", "N36W085.hgt.zip", patched(good, func(c []byte) { binary.LittleEndian.PutUint32(c[20:], 1<<30) }), []string{"which cannot be"}},
		{"encrypted", "N36W085.hgt.zip", patched(good, func(c []byte) { c[8] |= 1 }), []string{"encrypted"}},
		{"other method", "N36W085.hgt.zip", patched(good, func(c []byte) { c[10] = 12 }), []string{"method 12"}},
		{"crc", "N36W085.hgt.zip", patched(good, func(c []byte) { c[16] ^= 1 }), []string{"N36W085.hgt.zip", "checksum"}},
		{"flipped bit, stored", "N36W085.hgt.zip", broken(stored), []string{"N36W085.hgt.zip", "checksum"}},
		{"flipped bit, packed", "N36W085.hgt.zip", broken(good), []string{"N36W085.hgt.zip", `entry "N36W085.hgt"`}},
	} {
		fsys := fstest.MapFS{tc.name: {Data: tc.data}}
		sources, err := OpenSources(fsys, tc.name)
		if err == nil {
			_, err = sources[0].Load()
		}
		wantError(t, tc.what, err, tc.words...)
	}
}

// An entry that unpacks to more than it declares is cut off and refused: the
// size says one 3" tile, the data is ten of them.
func TestHGTZipBomb(t *testing.T) {
	bomb := zipBytes(t, zip.Deflate, zipEntry{"N36W085.hgt", make([]byte, 10*bytesSRTM3)})
	central := bomb[bytes.LastIndex(bomb, []byte("PK\x01\x02")):]
	binary.LittleEndian.PutUint32(central[24:], bytesSRTM3)
	sources, err := OpenSources(fstest.MapFS{"N36W085.hgt.zip": {Data: bomb}}, "N36W085.hgt.zip")
	if err == nil {
		_, err = sources[0].Load()
	}
	wantError(t, "bomb", err, "N36W085.hgt.zip", "after the 2884802 bytes of the tile", "zip")
}

func TestHGTZipChangedBeforeLoad(t *testing.T) {
	fsys := fstest.MapFS{"x.hgt.zip": {Data: zipBytes(t, zip.Deflate, zipEntry{"N36W085.hgt", flatHGT(5)})}}
	sources, err := OpenSources(fsys, "x.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	fsys["x.hgt.zip"].Data = zipBytes(t, zip.Deflate, zipEntry{"N37W085.hgt", flatHGT(5)})
	_, err = sources[0].Load()
	wantError(t, "changed", err, "x.hgt.zip", "changed")
}

// streamFS hides that its files can be read at an offset.
type streamFS struct{ fs.FS }

func (s streamFS) Open(name string) (fs.File, error) {
	f, err := s.FS.Open(name)
	if err != nil {
		return nil, err
	}
	return struct{ fs.File }{f}, nil
}
