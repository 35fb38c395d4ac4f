//go:build gdal

package gdal

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	binding "github.com/lukeroth/gdal"
)

// makeDTED has GDAL write a cell of 121 by 121 posts.
func makeDTED(t *testing.T) []byte {
	t.Helper()
	from := sample{kind: binding.Int16, cols: 121, rows: 121, crs: "EPSG:4326", transform: lonLat(-85, 37, 1.0/120),
		value: func(col, row int) float64 { return float64(300 + 2*col + row) }}.make(t, "from.tif")
	to := filepath.Join(t.TempDir(), "w085n36.dt0")
	if text := call(false, func() {
		ds, err := binding.Open(from, binding.ReadOnly)
		if err != nil {
			t.Fatal(err)
		}
		defer ds.Close()
		out, err := binding.Translate(to, ds, []string{"-of", "DTED"})
		if err != nil {
			t.Fatal(err)
		}
		out.Close()
	}); text != nil {
		t.Fatal(text)
	}
	data, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Damage to the records is told, also where it makes the sum one that no record has, which
// GDAL takes for a maker's habit.
func TestDamagedDTEDIsTold(t *testing.T) {
	data := makeDTED(t)
	const record = 12 + 2*121
	at := 3428 + 60*record // the middle column
	for name, hurt := range map[string]func([]byte) []byte{
		"sound":           func(d []byte) []byte { return d },
		"behind a label":  func(d []byte) []byte { return append([]byte("VOL"+string(make([]byte, 77))), d...) },
		"a bit":           func(d []byte) []byte { d[at+100] ^= 4; return d },
		"no possible sum": func(d []byte) []byte { d[at+100] ^= 4; d[at+record-4] = 0xff; return d },
		"no mark":         func(d []byte) []byte { d[at] = 0; return d },
		"a part more":     func(d []byte) []byte { return slices.Insert(d, at+9, make([]byte, record)...) },
		"a part gone":     func(d []byte) []byte { return slices.Delete(d, at+9, at+9+700) },
		"a record gone":   func(d []byte) []byte { return slices.Delete(d, at, at+record) },
		"cut":             func(d []byte) []byte { return d[:len(d)-1] },
		"padded":          func(d []byte) []byte { return append(d, 0) },
	} {
		path := writeFile(t, "w085n36.dt0", hurt(slices.Clone(data)))
		r, err := Open(path, Options{})
		if err == nil {
			var c Counts
			if c, err = r.Count(context.Background()); err == nil && (c.LowestM != 300 || c.HighestM != 660 || c.Voids != 0) {
				t.Errorf("%s: read as %+v", name, c)
			}
			r.Close()
		}
		if sound := name == "sound" || name == "behind a label" || name == "padded"; sound != (err == nil) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
