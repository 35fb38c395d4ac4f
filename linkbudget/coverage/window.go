package coverage

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync/atomic"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// window is the ground of the whole area in memory, at the posts of the DEM.
// Positions in it are column and row, counted from its north-western post.
type window struct {
	terrain.Lattice
	h      []float32 // row by row, NaN where unknown
	stride int       // from one row to the next in h
	voids  voids
	// raster cells are the posts at firstCol + i*every, firstRow + j*every.
	// The window holds only what the terrain may know: cells can lie outside.
	every, firstCol, firstRow int
	cells                     terrain.Lattice
}

// outsideMark is the NaN of a post that no source covers; any other NaN is a
// void. Only posts are told apart by it, never what was computed from them.
var outsideMark = math.Float32frombits(0x7fc00001)

// span is a run of global posts: number 0 is the western or northern edge of
// the DEM.
type span struct{ from, to int }

// ErrNoCell is behind the error of an area in which a pole has no cell to judge.
var ErrNoCell = errors.New("no cell")

// LatticeOf returns where the cells of [Sweep] lie for a pole at a place over terrain of that
// extent, before any terrain is read. The error is that of the area, [ErrNoCell] among them, or of more than
// Options.MemoryBytes, if set.
func LatticeOf(at orb.Point, extent terrain.Extent, opt Options) (terrain.Lattice, error) {
	if err := errors.Join(append(opt.checkArea(at), checkSteps(extent))...); err != nil {
		return terrain.Lattice{}, fmt.Errorf("coverage: %w", err)
	}
	if opt.MemoryBytes <= 0 {
		opt.MemoryBytes = math.MaxInt64
	}
	w, err := newWindow(besideMiddle(at, extent), extent, opt)
	if err != nil {
		return terrain.Lattice{}, err
	}
	return w.cells, w.cells.Check()
}

// besideMiddle is a place with the longitude that is within half a turn of the terrain's middle.
func besideMiddle(at orb.Point, e terrain.Extent) orb.Point {
	at[0] -= 360 * math.Round((at[0]-(e.Bound.Min[0]+e.Bound.Max[0])/2)/360)
	return at
}

// newWindow lays out posts and cells and checks the memory. Nothing is read.
// The longitude of the pole is one within half a turn of the DEM's middle.
func newWindow(at orb.Point, e terrain.Extent, opt Options) (*window, error) {
	reachLat := opt.RadiusM / 110574 * 1.01 // the shortest degree of latitude, at the equator
	top := math.Abs(at[1]) + reachLat
	if !(top <= maxLatitudeDeg) {
		return nil, fault.Input("coverage: the area reaches %g° latitude, allowed up to %d°", top, maxLatitudeDeg)
	}
	angle := opt.RadiusM / 6356752 * 1.01
	reachLon := 180 / math.Pi * math.Asin(min(1, math.Sin(min(angle, math.Pi/2))/math.Cos(at[1]*math.Pi/180)))
	circle := orb.Bound{Min: orb.Point{at[0] - reachLon, at[1] - reachLat},
		Max: orb.Point{at[0] + reachLon, at[1] + reachLat}}
	area := circle
	if b := opt.Area; b != nil {
		shift := 360 * math.Round((at[0]-(b.Min[0]+b.Max[0])/2)/360)
		area.Min = orb.Point{max(area.Min[0], b.Min[0]+shift), max(area.Min[1], b.Min[1])}
		area.Max = orb.Point{min(area.Max[0], b.Max[0]+shift), min(area.Max[1], b.Max[1])}
		if area.Min[0] > area.Max[0] || area.Min[1] > area.Max[1] {
			return nil, fault.Input("coverage: %w of the area lies within %g m of the pole", ErrNoCell, opt.RadiusM)
		}
	}
	w := &window{every: cellEvery(e, opt.CellM)}
	const slack = 1e-6 // of a post: an edge given as a post is that post
	cells := func(fromDeg, toDeg, stepDeg float64) span {
		return span{int(math.Ceil(fromDeg/stepDeg - slack)), int(math.Floor(toDeg/stepDeg + slack))}.multiples(w.every)
	}
	west, north := e.Bound.Min[0], e.Bound.Max[1]
	cellCols := cells(area.Min[0]-west, area.Max[0]-west, e.StepLonDeg)
	cellRows := cells(north-area.Max[1], north-area.Min[1], e.StepLatDeg)
	if cellCols.to < cellCols.from || cellRows.to < cellRows.from {
		return nil, fault.Input("coverage: %w of the raster lies in the area; cells are %d posts apart", ErrNoCell, w.every)
	}
	// The ground must hold the cells, the pole, and all ways between, which may bulge.
	poleCol, poleRow := (at[0]-e.Bound.Min[0])/e.StepLonDeg, (e.Bound.Max[1]-at[1])/e.StepLatDeg
	margin := 2 + int(math.Ceil(bulgeM(opt.RadiusM, at[1])/(e.StepLatDeg*110e3)))
	postCols := span{min(cellCols.from, int(math.Floor(poleCol))) - margin,
		max(cellCols.to, int(math.Ceil(poleCol))) + margin}
	postRows := span{min(cellRows.from, int(math.Floor(poleRow))) - margin,
		max(cellRows.to, int(math.Ceil(poleRow))) + margin}
	// Beyond the terrain there is nothing to hold; terrain all round the earth
	// has no eastern end.
	if e.Bound.Max[0]-e.Bound.Min[0] < 359 {
		postCols = postCols.within(e.Bound.Max[0]-e.Bound.Min[0], e.StepLonDeg)
	}
	postRows = postRows.within(e.Bound.Max[1]-e.Bound.Min[1], e.StepLatDeg)
	if postCols.to < postCols.from || postRows.to < postRows.from {
		return nil, fmt.Errorf("coverage: %w: %v lies beside the terrain", ErrPoleUnknown, at)
	}
	w.Lattice = terrain.Lattice{
		WestDeg:    e.Bound.Min[0] + float64(postCols.from)*e.StepLonDeg,
		NorthDeg:   e.Bound.Max[1] - float64(postRows.from)*e.StepLatDeg,
		StepLonDeg: e.StepLonDeg, StepLatDeg: e.StepLatDeg,
		Cols: postCols.to - postCols.from + 1, Rows: postRows.to - postRows.from + 1,
	}
	w.firstCol, w.firstRow = cellCols.from-postCols.from, cellRows.from-postRows.from
	w.cells = terrain.Lattice{
		WestDeg: w.WestDeg + float64(w.firstCol)*e.StepLonDeg, NorthDeg: w.NorthDeg - float64(w.firstRow)*e.StepLatDeg,
		StepLonDeg: e.StepLonDeg * float64(w.every), StepLatDeg: e.StepLatDeg * float64(w.every),
		Cols: (cellCols.to-cellCols.from)/w.every + 1, Rows: (cellRows.to-cellRows.from)/w.every + 1,
	}
	return w, w.checkSize(opt, e)
}

// farM is a distance from a place that no cell lies beyond, but for cells near a pole of the earth.
func (w *window) farM(at orb.Point) (farM float64) {
	for k := range 4 { // corners
		farM = max(farM, terrain.Inverse(at, w.cells.Post(k%2*(w.cells.Cols-1), k/2*(w.cells.Rows-1))).DistM)
	}
	return farM * 1.1
}

// checkSize refuses more posts and cells than fit the memory, or than numbers of 32 bits
// tell apart, which the vectors have for both.
func (w *window) checkSize(opt Options, e terrain.Extent) error {
	posts, cells := float64(w.Cols)*float64(w.Rows), float64(w.cells.Cols)*float64(w.cells.Rows)
	switch need := posts*opt.postBytes() + cells*opt.cellBytes(); {
	case need > float64(opt.MemoryBytes):
		return tooLarge(need, posts, cells, opt, w.every, e)
	case posts > math.MaxInt32:
		return fault.Input("coverage: %.0f posts, allowed up to %d; choose a smaller radius, or coarser terrain",
			posts, math.MaxInt32)
	case cells > math.MaxInt32:
		return fault.Input("coverage: %.0f cells, allowed up to %d; "+
			"choose a smaller radius, or a larger spacing of the cells", cells, math.MaxInt32)
	}
	return nil
}

// bulgeM is how far the geodesic between two places on one parallel, distM apart,
// leaves it: d² tan φ/(8 R).
func bulgeM(distM, latDeg float64) float64 {
	return distM * distM * math.Tan(math.Abs(latDeg)*math.Pi/180) / (8 * 6.35e6)
}

// within cuts the span to the posts of a DEM of that width.
func (s span) within(widthDeg, stepDeg float64) span {
	return span{max(s.from, 0), min(s.to, int(math.Round(widthDeg/stepDeg)))}
}

// multiples returns the part of the span between multiples of n.
func (s span) multiples(n int) span {
	return span{int(math.Ceil(float64(s.from)/float64(n))) * n, int(math.Floor(float64(s.to)/float64(n))) * n}
}

// cellEvery is the number of posts from one cell to the next.
func cellEvery(e terrain.Extent, cellM float64) int {
	return max(1, int(math.Round(cellM/(e.StepLatDeg*metresPerDegree))))
}

// metresPerDegree of latitude, where a per cent does not matter.
const metresPerDegree = 111e3

func tooLarge(need, posts, cells float64, opt Options, every int, e terrain.Extent) error {
	left := float64(opt.MemoryBytes) - posts*opt.postBytes()
	text := fmt.Sprintf("coverage: %.0f cells over %.0f posts need %.0f MiB, allowed %.0f MiB; ", cells, posts,
		need/(1<<20), float64(opt.MemoryBytes)/(1<<20))
	if left <= 0 {
		return fault.Input("%schoose a smaller radius, or coarser terrain", text)
	}
	spacing := float64(every) * math.Sqrt(cells*opt.cellBytes()/left) * e.StepLatDeg * metresPerDegree
	return fault.Input("%scells every %.0f m would fit, or choose a smaller radius", text, math.Ceil(spacing/10)*10)
}

// load reads the heights on all workers, and finds where some are unknown.
func (w *window) load(ctx context.Context, dem terrain.DEM, workers int) error {
	there, err := w.alias(dem)
	if err != nil {
		return fmt.Errorf("coverage: %w", err)
	}
	if !there {
		if err := w.read(ctx, dem, workers); err != nil {
			return err
		}
	}
	if w.voids, err = newVoids(ctx, w, workers); err != nil || !w.voids.infinite {
		return err
	}
	// Others may read the grid: a copy has voids instead.
	if err := w.read(ctx, dem, workers); err != nil {
		return err
	}
	w.voids, err = newVoids(ctx, w, workers)
	return err
}

// read takes the heights from the terrain, row by row.
func (w *window) read(ctx context.Context, dem terrain.DEM, workers int) error {
	w.h, w.stride = make([]float32, w.Cols*w.Rows), w.Cols
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, w.Rows) {
		group.Go(fault.Guarded(func() error {
			at, heightM, flag := make([]orb.Point, w.Cols), make([]float64, w.Cols), make([]terrain.Flag, w.Cols)
			for {
				row := int(next.Add(1)) - 1
				if row >= w.Rows {
					return nil
				}
				if err := ctx.Err(); err != nil {
					return err
				}
				for c := range at {
					at[c] = w.Post(c, row)
				}
				if err := terrain.HeightsOf(dem, at, heightM, flag); err != nil {
					return fmt.Errorf("coverage: %w", err)
				}
				out := w.h[row*w.stride:]
				for c, f := range flag {
					switch {
					case f.Known():
						out[c] = float32(heightM[c])
					case f == terrain.Outside:
						out[c] = outsideMark
					default:
						out[c] = terrain.VoidHeight()
					}
				}
			}
		}))
	}
	return group.Wait()
}

// alias uses the heights of a grid in place where one holds all of the window. A DEM that
// embeds a grid or tiles may give other heights, and is asked.
func (w *window) alias(dem terrain.DEM) (bool, error) {
	var g *terrain.Grid
	var col, row int
	switch dem := dem.(type) {
	case *terrain.Grid:
		if dem.Check() != nil {
			return false, nil
		}
		g = dem
		col, row = int(math.Round((w.WestDeg-g.WestDeg)/g.StepLonDeg)),
			int(math.Round((g.NorthDeg-w.NorthDeg)/g.StepLatDeg))
	case *terrain.Tiles:
		var err error
		if g, col, row, err = dem.Whole(w.Lattice); g == nil || err != nil {
			return false, err
		}
	default:
		return false, nil
	}
	if col < 0 || row < 0 || col+w.Cols > g.Cols || row+w.Rows > g.Rows {
		return false, nil
	}
	if w.Rows*g.Cols > math.MaxInt32 {
		return false, nil // a copy has fewer posts
	}
	w.stride = g.Cols
	w.h = g.HeightM[row*g.Cols+col:]
	return true, nil
}

// ground returns the height under the pole.
func ground(dem terrain.DEM, at orb.Point) (float64, error) {
	var heightM [1]float64
	var flag [1]terrain.Flag
	if err := terrain.HeightsOf(dem, []orb.Point{at}, heightM[:], flag[:]); err != nil {
		return 0, fmt.Errorf("coverage: ground at the pole: %w", err)
	}
	if !flag[0].Known() {
		return 0, fmt.Errorf("coverage: %w: %v is %v", ErrPoleUnknown, at, flag[0])
	}
	return heightM[0], nil
}
