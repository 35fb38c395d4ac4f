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
	common          [128]uint8 // pack of small whole numbers
	bits            int        // of a cell, 4 or 8
	windows         []window
	buckets         map[[2]int][]int32 // the windows that reach into a square of side bucket, the first to answer first
	limit           int64

	mu    sync.Mutex
	used  int64
	order []int32 // of the windows kept, the one read first in front
}

// window is one source: where its cells begin in the lattice, and its cells once read.
type window struct {
	source   terrain.Source
	col, row int
	cells    atomic.Pointer[[]uint8]
	recent   atomic.Bool // asked for since it was last looked at
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
		for c := floor(w.col); c <= floor(w.col+s.Lattice.Cols-1); c++ {
			for r := floor(w.row); r <= floor(w.row+s.Lattice.Rows-1); r++ {
				l.buckets[[2]int{c, r}] = append(l.buckets[[2]int{c, r}], int32(i))
			}
		}
	}
	return l, errors.Join(errs...)
}

// floor is the bucket of a column or a row.
func floor(n int) int { return int(math.Floor(float64(n) / bucket)) }

// look writes the cell of each place to out, 0 where there is none.
func (l *layer) look(at []orb.Point, out []uint8) error {
	perLon, perLat, west, north := 1/l.StepLonDeg, 1/l.StepLatDeg, l.WestDeg, l.NorthDeg
	var last struct { // the window that answered last
		cells                []uint8
		col, row, cols, rows int
	}
	for i, p := range at {
		// Rounded down, as an int does above 0.
		x, y := (p[0]-west)*perLon+0.5+evenMost, (north-p[1])*perLat+0.5+evenMost
		if x > 0 && x < 2*evenMost && y > 0 && y < 2*evenMost {
			col, row := int(x)-evenMost-last.col, int(y)-evenMost-last.row
			if uint(col) < uint(last.cols) && uint(row) < uint(last.rows) {
				if out[i] = l.cell(last.cells, number(col, row, last.cols)); out[i] != 0 {
					continue
				}
			}
		}
		k, cells, cell, err := l.find(p)
		if err != nil {
			return err
		}
		if out[i] = cell; k >= 0 {
			w := &l.windows[k]
			last.cells, last.col, last.row, last.cols, last.rows = cells, w.col, w.row, w.source.Lattice.Cols,
				w.source.Lattice.Rows
		}
	}
	return nil
}

// evenMost is more columns or rows than any raster has.
const evenMost = 1 << 30

// find is the cell of a place, and the window that has it, -1 for none.
func (l *layer) find(p orb.Point) (k int32, cells []uint8, cell uint8, err error) {
	x, y := math.Floor((p[0]-l.WestDeg)/l.StepLonDeg+0.5), math.Floor((l.NorthDeg-p[1])/l.StepLatDeg+0.5)
	if math.Abs(x)*l.StepLonDeg > 180 {
		x = math.Floor(math.Remainder(p[0]-l.WestDeg, 360)/l.StepLonDeg + 0.5)
	}
	k = -1
	if !(math.Abs(x) < evenMost && math.Abs(y) < evenMost) {
		return k, nil, 0, nil
	}
	col, row := int(x), int(y)
	for _, n := range l.buckets[[2]int{floor(col), floor(row)}] {
		w := &l.windows[n]
		if uint(col-w.col) >= uint(w.source.Lattice.Cols) || uint(row-w.row) >= uint(w.source.Lattice.Rows) {
			continue
		}
		if cells, err = l.read(n); err != nil {
			return n, nil, 0, err
		}
		k = n
		if cell = l.cell(cells, number(col-w.col, row-w.row, w.source.Lattice.Cols)); cell != 0 {
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
// another row at nearly every point, seldom meets another line of memory.
func number(col, row, cols int) int {
	return (row>>3*((cols+15)>>4)+col>>4)<<7 | row&7<<4 | col&15
}

// read returns the cells of a window. Those read first that nobody asked for lately go when the
// memory is wanted.
func (l *layer) read(k int32) ([]uint8, error) {
	w := &l.windows[k]
	if cells := w.cells.Load(); cells != nil {
		if !w.recent.Load() {
			w.recent.Store(true)
		}
		return *cells, nil
	}
	w.one.Lock()
	defer w.one.Unlock()
	if cells := w.cells.Load(); cells != nil {
		return *cells, nil
	}
	g, err := w.source.Load()
	if err == nil && (g == nil || g.Check() != nil || g.Lattice != w.source.Lattice) {
		err = fmt.Errorf("cover: %w: %s: not the cells announced", terrain.ErrRead, w.source.Name)
	}
	if err != nil {
		return nil, err
	}
	cells := make([]uint8, number(0, (g.Rows+7)&^7, g.Cols)*l.bits/8)
	for row := range g.Rows {
		for col, v := range g.HeightM[row*g.Cols : (row+1)*g.Cols] {
			c, n := uint8(0), number(col, row, g.Cols)
			if k := uint32(int32(v)); k < uint32(len(l.common)) && float32(k) == v {
				c = l.common[k]
			} else {
				c = l.pack(v)
			}
			if c == refused {
				return nil, fmt.Errorf("cover: %w: %s: %w", terrain.ErrRead, w.source.Name, l.refuse(v, g.Post(col, row)))
			}
			if l.bits == 8 {
				cells[n] = c
			} else {
				cells[n>>1] |= c << (n & 1 * 4)
			}
		}
	}
	l.keep(k, cells)
	return cells, nil
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
