package terrain

import (
	"bytes"
	"errors"
	"math"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"
)

// readBack reads what WriteASCIIGrid wrote with the reader of this package.
func readBack(t interface {
	Helper()
	Fatal(...any)
}, g *Grid) *Grid {
	t.Helper()
	var buf bytes.Buffer
	if err := WriteASCIIGrid(&buf, g); err != nil {
		t.Fatal(err)
	}
	fsys := fstest.MapFS{"g.asc": &fstest.MapFile{Data: buf.Bytes()}}
	sources, err := OpenSources(fsys, "g.asc")
	if err != nil {
		t.Fatal(err, buf.String())
	}
	back, err := sources[0].Load()
	if err != nil {
		t.Fatal(err, buf.String())
	}
	return back
}

// sameGrid compares bit for bit, but latitudes to a millionth of a millimetre.
func sameGrid(a, b *Grid) bool {
	la, lb := a.Lattice, b.Lattice
	if !(math.Abs(la.NorthDeg-lb.NorthDeg) <= 1e-14*180) {
		return false
	}
	la.NorthDeg, lb.NorthDeg = 0, 0
	if la != lb || len(a.HeightM) != len(b.HeightM) {
		return false
	}
	for i := range a.HeightM {
		if math.Float32bits(a.HeightM[i]) != math.Float32bits(b.HeightM[i]) &&
			!(IsVoid(a.HeightM[i]) && IsVoid(b.HeightM[i])) {
			return false
		}
	}
	return true
}

func TestWriteASCIIGridText(t *testing.T) {
	// By hand: 3 columns and 2 rows, the southern one at 49.75° N.
	g := &Grid{
		Lattice: Lattice{WestDeg: -84.5, NorthDeg: 50, StepLonDeg: 0.5, StepLatDeg: 0.25, Cols: 3, Rows: 2},
		HeightM: []float32{1, -0.5, VoidHeight(), 8848.86, 0, 0.1},
	}
	const want = "ncols 3\nnrows 2\nxllcenter -84.5\nyllcenter 49.75\ndx 0.5\ndy 0.25\nNODATA_value -9999\n1 -0.5 " +
		"-9999\n8848.86 0 0.1\n"
	var buf bytes.Buffer
	if err := WriteASCIIGrid(&buf, g); err != nil {
		t.Fatal(err)
	}
	if buf.String() != want {
		t.Errorf("wrote %q, want %q", buf.String(), want)
	}
}

func TestWriteASCIIGridRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.SampledFrom([]float64{1.0 / 1200, 1.0 / 3600, 0.1, 0.0123456789}).Draw(t, "step")
		g := &Grid{Lattice: Lattice{
			WestDeg: rapid.Float64Range(-180, 179).Draw(t, "west"), NorthDeg: rapid.Float64Range(-80, 90).Draw(t, "north"),
			StepLonDeg: step, StepLatDeg: step * rapid.SampledFrom([]float64{1, 0.5}).Draw(t, "shape"),
			Cols: rapid.IntRange(1, 9).Draw(t, "cols"), Rows: rapid.IntRange(1, 9).Draw(t, "rows"),
		}}
		for range g.Cols * g.Rows {
			h := rapid.Float32Range(-500, 9000).Draw(t, "height")
			if rapid.Bool().Draw(t, "void") {
				h = VoidHeight()
			}
			g.HeightM = append(g.HeightM, h)
		}
		if back := readBack(t, g); !sameGrid(g, back) {
			t.Fatalf("wrote %+v, read %+v", g, back)
		}
	})
}

// The measured window as a whole.
func TestWriteASCIIGridMeasured(t *testing.T) {
	g := mustLoad(t, os.DirFS("../testdata/cumberland"), "cumberland_ll.asc")
	if back := readBack(t, g); !sameGrid(g, back) {
		t.Errorf("lattice %+v became %+v, or heights differ", g.Lattice, back.Lattice)
	}
}

func TestWriteASCIIGridRefuses(t *testing.T) {
	l := Lattice{WestDeg: 10, NorthDeg: 50, StepLonDeg: 1, StepLatDeg: 1, Cols: 2, Rows: 1}
	for _, tc := range []struct {
		name string
		g    *Grid
		want string
	}{
		{"nothing", nil, "no grid"},
		{"too few heights", &Grid{Lattice: l, HeightM: []float32{1}}, "holds 1 heights"},
		{"no ground", &Grid{Lattice: l, HeightM: []float32{1, 9001}}, "column 1, row 0: height of 9001 m"},
		{"infinite", &Grid{Lattice: l, HeightM: []float32{float32(math.Inf(-1)), 1}}, "column 0, row 0"},
		{"its own void mark", &Grid{Lattice: l, HeightM: []float32{-9999, 1}}, "column 0, row 0"},
	} {
		var buf bytes.Buffer
		err := WriteASCIIGrid(&buf, tc.g)
		if err == nil || !strings.Contains(err.Error(), tc.want) || buf.Len() > 0 {
			t.Errorf("%s: error %v after %d bytes, want one with %q and nothing written", tc.name, err, buf.Len(), tc.want)
		}
	}
	full := errors.New("disk full")
	g := &Grid{Lattice: l, HeightM: []float32{1, 2}}
	if err := WriteASCIIGrid(failingWriter{full}, g); !errors.Is(err, full) {
		t.Errorf("error %v, want that of the writer", err)
	}
}

type failingWriter struct{ err error }

func (w failingWriter) Write([]byte) (int, error) { return 0, w.err }
