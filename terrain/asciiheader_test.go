package terrain

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestASCIIHeaderFaults(t *testing.T) {
	good := "ncols 2\nnrows 3\nxllcorner 10\nyllcorner 50\ncellsize 0.5\n"
	data := "1 2 3 4 5 6\n"
	change := func(old, new string) string { return strings.Replace(good, old, new, 1) + data }
	for _, tc := range []struct {
		what, text string
		words      []string
	}{
		{"empty file", "", []string{"ncols is missing", "nrows is missing", "xllcorner or xllcenter is missing", "yllcorner or yllcenter is missing", "cellsize is missing"}},
		{"blank file", " \r\n \n", []string{"ncols is missing"}},
		{"no header", data, []string{"ncols is missing", "cellsize is missing"}},
		{"one missing", change("nrows 3\n", ""), []string{"nrows is missing"}},
		{"unknown key", change("nrows", "nrow"), []string{`line 2, column 1: unknown key "nrow"`, "nrows is missing"}},
		{"given again", change("nrows 3\n", "nrows 3\nNROWS 3\n"), []string{"line 3, column 1: nrows is given again", "line 2, column 1"}},
		{"no value", change("nrows 3", "nrows"), []string{`line 2, column 1: "nrows" has no value`}},
		{"ends at a key", good + "nodata_value", []string{`"nodata_value" has no value`}},
		{"no whole number", change("ncols 2", "ncols 2.5"), []string{`line 1, column 7: ncols is "2.5"`, "whole number"}},
		{"no columns", change("ncols 2", "ncols 0"), []string{`ncols is "0"`}},
		{"negative rows", change("nrows 3", "nrows -3"), []string{`nrows is "-3"`}},
		{"more than an int", change("nrows 3", "nrows 99999999999999999999"), []string{`nrows is "99999999999999999999"`}},
		{"zero cells", change("cellsize 0.5", "cellsize 0"), []string{`line 5, column 10: cellsize is "0"`, "above 0"}},
		{"negative cells", change("cellsize 0.5", "cellsize -1"), []string{`cellsize is "-1"`}},
		{"NaN cells", change("cellsize 0.5", "cellsize NaN"), []string{`cellsize is "NaN"`, "finite"}},
		{"infinite corner", change("xllcorner 10", "xllcorner inf"), []string{`xllcorner is "inf"`, "finite"}},
		{"overflowing corner", change("yllcorner 50", "yllcorner 1e999"), []string{`yllcorner is "1e999"`, "finite"}},
		{"corner and centre", change("xllcorner 10", "xllcorner 10 xllcenter 10.25"), []string{"xllcenter is given beside xllcorner"}},
		{"two cell sizes", change("cellsize 0.5", "cellsize 0.5 dx 0.5 dy 0.5"), []string{"line 5, column 1: cellsize is given beside dx or dy"}},
		{"dx alone", change("cellsize 0.5", "dx 0.5"), []string{"dy is missing"}},
		{"void mark no number", good + "nodata_value none\n" + data, []string{`line 6, column 14: nodata_value is "none"`}},
		{"terabytes", change("ncols 2", "ncols 2000000"), []string{"2000000 columns by 3 rows promise 6000000 heights", "12 bytes"}},
		{"overflowing product", change("ncols 2\nnrows 3", "ncols 4294967296\nnrows 4294967296"), []string{strconv.FormatInt(min(1<<32, math.MaxInt), 10) + " columns", "promise"}},
		{"most that can be said", change("ncols 2\nnrows 3", "ncols 9007199254740992\nnrows 9007199254740992"), []string{"promise"}},
		{"one height too many for the bytes", change("nrows 3", "nrows 4"), []string{"promise 8 heights", "at most 6"}},
		{"beyond the pole", change("yllcorner 50", "yllcorner 89"), []string{"latitudes", "90.25"}},
		{"all at once", "ncols x\nnrows -1\nxllcorner NaN\ncellsize 0\nnodata_value ?\n1 2",
			[]string{"line 1", "line 2", "line 3", "line 4", "line 5", "yllcorner or yllcenter is missing"}},
	} {
		_, err := loadASCII(tc.text)
		wantError(t, tc.what, err, append(tc.words, "g.asc")...)
	}
}

// A file of another kind is given up after a few words and not recited.
func TestASCIIHeaderOfAnotherFile(t *testing.T) {
	_, err := loadASCII(strings.Repeat("some prose that is no terrain ", 10000))
	wantError(t, "prose", err, "g.asc", "not the head of an ESRI ASCII grid", `"some"`)
	if len(err.Error()) > 3000 {
		t.Errorf("the message has %d bytes", len(err.Error()))
	}
	_, err = loadASCII("-----BEGIN SOMETHING-----\nAAAA\n")
	wantError(t, "a key block", err, "ncols is missing")
	_, err = loadASCII(strings.Repeat("n", 1<<20))
	wantError(t, "one long word", err, "unknown key")
	if len(err.Error()) > 5000 {
		t.Errorf("the message has %d bytes", len(err.Error()))
	}
}

// As many heights as bytes allow are not refused: "1 2 3" is five bytes.
func TestASCIIHeaderTightestFile(t *testing.T) {
	g, err := loadASCII("ncols 3 nrows 1 xllcorner 0 yllcorner 0 cellsize 1 1 2 3")
	if err != nil {
		t.Fatal(err)
	}
	if len(g.HeightM) != 3 || g.HeightM[2] != 3 {
		t.Errorf("heights %v, want 1 2 3", g.HeightM)
	}
}
