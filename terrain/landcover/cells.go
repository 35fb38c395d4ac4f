package landcover

import (
	"fmt"

	"github.com/polereach/polereach/terrain"
)

// read returns the cells of a window. Those read first that nobody asked for lately go when the
// memory is wanted.
func (l *layer) read(k int32) ([]uint8, error) {
	w := &l.windows[k]
	if cells := w.kept(); cells != nil {
		return cells, nil
	}
	w.one.Lock()
	defer w.one.Unlock()
	if cells := w.cells.Load(); cells != nil {
		return *cells, nil
	}
	cols, rows := w.source.Lattice.Cols, w.source.Lattice.Rows
	stored, err := l.load(w, box{cols: cols, rows: rows})
	if err != nil {
		return nil, err
	}
	cells := make([]uint8, number((cols+127)&^127, 0, rows)*l.bits/8)
	pairs := l.pairs
	if l.bits == 4 && stored.pack != &l.common {
		pairs = pairsOf(stored.pack)
	}
	for row := range rows {
		line := stored.cells[row*cols : (row+1)*cols]
		for col := 0; col < cols; col += 16 {
			n := number(col, row, rows)
			group := line[col:min(col+16, cols)]
			var any uint8
			if l.bits == 8 {
				any = packed(cells[n:], group, stored.pack)
			} else if len(group) == 16 {
				any = packedInHalves((*[8]uint8)(cells[n>>1:]), (*[16]uint8)(group), pairs)
			} else {
				var padded [16]uint8 // 0 is unknown
				copy(padded[:], group)
				any = packedInHalves((*[8]uint8)(cells[n>>1:]), &padded, pairs)
			}
			if l.bits == 4 && any&0x88 == 0 || l.bits == 8 && any != refused { // classes are below 8
				continue
			}
			for i, v := range group {
				if stored.pack[v] == refused {
					return nil, l.refusal(w, float32(v), col+i, row)
				}
			}
		}
	}
	l.keep(k, cells)
	return cells, nil
}

// packed makes a byte of each cell, and returns the bits of all.
func packed(out, cells []uint8, pack *[256]uint8) (any uint8) {
	out = out[:len(cells)]
	for i, v := range cells {
		out[i] = pack[v]
		any |= out[i]
	}
	return any
}

// packedInHalves makes half a byte of each cell, two at once, and returns the bits of all.
func packedInHalves(out *[8]uint8, cells *[16]uint8, pairs *[1 << 16]uint8) (any uint8) {
	for i := range out {
		two := pairs[uint16(cells[2*i])|uint16(cells[2*i+1])<<8]
		out[i] = two
		any |= two
	}
	return any
}

// pairsOf is what two cells make, the first in the lower half of both.
func pairsOf(pack *[256]uint8) *[1 << 16]uint8 {
	p := new([1 << 16]uint8)
	for i := range p {
		p[i] = pack[i&255]&15 | pack[i>>8]<<4
	}
	return p
}

// kept is the cells of a window where they are in memory, else nil.
func (w *window) kept() []uint8 {
	cells := w.cells.Load()
	if cells == nil {
		return nil
	}
	if !w.recent.Load() {
		w.recent.Store(true)
	}
	return *cells
}

// box is a part of a window.
type box struct{ col, row, cols, rows int }

// stored is cells of a window as they lie in its file, row by row, and what pack makes of each.
type stored struct {
	box
	cells []uint8
	pack  *[256]uint8
}

// load reads at least a part of a window. Cells of a file that are no bytes are packed already, and none refused.
func (l *layer) load(w *window, part box) (s stored, err error) {
	if w.source.LoadBytes == nil {
		return l.loadGrid(w)
	}
	cells, void, err := w.source.LoadBytes(part.col, part.row, part.cols, part.rows)
	if err == nil && len(cells) != part.cols*part.rows {
		err = notAnnounced(w)
	}
	s = stored{part, cells, &l.common}
	if void >= 0 && l.common[uint8(void)] != 0 {
		table := l.common
		table[uint8(void)] = 0
		s.pack = &table
	}
	return s, err
}

func (l *layer) loadGrid(w *window) (s stored, err error) {
	g, err := w.source.Load()
	if err == nil && (g == nil || g.Check() != nil || g.Lattice != w.source.Lattice) {
		err = notAnnounced(w)
	}
	if err != nil {
		return s, err
	}
	s = stored{box{cols: g.Cols, rows: g.Rows}, make([]uint8, len(g.HeightM)), &asPacked}
	for i, v := range g.HeightM {
		if s.cells[i] = l.pack(v); s.cells[i] == refused {
			return s, l.refusal(w, v, i%g.Cols, i/g.Cols)
		}
	}
	return s, nil
}

func notAnnounced(w *window) error {
	return fmt.Errorf("cover: %w: %s: not the cells announced", terrain.ErrRead, w.source.Name)
}

// asPacked is the table of cells that are packed.
var asPacked = func() (t [256]uint8) {
	for i := range t {
		t[i] = uint8(i)
	}
	return t
}()

func (l *layer) refusal(w *window, v float32, col, row int) error {
	return fmt.Errorf("cover: %w: %s: %w", terrain.ErrRead, w.source.Name, l.refuse(v, w.source.Lattice.Post(col, row)))
}

// keep puts the cells of a window into memory, and lets others go.
func (l *layer) keep(k int32, cells []uint8) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for l.used+int64(len(cells)) > l.limit && len(l.order) > 0 {
		old := l.order[0]
		l.order = l.order[1:]
		if o := &l.windows[old]; o.recent.Swap(false) {
			l.order = append(l.order, old)
		} else {
			l.used -= int64(len(*o.cells.Load()))
			o.cells.Store(nil)
		}
	}
	l.order, l.used = append(l.order, k), l.used+int64(len(cells))
	l.windows[k].cells.Store(&cells)
}
