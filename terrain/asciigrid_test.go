package terrain

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/paulmach/orb"
)

// loadASCII opens and loads a text as a grid without a .prj.
func loadASCII(text string) (*Grid, error) {
	sources, err := OpenSources(fstest.MapFS{"g.asc": {Data: []byte(text)}}, "g.asc")
	if err != nil {
		return nil, err
	}
	return sources[0].Load()
}

// The same six heights of 2 × 3 cells, written in every way the format allows.
// South-western cell: corner 10° E 50° N, hence its post at 10.25° E, 50.25° N,
// and the northern row 1° further north (by hand).
func TestASCIIGridSpellings(t *testing.T) {
	want := &Grid{
		Lattice: Lattice{WestDeg: 10.25, NorthDeg: 51.25, StepLonDeg: 0.5, StepLatDeg: 0.5, Cols: 2, Rows: 3},
		HeightM: []float32{1, 2.5, -3, VoidHeight(), 500, 0},
	}
	head := "ncols 2\nnrows 3\nxllcorner 10\nyllcorner 50\ncellsize 0.5\n"
	for what, text := range map[string]string{
		"plain":             head + "NODATA_value -9999\n1 2.5\n-3 -9999\n500 0\n",
		"default void mark": head + "1 2.5\n-3 -9999\n500 0\n",
		"no line end":       head + "1 2.5\n-3 -9999\n500 0",
		"all on one line":   head + "1 2.5 -3 -9999 500 0",
		"one per line":      head + "1\n2.5\n-3\n-9999\n500\n0\n",
		"CRLF and tabs":     strings.ReplaceAll(head, "\n", "\r\n") + "\t1\t2.5\r\n-3 -9999\r\n 500  0 \r\n\r\n",
		"keys in any case":  strings.ToUpper(head) + "nodata_VALUE -9999 1 2.5 -3 -9999 500 0",
		"keys in any order": "nodata_value 7\ncellsize .5\nyllcorner 50\nnrows 3\nxllcorner 10\nncols 2\n1 2.5 -3 7 " +
			"500 0",
		"centres":               "ncols 2 nrows 3 xllcenter 10.25 yllcenter 50.25 cellsize 0.5 1 2.5 -3 -9999 500 0",
		"corner and centre":     "ncols 2 nrows 3 xllcorner 10 yllcenter 50.25 cellsize 0.5 1 2.5 -3 -9999 500 0",
		"dx and dy":             "ncols 2 nrows 3 xllcorner 10 yllcorner 50 dx 0.5 dy 0.5 1 2.5 -3 -9999 500 0",
		"exponents":             head + "1e0 25E-1 -0.3e+1 -9.999e3 5e2 0e7",
		"void mark NaN":         head + "nodata_value NaN\n1 2.5 -3 nan 500 0",
		"void mark as -nan":     head + "nodata_value nan\n1 2.5 -3 -nan 500 0",
		"NaN without a mark":    head + "1 2.5 -3 NaN 500 0",
		"mark in fewer digits":  head + "nodata_value 1234.56789\n1 2.5 -3 1234.5679 500 0",
		"mark beyond a float32": head + "nodata_value -1.7976931348623157e+308\n1 2.5 -3 -1.7976931348623157e+308 500 0",
		"deeper than any pit":   head + "1 2.5 -3 -501 500 0",
		"higher than any peak":  head + "1 2.5 -3 32767 500 0",
		"infinite":              head + "1 2.5 -3 inf 500 0",
		"byte order mark":       "\xef\xbb\xbf" + head + "1 2.5 -3 -9999 500 0",
	} {
		g, err := loadASCII(text)
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		if diff := cmp.Diff(want, g, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", what, diff)
		}
	}
}

// A first height of NaN is no key of the header.
func TestASCIIGridBeginsWithNaN(t *testing.T) {
	for _, first := range []string{"nan", "NaN", "-nan", "inf", "-9999"} {
		g, err := loadASCII("ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 1\n" + first + " 5")
		if err != nil {
			t.Errorf("%s: %v", first, err)
			continue
		}
		if !IsVoid(g.HeightM[0]) || g.HeightM[1] != 5 {
			t.Errorf("%s: heights %v, want a void and 5", first, g.HeightM)
		}
	}
}

// A void mark of 0 makes every 0 a void: what the file says goes, the sea is
// never guessed back.
func TestASCIIGridVoidMarkZero(t *testing.T) {
	g, err := loadASCII("ncols 3 nrows 1 xllcenter 0 yllcenter 0 cellsize 1 nodata_value 0\n0 0.0 5")
	if err != nil {
		t.Fatal(err)
	}
	if !IsVoid(g.HeightM[0]) || !IsVoid(g.HeightM[1]) || g.HeightM[2] != 5 {
		t.Errorf("heights %v, want two voids and 5", g.HeightM)
	}
	if h, flag := heightAt(t, g, orb.Point{1.5, 0}); h != 0 || flag != Void {
		t.Errorf("beside the void: %g m, %v", h, flag)
	}
}

func TestASCIIGridHeightFaults(t *testing.T) {
	head := "ncols 2\nnrows 3\nxllcorner 10\nyllcorner 50\ncellsize 0.5\n" // five lines
	for _, tc := range []struct {
		what, text string
		words      []string
	}{
		{"too few", head + "1 2\n3 4\n5      \n", []string{"5 heights, must be 6", "2 columns by 3 rows", "line 9"}},
		{"too many", head + "1 2\n3 4\n5 6 7\n", []string{"more heights than 6", `"7" at line 8, column 5`}},
		{"a word", head + "1 2\n3 four\n5 6\n", []string{`line 7, column 3: "four" is not a number`}},
		{"a decimal comma", head + "1 2\n3 4,5\n5 6\n", []string{`line 7, column 3: "4,5" is not a number`}},
		{"hexadecimal", head + "1 2\n3 0x4\n5 6\n", []string{`"0x4" is not a number`}},
		{"a long word", head + "1 2\n3 4\n5 " + strings.Repeat("7", 9000) + "\n", []string{"line 8, column 3", "is not a number"}},
		{"a zero byte", head + "1 2\n3 4\n5 6\n\x00", []string{"more heights than 6", `"\x00" at line 9, column 1`}},
	} {
		_, err := loadASCII(tc.text)
		wantError(t, tc.what, err, append(tc.words, "g.asc")...)
	}
}

func TestASCIIGridChangedBeforeLoad(t *testing.T) {
	text := "ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 1 4 5"
	fsys := fstest.MapFS{"g.asc": {Data: []byte(text)}}
	sources, err := OpenSources(fsys, "g.asc")
	if err != nil {
		t.Fatal(err)
	}
	fsys["g.asc"].Data = []byte(strings.Replace(text, "xllcorner 0", "xllcorner 1", 1))
	_, err = sources[0].Load()
	wantError(t, "moved", err, "g.asc", "changed since it was opened")
	delete(fsys, "g.asc")
	_, err = sources[0].Load()
	wantError(t, "gone", err, "g.asc")
}

// A read error, wherever it comes, is passed on: what was read before it is no
// whole file, even if the heights seem complete.
func TestASCIIGridReadError(t *testing.T) {
	broken := errors.New("the disk is on fire")
	for n := range len(tinyASCII) + 1 {
		r := io.MultiReader(strings.NewReader(tinyASCII[:n]), failing{broken})
		if _, err := readASCIIGrid(r, int64(len(tinyASCII))); !errors.Is(err, broken) {
			t.Errorf("after %q: error %v, want the reader's own", tinyASCII[:n], err)
		}
	}
}

// Opening reads the header alone: rubbish behind it shows only when loading.
func TestASCIIGridOpensByItsHeader(t *testing.T) {
	fsys := fstest.MapFS{"g.asc": {Data: []byte("ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 1\n4 rubbish")}}
	sources, err := OpenSources(fsys, "g.asc")
	if err != nil {
		t.Fatal(err)
	}
	want := Lattice{WestDeg: 0.5, NorthDeg: 0.5, StepLonDeg: 1, StepLatDeg: 1, Cols: 2, Rows: 1}
	if sources[0].Lattice != want {
		t.Errorf("lattice %+v, want %+v", sources[0].Lattice, want)
	}
	_, err = sources[0].Load()
	wantError(t, "loading", err, "g.asc", "line 2, column 3", `"rubbish"`)
}

// Without a .prj the numbers must look like degrees.
func TestASCIIGridInMetres(t *testing.T) {
	for what, head := range map[string]string{
		"UTM":            "ncols 2 nrows 1 xllcorner 701640 yllcorner 5543640 cellsize 90",
		"a local origin": "ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 10",
	} {
		_, err := loadASCII(head + " 4 5")
		wantError(t, what, err, "g.asc", "no .prj", "do not look like degrees", "-tags gdal")
		if !errors.Is(err, ErrNotBuiltIn) {
			t.Errorf("%s: error %v, want ErrNotBuiltIn", what, err)
		}
	}
}

// Writing a grid out and reading it again gives the same heights.
func TestASCIIGridSurvivesRewriting(t *testing.T) {
	g := filledGrid(Lattice{WestDeg: -84, NorthDeg: 36, StepLonDeg: 1. / 1200, StepLatDeg: 1. / 1200, Cols: 37, Rows: 23},
		func(lonDeg, latDeg float64) float64 { return 400 + 300*math.Sin(900*lonDeg)*math.Cos(700*latDeg) })
	g.HeightM[100] = VoidHeight()
	got, err := readASCIIGrid(bytes.NewReader(asciiBytes(g)), int64(len(asciiBytes(g))))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(g.HeightM, got.HeightM, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("heights (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(g.Lattice, got.Lattice, cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("lattice (-want +got):\n%s", diff)
	}
}

// asciiBytes writes a grid of square cells the way the format describes it.
func asciiBytes(g *Grid) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "ncols %d\nnrows %d\nxllcenter %.17g\nyllcenter %.17g\ncellsize %.17g\nNODATA_value -9999\n",
		g.Cols, g.Rows, g.WestDeg, g.Extent().Bound.Min[1], g.StepLonDeg)
	for i, h := range g.HeightM {
		if IsVoid(h) {
			h = -9999
		}
		fmt.Fprintf(&b, "%v", h)
		if (i+1)%g.Cols == 0 {
			b.WriteByte('\n')
		} else {
			b.WriteByte(' ')
		}
	}
	return b.Bytes()
}

func BenchmarkLoadASCIIGrid(b *testing.B) {
	raw := asciiBytes(filledGrid(Lattice{WestDeg: 8, NorthDeg: 47, StepLonDeg: 1e-3, StepLatDeg: 1e-3, Cols: 1000,
		Rows: 1000}, func(lonDeg, latDeg float64) float64 { return math.Round(1000*(500+300*math.Sin(40*lonDeg))) / 1000 }))
	fsys := fstest.MapFS{"g.asc": {Data: raw}}
	b.SetBytes(int64(len(raw)))
	for b.Loop() {
		mustLoad(b, fsys, "g.asc")
	}
}
