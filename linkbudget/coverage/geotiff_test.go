package coverage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"testing"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/geotiff"
)

// written is what the reader of GeoTIFF finds, the unit and the scale of the band passed over.
func written(t *testing.T, write func(w io.Writer) error) []float32 {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	file := b.Bytes()
	// Tag 42112 becomes 65000, which means nothing: the reader takes nothing but heights in metres.
	at := bytes.Index(file, binary.LittleEndian.AppendUint16(nil, 42112))
	binary.LittleEndian.PutUint16(file[at:], 65000)
	r, err := geotiff.Open(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	got := make([]float32, r.Cols*r.Rows)
	if err := r.Read(got, 0, 0, r.Cols, r.Rows); err != nil {
		t.Fatal(err)
	}
	return got
}

// Every kind of cell, beside its grid: whole per cent below, tenths next to it.
func TestGeoTIFFBesideGrid(t *testing.T) {
	cells := []Cell{Beyond.Cell(), Void.Cell(), Foot.Cell(), Hidden.Cell(),
		Numbers{LossDB: 655.35, MarginDB: -327.67, Probability: 0}.Cell(),
		Numbers{LossDB: 0, MarginDB: 327.67, Probability: 1}.Cell(),
		Numbers{LossDB: 120.05, MarginDB: -0.05, Probability: 0.9}.Cell(), // 0.9 lies above the step below it
		Numbers{LossDB: 120.04, MarginDB: 0.04, Probability: math.Nextafter(0.99, 0)}.Cell(),
		Numbers{LossDB: 119.94, MarginDB: -9.96, Probability: 0.994}.Cell()}
	r := &Raster{Cells: cells, Lattice: terrain.Lattice{StepLonDeg: 1, StepLatDeg: 1, Cols: len(cells), Rows: 1}}
	for q, unit := range map[Quantity]float64{Probability: 1, Margin: 10, Loss: 10} {
		got := written(t, func(w io.Writer) error { return r.WriteGeoTIFF(w, q, "of a test") })
		for i, v := range r.Grid(q).HeightM {
			want := math.Floor(float64(v))
			if unit == 10 {
				want = math.Round(math.Round(float64(v)*100) / 10)
			}
			if terrain.IsVoid(v) != (got[i] != got[i]) || !terrain.IsVoid(v) && float64(got[i]) != want {
				t.Errorf("%s of %s: %g in the GeoTIFF, %g in the grid", q, cells[i], got[i], v)
			}
		}
	}
	if err := r.WriteGeoTIFF(io.Discard, Who, ""); !errors.Is(err, fault.ErrInput) {
		t.Errorf("who of one pole: %v", err)
	}
	if err := (&Raster{}).WriteGeoTIFF(io.Discard, Margin, ""); !errors.Is(err, fault.ErrInput) {
		t.Errorf("no cell: %v", err)
	}
}

// Of several poles, a few in a byte, many in two.
func TestGeoTIFFOfSeveralPoles(t *testing.T) {
	for _, poles := range []int{2, 254, 255, 1000} {
		c := &Combined{Names: make([]string, poles), Lattice: terrain.Lattice{StepLonDeg: 1, StepLatDeg: 1, Cols: 4, Rows: 1},
			Cells: []Served{{Best: int16(poles - 1), Heard: uint16(poles), Any: 0.5, State: Judged}, {Best: -1, State: Hidden},
				{Best: -1, State: Judged}, {Best: 0, Heard: 1, Any: 1, State: Judged}}}
		for q, want := range map[Quantity][4]float64{Probability: {50, -1, 0, 100}, Who: {float64(poles), -1, 0, 1},
			HowMany: {float64(poles), -1, 0, 1}} {
			got := written(t, func(w io.Writer) error { return c.WriteGeoTIFF(w, q, "of a test") })
			for i, v := range want {
				if (v < 0) != (got[i] != got[i]) || v >= 0 && float64(got[i]) != v {
					t.Errorf("%s of %d poles: %v, want %v", q, poles, got, want)
				}
			}
		}
		if err := c.WriteGeoTIFF(io.Discard, Loss, ""); !errors.Is(err, fault.ErrInput) {
			t.Errorf("loss of several: %v", err)
		}
	}
}
