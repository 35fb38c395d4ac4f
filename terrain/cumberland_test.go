package terrain

import (
	"math"
	"os"
	"path"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// The fixture of testdata/README.md: one window of SRTM posts, once inside a
// whole tile, once as an ASCII grid.

func TestCumberlandTile(t *testing.T) {
	g := mustLoad(t, os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	// SOURCES of the data: 403 × 344 posts, 236..1076 m, no void inside, all
	// void outside the window.
	low, high, voids := rangeOf(g)
	if low != 236 || high != 1076 || voids != 1201*1201-403*344 {
		t.Errorf("%g..%g m, %d voids; want 236..1076 m, %d", low, high, voids, 1201*1201-403*344)
	}
	if _, flag := heightAt(t, g, orb.Point{-84.9, 36.1}); flag != Void {
		t.Errorf("outside the window: %v, want a void", flag)
	}
	if _, flag := heightAt(t, g, orb.Point{-85.1, 36.1}); flag != Outside {
		t.Errorf("outside the tile: %v", flag)
	}
}

func TestCumberlandGridEqualsTile(t *testing.T) {
	fsys := os.DirFS("../testdata/cumberland")
	tile, grid := mustLoad(t, fsys, "N36W085.hgt.zip"), mustLoad(t, fsys, "cumberland_ll.asc")
	// By hand: the south-western cell has its corner at -84.350416666667,
	// 36.520416666667 and is 3" wide, so its post is -84.35, 36.520833. That
	// is column 0.65·1200 = 780 of the tile; the northern row, 155 posts up,
	// is at 36.520833 + 155/1200 = 36.65, row (37 - 36.65)·1200 = 420.
	if grid.Cols != 180 || grid.Rows != 156 {
		t.Fatalf("%d × %d posts, want 180 × 156", grid.Cols, grid.Rows)
	}
	for row := range grid.Rows {
		for col := range grid.Cols {
			got, want := grid.HeightM[row*180+col], tile.HeightM[(420+row)*1201+780+col]
			if got != want {
				t.Fatalf("column %d, row %d: grid %g m, tile %g m", col, row, got, want)
			}
			// And the same by place; the header has nine digits.
			p := tile.Post(780+col, 420+row)
			if h, flag := heightAt(t, grid, p); flag != Ground || !(math.Abs(h-float64(want)) <= 0.01) {
				t.Fatalf("%v: %g m, %v; want %g m", p, h, flag, want)
			}
		}
	}
	b := grid.Extent().Bound
	for _, d := range []float64{b.Min[0] - -84.35, b.Min[1] - (36.52 + 1./1200), b.Max[0] - (-84.35 + 179./1200),
		b.Max[1] - 36.65} {
		if !(math.Abs(d) <= 1e-9) {
			t.Errorf("bound %v is %g° off", b, d)
		}
	}
}

// The folder as a user names it: the rasters that need GDAL are passed over.
func TestCumberlandFolder(t *testing.T) {
	sources, err := OpenSources(os.DirFS("../testdata"), "cumberland")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, s := range sources {
		names = append(names, path.Base(s.Name))
	}
	if want := []string{"N36W085.hgt.zip", "cumberland_ll.asc", "cumberland_ll_int16.tif"}; !slices.Equal(names, want) {
		t.Errorf("sources %q, want %q", names, want)
	}
}
