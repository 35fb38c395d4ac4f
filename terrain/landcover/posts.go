package landcover

import (
	"context"
	"math"
	"runtime"
	"sync/atomic"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// StandingOn implements [terrain.LatticeCover]. Of each raster one window after the other is read, on
// all cores, and of that only the cells next to posts are looked at; those in memory stay there. From the second
// time on the cells of a window are kept.
func (c *raster) StandingOn(ctx context.Context, on terrain.Lattice, stride int, number func(terrain.Standing) uint16,
	out []uint16) error {
	if need := (on.Rows-1)*stride + on.Cols; on.Check() != nil || stride < on.Cols || len(out) < need {
		return fault.Input("cover: room for %d answers about %d rows of %d posts, %d apart, must be sound and %d", len(out),
			on.Rows, on.Cols, stride, need)
	}
	clear(out)
	for i, l := range []*layer{c.codes, c.heights} {
		if l == nil {
			continue
		}
		if err := l.posts(ctx, on, stride, uint(8*i), out); err != nil {
			return err
		}
	}
	var numbers [int(terrain.CoverDenseUrban) + 1][256]uint16
	for class := range numbers {
		for cell := range numbers[class] {
			numbers[class][cell] = number(standing(uint8(class), uint8(cell)))
		}
	}
	return each(ctx, on.Rows, func(row int) error {
		for i, n := range out[row*stride : row*stride+on.Cols] {
			out[row*stride+i] = numbers[uint8(n)][n>>8]
		}
		return nil
	})
}

// StandingOn implements [terrain.LatticeCover]: what lies under the outlines is asked at once if it can be.
func (d *drawn) StandingOn(ctx context.Context, on terrain.Lattice, stride int, number func(terrain.Standing) uint16,
	out []uint16) error {
	under, once := d.under.(terrain.LatticeCover)
	if once {
		if err := under.StandingOn(ctx, on, stride, number, out); err != nil {
			return err
		}
	}
	const none = terrain.CoverClass(math.MaxUint8)
	return each(ctx, on.Rows, func(row int) error {
		at, found := make([]orb.Point, on.Cols), make([]terrain.Standing, on.Cols)
		for col := range at {
			at[col], found[col].Class = on.Post(col, row), none
		}
		if !once {
			if err := d.Standing(at, found); err != nil {
				return err
			}
		} else if y := at[0][1]; y >= d.cells.south && y <= d.cells.north {
			d.lay(at, found)
		}
		for col, s := range found {
			if s.Class != none {
				out[row*stride+col] = number(s)
			}
		}
		return nil
	})
}

// each does something on all cores.
func each(ctx context.Context, count int, one func(i int) error) error {
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(runtime.GOMAXPROCS(0), count) {
		group.Go(fault.Guarded(func() error {
			for {
				i := int(next.Add(1)) - 1
				if i >= count || ctx.Err() != nil {
					return ctx.Err()
				}
				if err := one(i); err != nil {
					return err
				}
			}
		}))
	}
	return group.Wait()
}

// pick is a post of a row, or a row of posts, and the column or row of the window that its cell lies in.
type pick struct{ post, cell int }

// picks finds those whose cell lies within count from first on.
func picks(cells []int, first, count int) (list []pick) {
	for post, cell := range cells {
		if uint(cell-first) < uint(count) {
			list = append(list, pick{post, cell - first})
		}
	}
	return list
}

// posts writes the cells of the posts of a lattice to out, shifted by so many bits, where none is yet.
func (l *layer) posts(ctx context.Context, on terrain.Lattice, stride int, shift uint, out []uint16) error {
	cols, rows := make([]int, on.Cols), make([]int, on.Rows)
	for i := range cols {
		cols[i], _ = l.cellOf(on.Post(i, 0))
	}
	for i := range rows {
		_, rows[i] = l.cellOf(on.Post(0, i))
	}
	var wanted []section
	for i := range l.windows {
		w := &l.windows[i]
		p := section{w, int32(i), picks(cols, w.col, w.source.Lattice.Cols), picks(rows, w.row, w.source.Lattice.Rows)}
		if len(p.cols) > 0 && len(p.rows) > 0 {
			wanted = append(wanted, p)
		}
	}
	for len(wanted) > 0 {
		now := wanted[:apart(wanted)]
		err := each(ctx, len(now), func(i int) error { return l.pickFrom(&now[i], stride, shift, out) })
		if err != nil {
			return err
		}
		wanted = wanted[len(now):]
	}
	return nil
}

// section is a window and what is wanted of it.
type section struct {
	*window
	index      int32
	cols, rows []pick
}

// apart counts the sections from the first on of which none reaches into another: they may be picked from
// at once.
func apart(list []section) int {
	for n := range list {
		for k := range n {
			if list[n].meets(list[k].window) {
				return n
			}
		}
	}
	return len(list)
}

// wanted reports whether a post has no cell yet.
func (p *section) wanted(stride int, shift uint, out []uint16) bool {
	for _, r := range p.rows {
		for _, c := range p.cols {
			if out[r.post*stride+c.post]>>shift == 0 {
				return true
			}
		}
	}
	return false
}

// part is that of the window in which all picks lie.
func (p *section) part() box {
	b := box{col: p.cols[0].cell, row: p.rows[0].cell}
	endCol, endRow := b.col, b.row
	for _, c := range p.cols {
		b.col, endCol = min(b.col, c.cell), max(endCol, c.cell)
	}
	for _, r := range p.rows {
		b.row, endRow = min(b.row, r.cell), max(endRow, r.cell)
	}
	b.cols, b.rows = endCol-b.col+1, endRow-b.row+1
	return b
}

// pickFrom takes the cells that posts want from a window.
func (l *layer) pickFrom(w *section, stride int, shift uint, out []uint16) error {
	if !w.wanted(stride, shift, out) {
		return nil
	}
	tall, kept := w.source.Lattice.Rows, w.kept()
	var s stored
	if kept == nil && w.picked.Swap(true) { // others may follow: the poles of a region
		kept, _ = l.read(w.index) // a cell that nobody picks is not refused
	}
	if kept == nil {
		var err error
		if s, err = l.load(w.window, w.part()); err != nil {
			return err
		}
	}
	for _, r := range w.rows {
		to := out[r.post*stride:]
		for _, c := range w.cols {
			if to[c.post]>>shift != 0 {
				continue
			}
			var cell uint8
			if kept != nil {
				cell = l.cell(kept, number(c.cell, r.cell, tall))
			} else {
				v := s.cells[(r.cell-s.row)*s.cols+c.cell-s.col]
				if cell = s.pack[v]; cell == refused {
					return l.refusal(w.window, float32(v), c.cell, r.cell)
				}
			}
			to[c.post] |= uint16(cell) << shift
		}
	}
	return nil
}
