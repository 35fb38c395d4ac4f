package geotiff

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"github.com/polereach/polereach/terrain/madetiff"
)

// open opens a made file, which must be one that is read.
func open(t *testing.T, data []byte) *Raster {
	t.Helper()
	r, err := Open(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// all reads every height.
func all(t *testing.T, r *Raster) []float32 {
	t.Helper()
	out := make([]float32, r.Cols*r.Rows)
	if err := r.Read(out, 0, 0, r.Cols, r.Rows); err != nil {
		t.Fatal(err)
	}
	return out
}

// hills are heights of every size, below 0 where the kind has a sign.
func hills(kind string) func(col, row int) float64 {
	return func(col, row int) float64 {
		h := 1000 + 700*math.Sin(float64(col)/5)*math.Cos(float64(row)/7)
		switch kind {
		case "Byte":
			return math.Floor(h / 10)
		case "UInt16":
			return math.Floor(h)
		case "Float32", "Float64":
			return h - 1234.56
		}
		return math.Floor(h - 1234)
	}
}

// Every way to store a raster gives the heights that were stored: each is one of the whole
// grid of kinds, byte orders, layouts, compressions and predictors.
func TestEveryWayToStore(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of rasters")
	}
	n := 0
	for _, kind := range []string{"Byte", "Int16", "UInt16", "Int32", "Float32", "Float64"} {
		for _, compression := range []int{1, 5, 8, 32946, 32773} {
			for predictor := 1; predictor <= 3; predictor++ {
				float := kind == "Float32" || kind == "Float64"
				if predictor == 3 && !float || predictor > 1 && (compression == 1 || compression == 32773) {
					continue
				}
				for shape := range 16 {
					im := madetiff.Image{Cols: 37, Rows: 29, West: 7, North: 48, StepLon: 0.01, StepLat: 0.02, Kind: kind,
						Compression: compression, Predictor: predictor, Height: hills(kind),
						BigEndian: shape&1 > 0, Big: shape&2 > 0, Point: shape&4 > 0}
					if shape&8 > 0 {
						im.TileCols, im.TileRows = 16, 32
					} else {
						im.StripRows = 10
					}
					n++
					t.Run(fmt.Sprintf("%s/%d/%d/%d", kind, compression, predictor, shape), func(t *testing.T) { checkStored(t, im) })
				}
			}
		}
	}
	t.Logf("%d files", n)
}

func checkStored(t *testing.T, im madetiff.Image) {
	r := open(t, im.Bytes())
	if r.Cols != im.Cols || r.Rows != im.Rows {
		t.Fatalf("%d by %d posts, want %d by %d", r.Cols, r.Rows, im.Cols, im.Rows)
	}
	for _, d := range []float64{r.WestDeg - im.West, r.NorthDeg - im.North, r.StepLonDeg - im.StepLon,
		r.StepLatDeg - im.StepLat} {
		if !(math.Abs(d) <= 1e-12) {
			t.Errorf("%+v, want %+v", r.Place, im)
		}
	}
	for i, h := range all(t, r) {
		if want := float32(im.Height(i%im.Cols, i/im.Cols)); h != want {
			t.Fatalf("post %d, %d: %v m, want %v", i%im.Cols, i/im.Cols, h, want)
		}
	}
	// A window that begins and ends inside blocks.
	const col, row, cols, rows = 11, 7, 22, 15
	part := make([]float32, cols*rows)
	if err := r.Read(part, col, row, cols, rows); err != nil {
		t.Fatal(err)
	}
	for i, h := range part {
		if want := float32(im.Height(col+i%cols, row+i/cols)); h != want {
			t.Fatalf("window, post %d: %v m, want %v", i, h, want)
		}
	}
}

func TestNoData(t *testing.T) {
	for _, tc := range []struct {
		kind, mark string
		void       float64 // the height that is none
	}{
		{"Int16", "-32768", -32768}, {"Int16", "0", 0}, {"UInt16", "65535", 65535}, {"Float32", "-9999", -9999},
		{"Float32", "-3.4028234663852886e+38", -math.MaxFloat32}, {"Float32", "-3.40282e+38", float64(float32(-3.40282e+38))},
		{"Float32", "nan", math.NaN()}, {"Float64", "-nan ", math.NaN()}, {"Float64", "1e400", math.Inf(1)},
		{"Float32", "", math.NaN()},
	} {
		im := madetiff.Image{Cols: 3, Rows: 1, StepLon: 1, StepLat: 1, Kind: tc.kind, NoData: tc.mark, Compression: 8,
			Height: func(col, _ int) float64 { return []float64{12, tc.void, 13}[col] }}
		if h := all(t, open(t, im.Bytes())); h[0] != 12 || h[1] == h[1] || h[2] != 13 {
			t.Errorf("%s, %q: heights %v, want 12, none, 13", tc.kind, tc.mark, h)
		}
	}
}

// The layout of a cloud-optimised file: overviews and a mask of one of them behind the raster.
func TestOverviewsArePassedOver(t *testing.T) {
	im := madetiff.Image{Cols: 64, Rows: 48, West: 7, North: 48, StepLon: 0.01, StepLat: 0.01, Kind: "Float32",
		Compression: 8, Predictor: 3, TileCols: 16, TileRows: 16, Height: hills("Float32"), Overviews: 3, Mask: true}
	for _, im.BigEndian = range []bool{false, true} {
		checkStored(t, im)
	}
}

// Blocks that are not stored are voids.
func TestSparse(t *testing.T) {
	im := madetiff.Image{Cols: 40, Rows: 40, StepLon: 0.01, StepLat: 0.01, Compression: 8, TileCols: 16, TileRows: 16,
		Height: hills(""), Missing: func(block int) bool { return block%2 == 1 }}
	for i, h := range all(t, open(t, im.Bytes())) {
		missing := (i/40/16*3+i%40/16)%2 == 1
		if want := float32(im.Height(i%40, i/40)); missing != (h != h) || !missing && h != want {
			t.Fatalf("post %d: %v m, want %v, missing: %v", i, h, want, missing)
		}
	}
}

// Tiles of an odd number of parts of a degree, with rounded digits, stand on their parts.
func TestPostsStandOnPartsOfADegree(t *testing.T) {
	for _, tc := range []struct{ step, want float64 }{
		{0.000277777777777778, 1.0 / 3600}, {0.000416666666666667, 1.0 / 2400}, {0.00083333333, 1.0 / 1200},
		{0.0013888888888888889, 1.0 / 720}, {0.0002778, 0.0002778},
	} {
		im := madetiff.Image{Cols: 100, Rows: 100, West: 11, North: 50, StepLon: tc.step, StepLat: 1.0 / 3600,
			Height: func(int, int) float64 { return 1 }}
		if p := open(t, im.Bytes()).Place; p.StepLonDeg != tc.want || math.Abs(p.WestDeg-11) > 1e-12 {
			t.Errorf("step %v: %+v, want %v", tc.step, p, tc.want)
		}
	}
}
