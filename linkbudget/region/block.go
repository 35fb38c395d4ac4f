package region

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"image"
	"io"
	"sync"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain/fault"
	"github.com/polereach/polereach/terrain/geotiff"
)

// side is that of a block, in cells: a tile of the GeoTIFF.
const (
	side       = geotiff.TileSide
	blockCells = side * side
)

// block is what poles give the cells of a square, row by row.
type block struct {
	mu    sync.Mutex
	cells [blockCells]coverage.Tally
}

// add counts in the cells of a pole that lie in the block, whose first cell stands at that place.
func (b *block) add(raster *coverage.Raster, r reach, at image.Point, wantPercent float64) {
	part := r.cells.Intersect(image.Rect(0, 0, side, side).Add(at))
	b.mu.Lock()
	defer b.mu.Unlock()
	for y := part.Min.Y; y < part.Max.Y; y++ {
		from := raster.Cells[(y-r.cells.Min.Y)*raster.Cols+part.Min.X-r.cells.Min.X:][:part.Dx()]
		into := b.cells[(y-at.Y)*side+part.Min.X-at.X:][:part.Dx()]
		for i, c := range from {
			into[i].Add(r.pole, c, wantPercent)
		}
	}
}

// A packed block holds one byte of every cell after the other, which packs better than cell by
// cell: why a pole could not be judged, with judgedMark where one was; the largest probability, 4
// bytes; None less what the best pole makes of it, 4; how many are heard, 2; and of those cells
// where any is, the margin and the number of the best, 4.
const (
	judgedMark  = 0x80
	planes      = 11
	heardPlanes = 4
)

// pack returns the block as it stands in a part (zlib, RFC 1950). Where no pole reaches it
// keeps the largest probability, and not whose it is.
func (b *block) pack() ([]byte, error) {
	raw := make([]byte, planes*blockCells, (planes+heardPlanes)*blockCells)
	plane := func(k, i int, v byte) { raw[k*blockCells+i] = v }
	heard := 0
	for i := range b.cells {
		t := &b.cells[i]
		if *t == (coverage.Tally{}) {
			continue
		}
		state := byte(t.Unjudged)
		if t.Best != 0 {
			state |= judgedMark
		}
		plane(0, i, state)
		chance, rest := uint32(t.Best>>32), t.None-t.NoneOfBest()
		for k := range 4 {
			plane(1+k, i, byte(chance>>(24-8*k)))
			plane(5+k, i, byte(rest>>(24-8*k)))
		}
		plane(9, i, byte(t.Heard>>8))
		plane(10, i, byte(t.Heard))
		if t.Heard > 0 {
			heard++
		}
	}
	behind := raw[len(raw) : len(raw)+heardPlanes*heard]
	n := 0
	for i := range b.cells {
		if t := &b.cells[i]; t.Heard > 0 {
			for k := range heardPlanes {
				behind[k*heard+n] = byte(t.Best >> (24 - 8*k))
			}
			n++
		}
	}
	var out bytes.Buffer
	z, err := zlib.NewWriterLevel(&out, zlib.BestSpeed)
	if err == nil {
		_, err = z.Write(raw[:len(raw)+len(behind)])
	}
	if err == nil {
		err = z.Close()
	}
	return out.Bytes(), err
}

// join counts in what a packed block holds.
func (b *block) join(packed io.Reader) error {
	z, err := zlib.NewReader(packed)
	if err != nil {
		return fmt.Errorf("block: %w", err)
	}
	raw := make([]byte, (planes+heardPlanes)*blockCells)
	got, err := io.ReadFull(z, raw)
	if err != nil && err != io.ErrUnexpectedEOF {
		return fmt.Errorf("block: %w", err)
	}
	heard := (got - planes*blockCells) / heardPlanes
	behind := raw[min(planes*blockCells, got):got]
	n := 0
	for i := range b.cells {
		of := func(k int) uint32 { return uint32(raw[k*blockCells+i]) }
		if of(0) == 0 {
			continue
		}
		t := coverage.Tally{Unjudged: coverage.State(of(0) &^ judgedMark), Heard: uint16(of(9)<<8 | of(10))}
		if of(0)&judgedMark != 0 {
			t.Best = uint64(of(1)<<24|of(2)<<16|of(3)<<8|of(4))<<32 | 1 // 0 would be of no pole
		}
		t.None = of(5)<<24 | of(6)<<16 | of(7)<<8 | of(8)
		if t.Heard > 0 {
			if n >= heard {
				return fault.Input("block: found %d cells in which a pole is heard, and the best of %d", n+1, heard)
			}
			t.Best &^= 1
			for k := range heardPlanes {
				t.Best |= uint64(behind[k*heard+n]) << (24 - 8*k)
			}
			n++
		}
		t.None += t.NoneOfBest()
		b.cells[i].Join(t)
	}
	if n != heard || got < planes*blockCells {
		return fault.Input("block: found %d bytes, allowed %d and %d for each of %d cells", got,
			planes*blockCells, heardPlanes, n)
	}
	return nil
}
