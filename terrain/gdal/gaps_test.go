//go:build gdal

package gdal

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// A mosaic of two pieces with a gap between them, and a file that leaves blocks out, say
// nothing of a value for what is missing: there the ground is not known, and not 0 m.
func TestGapsAreVoids(t *testing.T) {
	dir := t.TempDir()
	high := func(int, int) float64 { return 500 }
	for i, west := range []float64{10, 10.5} {
		sample{cols: 20, rows: 40, crs: "EPSG:4326", transform: lonLat(west, 50, 0.01), value: high}.
			write(t, filepath.Join(dir, fmt.Sprintf("%d.tif", i)))
	}
	source := func(i, col int) string {
		return fmt.Sprintf(`<SimpleSource><SourceFilename relativeToVRT="1">%d.tif</SourceFilename><SourceBand>1</SourceBand>`+
			`<SrcRect xOff="0" yOff="0" xSize="20" ySize="40"/><DstRect xOff="%d" yOff="0" xSize="20" ySize="40"/></SimpleSource>`, i, col)
	}
	mosaic := filepath.Join(dir, "mosaic.vrt")
	text := `<VRTDataset rasterXSize="70" rasterYSize="40"><SRS>EPSG:4326</SRS><GeoTransform>9.995, 0.01, 0, 50.005, 0, -0.01</GeoTransform>` +
		`<VRTRasterBand dataType="Float32" band="1">` + source(0, 0) + source(1, 50) + `</VRTRasterBand></VRTDataset>`
	if err := os.WriteFile(mosaic, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	sparse := sample{
		cols: 64, rows: 32, crs: "EPSG:4326", transform: lonLat(10, 50, 0.01),
		value:   func(col, _ int) float64 { return map[bool]float64{true: 500, false: 0}[col < 32] },
		options: []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16", "SPARSE_OK=TRUE"},
	}.make(t, "sparse.tif")
	for path, places := range map[string]map[orb.Point]bool{
		mosaic: {{10.1, 49.9}: true, {10.6, 49.9}: true, {10.3, 49.9}: false, {10.4, 49.8}: false, {10.25, 49.7}: false},
		sparse: {{10.1, 49.9}: true, {10.4, 49.9}: false, {10.6, 49.75}: false},
	} {
		r := mustOpen(t, path)
		for at, known := range places {
			var height [1]float64
			var flag [1]terrain.Flag
			if err := r.Heights([]orb.Point{at}, height[:], flag[:]); err != nil {
				t.Fatal(err)
			}
			if flag[0].Known() != known || known && height[0] != 500 {
				t.Errorf("%s at %v: %g m, %v; known %t wanted", filepath.Base(path), at, height[0], flag[0], known)
			}
		}
	}
}
