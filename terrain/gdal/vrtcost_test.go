//go:build gdal

package gdal

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	binding "github.com/lukeroth/gdal"
)

// bigVRT is a VRT of side × side posts over one degree.
func bigVRT(side int, sources string) string {
	return fmt.Sprintf(`<VRTDataset rasterXSize="%d" rasterYSize="%d"><SRS>EPSG:4326</SRS>
<GeoTransform>-85, %.17g, 0, 37, 0, -%.17g</GeoTransform><VRTRasterBand dataType="Float32" band="1">%s</VRTRasterBand></VRTDataset>`,
		side, side, 1/float64(side), 1/float64(side), sources)
}

func vrtSource(name string, from, to int) string {
	return fmt.Sprintf(`<SimpleSource><SourceFilename relativeToVRT="1">%s</SourceFilename><SourceBand>1</SourceBand>
<SrcRect xOff="0" yOff="0" xSize="%d" ySize="%[2]d"/><DstRect xOff="0" yOff="0" xSize="%d" ySize="%[3]d"/></SimpleSource>`,
		name, from, to)
}

// A few hundred bytes that ask for the work of minutes end soon: sources piled up, VRT files of
// VRT files, one post out of millions.
func TestVRTThatAsksForTooMuch(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	stored(50).write(t, filepath.Join(dir, "a.tif")) // 3 × 3
	refusedBy(t, put("pile.vrt", bigVRT(900, strings.Repeat(vrtSource("a.tif", 3, 900), 5000))), "5000 over each other")
	last := "a.tif"
	for k := range 6 {
		next := fmt.Sprintf("tree%d.vrt", k)
		put(next, bigVRT(900, strings.Repeat(vrtSource(last, []int{3, 900}[min(k, 1)], 900), 20)))
		last = next
	}
	refusedBy(t, filepath.Join(dir, last), "400 over each other")
	refusedBy(t, put("shrink.vrt", bigVRT(10, vrtSource("huge.vrt", 1000000, 10))), "no such file")
	put("huge.vrt", bigVRT(1000000, vrtSource("a.tif", 3, 1000000)))
	refusedBy(t, put("shrink.vrt", bigVRT(10, vrtSource("huge.vrt", 1000000, 10))), "1e+10 of a source")
	// A mosaic of many parts, and two sets over each other, are what VRT files are for.
	parts := ""
	for k := range 900 {
		parts += fmt.Sprintf(`<SimpleSource><SourceFilename relativeToVRT="1">a.tif</SourceFilename><SourceBand>1</SourceBand>
<SrcRect xOff="0" yOff="0" xSize="3" ySize="3"/><DstRect xOff="%d" yOff="%d" xSize="30" ySize="30"/></SimpleSource>`,
			k%30*30, k/30*30)
	}
	mustOpen(t, put("mosaic.vrt", bigVRT(900, parts+parts)))
}

// Of 10^10 posts a sample is looked at, from all over the raster, and told.
func TestCountOfAVeryLargeRaster(t *testing.T) {
	dir := t.TempDir()
	s := stored(50)
	s.value = func(col, row int) float64 { return float64(100*col + 10*row) }
	s.write(t, filepath.Join(dir, "a.tif"))
	path := filepath.Join(dir, "big.vrt")
	if err := os.WriteFile(path, []byte(bigVRT(100000, vrtSource("a.tif", 3, 100000))), 0o644); err != nil {
		t.Fatal(err)
	}
	c, err := mustOpen(t, path).Count(context.Background())
	if err != nil || c.Posts != 1e10 || c.Looked > 1<<26 || c.Looked < 1<<25 || c.Voids != 0 || c.LowestM != 0 ||
		c.HighestM != 220 {
		t.Errorf("%+v, %v; want 1e10 posts, up to 2^26 looked at, 0 to 220 m", c, err)
	}
	c, err = mustOpen(t, filepath.Join(dir, "a.tif")).Count(context.Background())
	if err != nil || c.Looked != 9 || c.Posts != 9 {
		t.Errorf("%+v, %v: want all of 9 posts", c, err)
	}
}

// A GeoTIFF whose bands lie pixel by pixel is decoded with all of them: 300 bands in blocks of
// 512 by 512 take 600 MiB for one height.
func TestBlocksOfManyBands(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "many.tif")
	_ = call(false, func() {
		d, err := binding.GetDriverByName("GTiff")
		if err != nil {
			t.Fatal(err)
		}
		ds := d.Create(path, 512, 512, 300, binding.Float64,
			[]string{"INTERLEAVE=PIXEL", "TILED=YES", "BLOCKXSIZE=512", "BLOCKYSIZE=512", "SPARSE_OK=TRUE"})
		band := ds.RasterBand(1)
		band.SetMetadataItem("DESCRIPTION", "elevation", "")
		ds.Close()
	})
	refusedBy(t, path, "more than 128 MiB each")
	vrt := filepath.Join(dir, "one.vrt")
	if err := os.WriteFile(vrt, []byte(bigVRT(512, vrtSource("many.tif", 512, 512))), 0o644); err != nil {
		t.Fatal(err)
	}
	refusedBy(t, vrt, "more than 128 MiB each")
}
