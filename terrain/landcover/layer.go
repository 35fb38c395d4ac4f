package landcover

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// layer is the cells of sources on one lattice, read when first asked for and packed: many cells
// along a path are looked at once each, so that they have to lie in memory, and fit.
type layer struct {
	terrain.Lattice                           // of all, the corner that of the first source
	pack            func(value float32) uint8 // a cell, or refused
	refuse          func(value float32, at orb.Point) error
	common          [256]uint8      // pack of what a byte holds
	pairs           *[1 << 16]uint8 // of common, for halves of bytes
	bits            int             // of a cell, 4 or 8
	windows         []window
	buckets         map[[2]int][]int32 // the windows that reach into a square of side bucket, the first to answer first
	westmost        float64            // column of all windows
	limit           int64

	mu    sync.Mutex
	used  int64
	order []int32 // of the windows kept, the one read first in front
}

// window is one source: where its cells begin in the lattice, and its cells once read.
type window struct {
	source   terrain.Source
	col, row int
	second   bool // one before it reaches into it, and answers first
	cells    atomic.Pointer[[]uint8]
	recent   atomic.Bool // asked for since it was last looked at
	picked   atomic.Bool // of it posts have been answered
	one      sync.Mutex  // of those who read it
}

// refused is what pack makes of a value that is none.
const refused = 0xff

const (
	bucket      = 1024
	mostBuckets = 1 << 20 // of a source
)

// alignedSteps is how far the cells of one source may lie off those of another.
const alignedSteps = 1e-3

// newLayer is nil without sources.
func newLayer(what string, sources []terrain.Source, bits int, limit int64, pack func(float32) uint8,
	refuse func(float32, orb.Point) error) (*layer, error) {
	if len(sources) == 0 {
		return nil, nil
	}
	l := &layer{Lattice: sources[0].Lattice, bits: bits, pack: pack, refuse: refuse, limit: limit,
		windows: make([]window, len(sources)),
		buckets: map[[2]int][]int32{}}
	for v := range l.common {
		l.common[v] = pack(float32(v))
	}
	l.pairs = pairsOf(&l.common)
	var errs []error
	if err := l.Check(); err != nil {
		return nil, fmt.Errorf("cover: %s: %w", what, err)
	}
	for i, s := range sources {
		if s.Load == nil {
			errs = append(errs, fault.Input("cover: %s: source %q: no Load function", what, s.Name))
			continue
		}
		if err := s.Lattice.Check(); err != nil {
			errs = append(errs, fmt.Errorf("cover: %s: source %q: %w", what, s.Name, err))
			continue
		}
		x, y := (s.Lattice.WestDeg-l.WestDeg)/l.StepLonDeg, (l.NorthDeg-s.Lattice.NorthDeg)/l.StepLatDeg
		w := &l.windows[i]
		w.source, w.col, w.row = s, int(math.Round(x)), int(math.Round(y))
		if !(math.Abs(x-math.Round(x))+math.Abs(y-math.Round(y))+
			math.Abs(s.Lattice.StepLonDeg/l.StepLonDeg-1)*float64(s.Lattice.Cols)+
			math.Abs(s.Lattice.StepLatDeg/l.StepLatDeg-1)*float64(s.Lattice.Rows) <= alignedSteps) {
			errs = append(errs, fault.Input("cover: the cells of the %s in %s do not continue those of %s; "+
				"gdalwarp -r near joins them", what, s.Name, sources[0].Name))
			continue
		}
		if int64(s.Lattice.Cols/bucket+2)*int64(s.Lattice.Rows/bucket+2) > mostBuckets ||
			math.Abs(x)+math.Abs(y) > evenMost/2 {
			errs = append(errs,
				fault.Input("cover: the %s in %s: %d by %d cells, %.0f and %.0f from the first, are too many", what,
					s.Name, s.Lattice.Cols, s.Lattice.Rows, x, y))
			continue
		}
		l.westmost = min(l.westmost, float64(w.col))
		for c := floor(w.col); c <= floor(w.col+s.Lattice.Cols-1); c++ {
			for r := floor(w.row); r <= floor(w.row+s.Lattice.Rows-1); r++ {
				list := l.buckets[[2]int{c, r}]
				for _, k := range list {
					w.second = w.second || w.meets(&l.windows[k])
				}
				l.buckets[[2]int{c, r}] = append(list, int32(i))
			}
		}
	}
	return l, errors.Join(errs...)
}

// meets reports whether both have cells in common.
func (w *window) meets(o *window) bool {
	a, b := &w.source.Lattice, &o.source.Lattice
	return w.col < o.col+b.Cols && o.col < w.col+a.Cols && w.row < o.row+b.Rows && o.row < w.row+a.Rows
}

// floor is the bucket of a column or a row.
func floor(n int) int { return int(math.Floor(float64(n) / bucket)) }

// look writes the cell of each place to out, 0 where there is none. Where cells lie is worked out for many
// places first, so that their memory is waited for together.
func (l *layer) look(at []orb.Point, out []uint8, s *scratch, kind int) error {
	last, numbers := &s.last[kind], &s.numbers
	if last.layer != l {
		*last = answering{layer: l}
	} else if w := last.window; w != nil && !w.recent.Load() {
		w.recent.Store(true)
	}
	for i := 0; i < len(at); {
		n := l.within(last, at[i:min(i+lookAtOnce, len(at))], numbers[:])
		now := out[i : i+n]
		if l.bits == 8 {
			for k := range now {
				now[k] = last.cells[numbers[k]]
			}
		} else {
			for k := range now {
				now[k] = last.cells[numbers[k]>>1] >> (numbers[k] & 1 * 4) & 15
			}
		}
		for k, cell := range now {
			if cell == 0 {
				var err error
				if _, _, now[k], err = l.find(at[i+k]); err != nil {
					return err
				}
			}
		}
		if i += n; i == len(at) || n == lookAtOnce {
			continue
		}
		k, cells, cell, err := l.find(at[i])
		if err != nil {
			return err
		}
		if out[i] = cell; k >= 0 && !l.windows[k].second {
			w := &l.windows[k]
			*last = answering{l, w, cells, w.col, w.row, w.source.Lattice.Cols, w.source.Lattice.Rows}
		}
		i++
	}
	return nil
}

// lookAtOnce is how many places are looked at together.
const lookAtOnce = 64

// answering is the window that answered last.
type answering struct {
	layer                *layer
	window               *window
	cells                []uint8
	col, row, cols, rows int
}

// within counts the places that lie in the window before one that does not, and writes where their cells are.
func (l *layer) within(w *answering, at []orb.Point, numbers []int) int {
	perLon, perLat, west, north := 1/l.StepLonDeg, 1/l.StepLatDeg, l.WestDeg, l.NorthDeg
	numbers, tall := numbers[:len(at)], (w.rows+7)>>3
	for i, p := range at {
		x, y := (p[0]-west)*perLon, (north-p[1])*perLat
		if !(math.Abs(x) < evenMost && math.Abs(y) < evenMost) {
			return i
		}
		col, row := cellAt(x)-w.col, cellAt(y)-w.row
		if uint(col) >= uint(w.cols) || uint(row) >= uint(w.rows) {
			return i
		}
		numbers[i] = (col>>7*tall+row>>3)<<10 | col&0x70<<3 | row&7<<4 | col&15 // as number has it
	}
	return len(at)
}

// evenMost is more columns or rows than any raster has.
const evenMost = 1 << 30

// cellAt is the cell of a position, in cells from the middle of the first: rounded down, as an int does above 0.
func cellAt(x float64) int { return int(x+0.5+evenMost) - evenMost }

// cellOf is the column and row of a place's cell, of which there need be none.
func (l *layer) cellOf(p orb.Point) (col, row int) {
	x, y := (p[0]-l.WestDeg)*(1/l.StepLonDeg), (l.NorthDeg-p[1])*(1/l.StepLatDeg)
	if turns := math.Floor((x - l.westmost + 0.5) * l.StepLonDeg / 360); turns != 0 {
		x = (p[0] - 360*turns - l.WestDeg) * (1 / l.StepLonDeg)
	}
	if !(math.Abs(x) < evenMost && math.Abs(y) < evenMost) {
		return -evenMost, -evenMost
	}
	return cellAt(x), cellAt(y)
}

// find is the cell of a place, and the window that has it, -1 for none.
func (l *layer) find(p orb.Point) (k int32, cells []uint8, cell uint8, err error) {
	k = -1
	col, row := l.cellOf(p)
	for _, n := range l.buckets[[2]int{floor(col), floor(row)}] {
		w := &l.windows[n]
		if uint(col-w.col) >= uint(w.source.Lattice.Cols) || uint(row-w.row) >= uint(w.source.Lattice.Rows) {
			continue
		}
		if cells, err = l.read(n); err != nil {
			return n, nil, 0, err
		}
		k = n
		if cell = l.cell(cells, number(col-w.col, row-w.row, w.source.Lattice.Rows)); cell != 0 {
			break
		}
	}
	return k, cells, cell, nil
}

func (l *layer) cell(cells []uint8, n int) uint8 {
	if l.bits == 8 {
		return cells[n]
	}
	return cells[n>>1] >> (n & 1 * 4) & 15
}

// number is where a cell lies in memory: 8 rows by 16 columns together, so that a path, which meets
// another row at nearly every point, seldom meets another line of memory; and 8 of these beside each other
// before those below, so that it seldom meets another page.
func number(col, row, rows int) int {
	return (col>>7*((rows+7)>>3)+row>>3)<<10 | col&0x70<<3 | row&7<<4 | col&15
}

// Sources are a DEM as sources, for rasters that come as nothing else. The error is of cells
// that do not lie on lines of longitude and latitude.
func Sources(dem terrain.DEM, name string) ([]terrain.Source, error) {
	if dem == nil {
		return nil, fault.Input("cover: no raster given")
	}
	e := dem.Extent()
	if e.Irregular || !(e.StepLonDeg > 0) || !(e.StepLatDeg > 0) {
		return nil, fault.Input("cover: the cells of %s do not lie on lines of longitude and latitude; "+
			"gdalwarp -t_srs EPSG:4326 -r near makes them", name)
	}
	all := terrain.Lattice{WestDeg: e.Bound.Min[0], NorthDeg: e.Bound.Max[1], StepLonDeg: e.StepLonDeg,
		StepLatDeg: e.StepLatDeg,
		Cols:       int(math.Round((e.Bound.Max[0]-e.Bound.Min[0])/e.StepLonDeg)) + 1,
		Rows:       int(math.Round((e.Bound.Max[1]-e.Bound.Min[1])/e.StepLatDeg)) + 1}
	if err := all.Check(); err != nil {
		return nil, err
	}
	var out []terrain.Source
	for row := 0; row < all.Rows; row += bucket {
		for col := 0; col < all.Cols; col += bucket {
			l := all
			corner := all.Post(col, row)
			l.WestDeg, l.NorthDeg = corner[0], corner[1]
			l.Cols, l.Rows = min(bucket, all.Cols-col), min(bucket, all.Rows-row)
			out = append(out, terrain.Source{Name: name, Lattice: l, Load: func() (*terrain.Grid, error) {
				return load(dem,
					l)
			}})
		}
	}
	return out, nil
}

func load(dem terrain.DEM, l terrain.Lattice) (*terrain.Grid, error) {
	g := &terrain.Grid{Lattice: l, HeightM: make([]float32, l.Cols*l.Rows)}
	at, value, flag := make([]orb.Point, l.Cols), make([]float64, l.Cols), make([]terrain.Flag, l.Cols)
	for row := range l.Rows {
		for col := range at {
			at[col] = l.Post(col, row)
		}
		if err := terrain.HeightsOf(dem, at, value, flag); err != nil {
			return nil, err
		}
		for col, f := range flag {
			if g.HeightM[row*l.Cols+col] = float32(value[col]); !f.Known() {
				g.HeightM[row*l.Cols+col] = terrain.VoidHeight()
			}
		}
	}
	return g, nil
}
