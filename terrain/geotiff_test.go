package terrain

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/madetiff"
)

// The rasters in degrees were cut out of SRTM tiles (SOURCES.md beside them), whose reader is the
// second way to every post of them; reference_points.csv, by numpy and GDAL, is a third.
func TestReferenceGeoTIFF(t *testing.T) {
	if testing.Short() {
		t.Skip("every post of 14 rasters, from whole tiles")
	}
	fsys := demDir(t)
	const variants = "derived/variants/"
	for _, tc := range []struct {
		file, tile string
		cols, rows int
	}{
		{variants + "float32_deflate_pred3.tif", "", 96, 72},
		{variants + "float64_lzw.tif", "", 96, 72},
		{variants + "int16_bigtiff.tif", "", 96, 72},
		{variants + "int16_deflate_tile32.tif", "", 96, 72},
		{variants + "int16_lzw.tif", "", 96, 72},
		{variants + "int16_lzw_pred2.tif", "", 96, 72},
		{variants + "int16_none_bigendian.tif", "", 96, 72},
		{variants + "int16_none_strip.tif", "", 96, 72},
		{variants + "int16_packbits.tif", "", 96, 72},
		{variants + "int16_pixelispoint.tif", "", 96, 72},
		{variants + "uint16_none.tif", "", 96, 72},
		{variants + "int16_with_voids.tif", "srtm3/N49E011.hgt.zip", 48, 32},
		{"derived/fichtel_ll_int16_deflate.tif", "", 361, 361},
		{"cumberland/cumberland_ll_int16.tif", "cumberland/N36W085.hgt.zip", 403, 344},
	} {
		g := mustLoad(t, fsys, tc.file)
		if g.Cols != tc.cols || g.Rows != tc.rows {
			t.Errorf("%s: %d by %d posts, want %d by %d", tc.file, g.Cols, g.Rows, tc.cols, tc.rows)
		}
		var sources []Source
		for _, tile := range []string{"srtm3/N50E011.hgt.zip", "srtm3/N49E011.hgt.zip"} {
			if tc.tile != "" {
				tile = tc.tile
			}
			found, err := OpenSources(fsys, tile)
			if err != nil {
				t.Fatal(err)
			}
			sources = append(sources, found...)
		}
		tile, err := NewTiles(sources, TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		voids, worst := 0, 0.0
		for i, h := range g.HeightM {
			want, flag := heightAt(t, tile, g.Post(i%g.Cols, i/g.Cols))
			if IsVoid(h) != (flag != Ground) {
				t.Fatalf("%s: post %d is %g m, the tile says %g m, %v", tc.file, i, h, want, flag)
			}
			if IsVoid(h) {
				voids++
				continue
			}
			worst = max(worst, math.Abs(float64(h)-want))
		}
		t.Logf("%s: worst difference %.6f m over %d posts, %d voids", tc.file, worst, len(g.HeightM), voids)
		if !(worst <= 0.00005) {
			t.Errorf("%s: %.6f m off", tc.file, worst)
		}
		if strings.Contains(tc.file, "voids") == (voids == 0) {
			t.Errorf("%s: %d voids", tc.file, voids)
		}
	}
}

func TestReferencePointsOfGeoTIFF(t *testing.T) {
	fsys := demDir(t)
	points, compared, worst := referencePoints(t, fsys), 0, 0.0
	for name, rows := range points {
		if !strings.HasSuffix(name, ".tif") || strings.Contains(name, "utm") || strings.Contains(name, "nztm") {
			continue
		}
		g := mustLoad(t, fsys, name)
		for _, row := range rows {
			h, flag := heightAt(t, g, row.at)
			if flag.Known() != row.known || !(math.Abs(h-row.bilinearM) <= 0.0002) {
				t.Errorf("%s: %v: %.5f m, %v; want %.5f m, known: %v", name, row.at, h, flag, row.bilinearM, row.known)
			}
			compared++
			worst = max(worst, math.Abs(h-row.bilinearM))
		}
	}
	t.Logf("worst difference %.6f m over %d points", worst, compared)
	if compared == 0 {
		t.Error("no rows of rasters in degrees: nothing compared")
	}
}

func TestReferenceGeoTIFFOfOtherKindsIsRefused(t *testing.T) {
	fsys := demDir(t)
	for file, words := range map[string][]string{
		"derived/variants/int16_zstd.tif":             {"ZSTD", "gdal_translate -co COMPRESS=DEFLATE"},
		"derived/fichtel_utm32_float32_tiled.tif":     {"EPSG:32632", "gdalwarp -t_srs EPSG:4326"},
		"cumberland/cumberland_utm16n_float32.tif":    {"EPSG:32616", "gdalwarp -t_srs EPSG:4326"},
		"geotiff/maungawhau_lidar5m_nztm_float32.tif": {"projected", "gdalwarp"},
		"geotiff/olinda_dem_utm25s.tif":               {"gdalwarp"},
	} {
		_, err := OpenSources(fsys, file)
		if !errors.Is(err, ErrNotBuiltIn) {
			t.Errorf("%s: error %v, want ErrNotBuiltIn", file, err)
			continue
		}
		for _, w := range append(words, file, "-tags gdal") {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("error %q does not mention %q", err, w)
			}
		}
	}
}

// The same in the repository: the raster beside the tile it was cut from.
func TestGeoTIFFEqualsTheTileBesideIt(t *testing.T) {
	fsys := os.DirFS("../testdata/cumberland")
	g, tile := mustLoad(t, fsys, "cumberland_ll_int16.tif"), mustLoad(t, fsys, "N36W085.hgt.zip")
	for i, h := range g.HeightM {
		if want, flag := heightAt(t, tile, g.Post(i%g.Cols, i/g.Cols)); flag != Ground || float64(h) != want {
			t.Fatalf("post %d: %g m, the tile says %g m, %v", i, h, want, flag)
		}
	}
	s, err := OpenSources(fsys, "cumberland_ll_int16.tif")
	if err != nil {
		t.Fatal(err)
	}
	sum, err := Summarise(t.Context(), s)
	if err != nil || sum.Format != "GeoTIFF, Int16" || sum.CRS != "WGS 84" || sum.Posts != 403*344 {
		t.Errorf("summary %+v, %v", sum, err)
	}
}

// A raster larger than a window is served in parts, which together are the raster.
func TestLargeGeoTIFFInWindows(t *testing.T) {
	if testing.Short() {
		t.Skip("54 million posts")
	}
	for name, im := range map[string]madetiff.Image{
		"tiles":  {Cols: 9000, Rows: 6000, TileCols: 1024, TileRows: 1024},
		"strips": {Cols: 9000, Rows: 6000, StripRows: 50},
	} {
		im.West, im.North, im.StepLon, im.StepLat = 10, 47, 1.0/3600, 1.0/3600
		im.Compression, im.Kind = 8, "Float32"
		im.Height = func(col, row int) float64 { return 10 + float64(col)/16 - float64(row)/32 }
		// Stored is what lies around the corner of four windows of tiles, or where windows of strips meet.
		corner := 4096.0
		im.Missing = func(k int) bool { return k/9 < 3 || k/9 > 4 || k%9 < 3 || k%9 > 4 }
		if name == "strips" {
			corner = 1800
			im.Missing = func(k int) bool { return k < 34 || k > 37 }
		}
		fsys := fstest.MapFS{"large.tif": {Data: im.Bytes()}}
		sources, err := OpenSources(fsys, "large.tif")
		if err != nil {
			t.Fatal(err)
		}
		if len(sources) < 4 {
			t.Errorf("%s: %d sources", name, len(sources))
		}
		posts := 0
		for i, s := range sources {
			posts += s.Lattice.Cols * s.Lattice.Rows
			if s.Lattice.Cols*s.Lattice.Rows > 2*windowSide*windowSide || s.Name != "large.tif" || s.Part != i {
				t.Errorf("%s: source %q of %+v", name, s.Name, s.Lattice)
			}
		}
		if posts != im.Cols*im.Rows {
			t.Errorf("%s: %d posts, want %d", name, posts, im.Cols*im.Rows)
		}
		sum, err := Summarise(t.Context(), sources)
		if err != nil || sum.Cols != im.Cols || sum.Rows != im.Rows || sum.Posts != int64(posts) || sum.Looked != sum.Posts ||
			sum.Voids != int64(posts-stored(im)) || sum.Extent.Bound != unionExtent(extentsOf(sources)).Bound {
			t.Errorf("%s: summary %+v, %v", name, sum, err)
		}
		tiles, err := NewTiles(sources, TilesOptions{CacheBytes: 80 << 20})
		if err != nil {
			t.Fatal(err)
		}
		var at []orb.Point
		for y := corner - 95; y < corner+95; y += 0.3 {
			at = append(at, orb.Point{10 + (4096+math.Mod(y, 7)-3.5)/3600, 47 - y/3600})
		}
		checkHeights(t, tiles, at, func(lon, lat float64) float64 {
			return 10 + (lon-10)*3600/16 - (47-lat)*3600/32
		}, 0.00005)
	}
}

// A file that becomes another one between being opened and being read is told.
func TestGeoTIFFThatChanges(t *testing.T) {
	im := madetiff.Image{Cols: 4, Rows: 4, West: 10, North: 50, StepLon: 0.1, StepLat: 0.1,
		Height: func(int, int) float64 { return 5 }}
	fsys := fstest.MapFS{"a.tif": {Data: im.Bytes()}}
	sources, err := OpenSources(fsys, "a.tif")
	if err != nil {
		t.Fatal(err)
	}
	im.North = 51
	fsys["a.tif"] = &fstest.MapFile{Data: im.Bytes()}
	if _, err := sources[0].Load(); !errors.Is(err, errChanged) {
		t.Errorf("error %v, want %v", err, errChanged)
	}
	delete(fsys, "a.tif")
	if _, err := sources[0].Load(); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("error %v", err)
	}
}

// stored counts the posts of the blocks that are stored.
func stored(im madetiff.Image) (n int) {
	cols, rows := im.TileCols, im.TileRows
	if cols == 0 {
		cols, rows = im.Cols, im.StripRows
	}
	k := 0
	for row := 0; row < im.Rows; row += rows {
		for col := 0; col < im.Cols; col += cols {
			if !im.Missing(k) {
				n += min(cols, im.Cols-col) * min(rows, im.Rows-row)
			}
			k++
		}
	}
	return n
}

func extentsOf(sources []Source) (out []Extent) {
	for _, s := range sources {
		out = append(out, s.Lattice.Extent())
	}
	return out
}
