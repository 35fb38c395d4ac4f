package terrain

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/madetiff"
)

// openAndLoad is what a program does with a file it is handed.
func openAndLoad(t *testing.T, fsys fstest.MapFS, name string) (*Grid, error) {
	sources, err := OpenSources(fsys, name)
	if err != nil {
		return nil, err
	}
	if len(sources) != 1 {
		t.Fatalf("%d sources for one file", len(sources))
	}
	g, err := sources[0].Load()
	if err == nil && g.Lattice != sources[0].Lattice {
		t.Fatalf("loaded %+v, promised %+v", g.Lattice, sources[0].Lattice)
	}
	return g, err
}

// checkGrid holds for whatever a reader lets pass: a sound lattice with as many
// heights as posts, each of them ground or void, and finite answers.
func checkGrid(t *testing.T, g *Grid) {
	if err := g.Check(); err != nil {
		t.Fatal(err)
	}
	for i, h := range g.HeightM {
		if !IsVoid(h) && !(h >= -500 && h <= 9000) {
			t.Fatalf("post %d is %g m", i, h)
		}
	}
	b := g.Extent().Bound
	at := []orb.Point{b.Min, b.Max, b.Center(), g.Post(0, 0), g.Post(g.Cols-1, g.Rows-1), {b.Max[0] + 360, b.Max[1]}}
	h, flag := make([]float64, len(at)), make([]Flag, len(at))
	if err := g.Heights(at, h, flag); err != nil {
		t.Fatal(err)
	}
	for i := range at {
		if !(h[i] >= -500 && h[i] <= 9000) || !flag[i].Known() && h[i] != 0 {
			t.Fatalf("%v: %g m, %v", at[i], h[i], flag[i])
		}
	}
}

func FuzzASCIIGrid(f *testing.F) {
	for _, text := range []string{
		"ncols 2\nnrows 3\nxllcorner 10\nyllcorner 50\ncellsize 0.5\nNODATA_value -9999\n1 2.5\n-3 -9999\n500 0\n",
		"NROWS 1\r\nNCOLS 3\r\nDX 0.5\r\nDY 0.25\r\nXLLCENTER -180\r\nYLLCENTER -90\r\nnan -1e2 +5.\r\n",
		"ncols 99999999 nrows 99999999 xllcorner 0 yllcorner 0 cellsize 1e-7 1",
		"nodata_value 0 ncols 1 nrows 1 cellsize 1 xllcorner 0 yllcorner 0 0",
		"ncols 1 nrows 1 cellsize 1 cellsize 2 xllcorner inf yllcorner",
		"\xef\xbb\xbfncols 1 nrows 1 cellsize 1 xllcorner 0 yllcorner 0 1e999",
	} {
		f.Add([]byte(text), "")
	}
	f.Add([]byte(tinyASCII), wktWGS84)
	f.Add([]byte(tinyASCII), wkt2)
	f.Add([]byte(tinyASCII), "Projection GEOGRAPHIC\nDatum WGS84\nUnits DD\n")
	f.Fuzz(func(t *testing.T, data []byte, prj string) {
		fsys := fstest.MapFS{"g.asc": {Data: data}}
		if prj != "" {
			fsys["g.prj"] = &fstest.MapFile{Data: []byte(prj)}
		}
		g, err := openAndLoad(t, fsys, "g.asc")
		if err != nil {
			if len(err.Error()) > 20_000 {
				t.Fatalf("a message of %d bytes for a file of %d", len(err.Error()), len(data))
			}
			return
		}
		if len(g.HeightM) > (len(data)+1)/2 {
			t.Fatalf("%d heights out of %d bytes", len(g.HeightM), len(data))
		}
		checkGrid(t, g)
		if g.StepLonDeg != g.StepLatDeg {
			return // asciiBytes writes square cells
		}
		text := asciiBytes(g)
		again, err := readASCIIGrid(bytes.NewReader(text), int64(len(text)))
		if err != nil {
			t.Fatalf("written again: %v\n%s", err, text)
		}
		if diff := cmp.Diff(g.HeightM, again.HeightM, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("heights written again (-want +got):\n%s", diff)
		}
	})
}

// FuzzPRJ: neither case nor what stands round a coordinate system changes the verdict on it, and one
// that is taken is not on another ellipsoid as well.
func FuzzPRJ(f *testing.F) {
	for _, text := range []string{wktWGS84, wkt2, wktETRS89, wktCompound, wktFeet, wktUTM, wkt2UTM, wktNAD27, wktParis,
		wktGrad, wktECEF, "Projection GEOGRAPHIC\nDatum WGS84\nUnits DD\n", "Projection UTM\n", `GEOGCS["bare"]`, ""} {
		f.Add(text)
	}
	f.Add(`LOCAL_CS["` + strings.Repeat("\x12", 1200) + `"]`) // a message repeats some of a name
	f.Fuzz(func(t *testing.T, text string) {
		err := geographicWGS84(text)
		for _, same := range []string{strings.ToUpper(text), "\ufeff \r\n" + text + "\r\n"} {
			if other := geographicWGS84(same); (err == nil) != (other == nil) {
				t.Fatalf("%q: %v, %q: %v", text, err, same, other)
			}
		}
		if err == nil && wktRoot.MatchString(text) && geographicWGS84(text+`,SPHEROID["s",6377397,299.15]`) == nil {
			t.Fatalf("%q is taken on another ellipsoid", text)
		}
		if err != nil && len(err.Error()) > 1000 {
			t.Fatalf("a message of %d bytes", len(err.Error()))
		}
	})
}

func FuzzHGT(f *testing.F) {
	f.Add("N36W085.hgt", []byte{0x01, 0x02, 0x80, 0x00, 0xff, 0xff}, int8(0))
	f.Add("s01e180.SRTMGL3.HGT", []byte{0, 0}, int8(0))
	f.Add("N36W085.hgt", []byte{5}, int8(-1))
	f.Add("x.hgt", []byte{5}, int8(1))
	f.Fuzz(func(t *testing.T, name string, pattern []byte, extra int8) {
		// A tile of the pattern over and over, a few bytes more or less.
		size := bytesSRTM3 + int(extra)
		if len(pattern) == 0 || name == "." || !fs.ValidPath(name) {
			return // no file system has a file of that name
		}
		data := bytes.Repeat(pattern, size/len(pattern)+1)[:size]
		g, err := openHGTFrom(fstest.MapFS{name: {Data: data}}, name)
		_, named := cornerOf(name)
		if (err == nil) != (named && extra == 0) {
			t.Fatalf("%q with %d bytes: error %v", name, size, err)
		}
		if err != nil {
			return
		}
		checkGrid(t, g)
		for i := range 50 { // the bytes, read another way
			v := int16(data[2*i])<<8 | int16(data[2*i+1])
			if h := g.HeightM[i]; !IsVoid(h) && h != float32(v) || IsVoid(h) != (v < -500 || v > 9000) {
				t.Fatalf("post %d: %g m from %d", i, h, v)
			}
		}
	})
}

// openHGTFrom loads a file as a plain tile, whatever the end of its name.
func openHGTFrom(fsys fstest.MapFS, name string) (*Grid, error) {
	s, err := openHGT(fsys, name)
	if err != nil {
		return nil, err
	}
	return s.Load()
}

func FuzzHGTZip(f *testing.F) {
	tile := flatHGT(5)
	f.Add("N36W085.hgt.zip", zipBytes(f, zip.Deflate, zipEntry{"N36W085.hgt", tile}))
	f.Add("x.hgt.zip", zipBytes(f, zip.Deflate, zipEntry{"readme.txt", []byte("hello")}, zipEntry{"a/S01E180.HGT", tile}))
	f.Add("x.zip", zipBytes(f, zip.Store, zipEntry{"N36W085.hgt", []byte("short")}))
	f.Add("N36W085.zip", zipBytes(f, zip.Deflate))
	f.Add("N36W085.hgt.zip", []byte("PK\x05\x06"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		if strings.Contains(name, "/") {
			return
		}
		fsys := fstest.MapFS{name: {Data: data}}
		s, err := openHGTZip(fsys, name)
		if err != nil {
			return
		}
		if n := s.Lattice.Cols * s.Lattice.Rows; 2*n > len(data)*deflateRatio {
			t.Fatalf("%d posts promised out of %d bytes", n, len(data))
		}
		g, err := s.Load()
		if err != nil {
			return
		}
		if g.Lattice != s.Lattice {
			t.Fatalf("loaded %+v, promised %+v", g.Lattice, s.Lattice)
		}
		checkGrid(t, g)
	})
}

func FuzzGeoTIFF(f *testing.F) {
	for k, im := range []madetiff.Image{
		{}, {Kind: "Float32", Compression: 8, Predictor: 3, TileCols: 16, TileRows: 16, Overviews: 1, Mask: true},
		{Kind: "Float64", Compression: 5, Predictor: 3, StripRows: 2, NoData: "-9999", BigEndian: true},
		{Kind: "UInt16", Compression: 5, Predictor: 2, NoData: "65535", Big: true}, {Compression: 32773, Point: true},
		{Compression: 8, TileCols: 16, TileRows: 16, Missing: func(k int) bool { return k == 1 }, BigEndian: true, Big: true},
		{Kind: "Int32", Compression: 32946, Predictor: 2}, {Kind: "Byte", StripRows: 1},
	} {
		im.Cols, im.Rows, im.West, im.North, im.StepLon, im.StepLat = 20, 6+k, 10, 50, 0.01, 0.02
		im.Height = func(col, row int) float64 { return float64(col*10 + row) }
		f.Add(im.Bytes())
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		fsys := fstest.MapFS{"g.tif": {Data: data}}
		sources, err := OpenSources(fsys, "g.tif")
		if err != nil {
			if len(err.Error()) > 20_000 {
				t.Fatalf("a message of %d bytes for a file of %d", len(err.Error()), len(data))
			}
			return
		}
		if len(sources) > 8192 {
			t.Fatalf("%d sources", len(sources))
		}
		for _, s := range []Source{sources[0], sources[len(sources)-1]} {
			if err := s.Lattice.Check(); err != nil {
				t.Fatal(err)
			}
			if s.Lattice.Cols*s.Lattice.Rows > 1<<20 {
				continue // a sparse file may promise as much as a tile has; it takes its time
			}
			if g, err := s.Load(); err == nil {
				checkGrid(t, g)
			}
		}
	})
}

func FuzzHGTGzip(f *testing.F) {
	f.Add("N36W085.hgt.gz", gzipBytes(f, flatHGT(5)))
	f.Add("s01e180.hgt.gz", gzipBytes(f, []byte("short")))
	f.Add("x.hgt.gz", []byte{0x1f, 0x8b})
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		if strings.Contains(name, "/") {
			return
		}
		s, err := openHGTGzip(fstest.MapFS{name: {Data: data}}, name)
		if err != nil {
			return
		}
		if n := s.Lattice.Cols * s.Lattice.Rows; 2*n > len(data)*deflateRatio {
			t.Fatalf("%d posts promised out of %d bytes", n, len(data))
		}
		if g, err := s.Load(); err == nil {
			checkGrid(t, g)
		}
	})
}
