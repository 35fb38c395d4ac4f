//go:build gdal

package gdal

import (
	"math"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// group is rasters that lie in one frame, the preferred one first. At a post,
// the first raster that knows its height answers.
type group struct {
	frame  frame
	turn   int // columns round the earth, 0 if the frame does not go round
	tiles  []tile
	extent terrain.Extent
	index  map[[2]int][]int // numbers of the tiles in each bucket, rising
	bucket [2]int           // columns and rows of a bucket
}

// tile is one raster of a group.
type tile struct {
	r        *Raster
	col, row int // of its first post, the column from 0 to below turn
	first    bool
}

// newGroup returns a raster as a group of its own, to be finished.
func newGroup(r *Raster) *group {
	g := &group{frame: r.frame, turn: r.frame.turn()}
	g.add(r, r.col, r.row)
	return g
}

// add puts a raster behind the others; its place is that in the frame.
func (g *group) add(r *Raster, col, row int) {
	if g.turn > 0 {
		col = mod(col, g.turn)
	}
	g.tiles = append(g.tiles, tile{r: r, col: col, row: row})
}

// finish makes the index after the last raster is added.
func (g *group) finish() {
	dems := make([]terrain.DEM, len(g.tiles))
	g.bucket = [2]int{1, 1}
	for i, t := range g.tiles {
		dems[i] = t.r
		g.bucket[0], g.bucket[1] = max(g.bucket[0], t.r.info.Cols), max(g.bucket[1], t.r.info.Rows)
	}
	g.extent = terrain.Stack(dems...).Extent()
	if f, is := g.frame.(*affineFrame); is && len(g.tiles) > 1 {
		shared := *f
		shared.near = g.nearAll()
		g.frame = &shared
	}
	if f, is := g.frame.(lonLatFrame); is && g.turn == 0 {
		// The frame counts eastwards from its first column only.
		west := g.tiles[0].col
		for _, t := range g.tiles {
			west = min(west, t.col)
		}
		for i := range g.tiles {
			g.tiles[i].col -= west
		}
		f.west += float64(west) * f.stepLon
		g.frame = f
	}
	g.index = map[[2]int][]int{}
	for i := range g.tiles { // the later ones do not count
		g.enter(i)
		g.tiles[i].first = g.undisputed(i)
	}
}

// nearAll spans the areas near to each raster, nil if one has none or they reach
// round the earth.
func (g *group) nearAll() *orb.Bound {
	var all orb.Bound
	for i, t := range g.tiles {
		near := t.r.frame.(*affineFrame).near
		if near == nil {
			return nil
		}
		b := *near
		if i == 0 {
			all = b
			continue
		}
		turn := 360 * math.Round((all.Center()[0]-b.Center()[0])/360)
		b.Min[0], b.Max[0] = b.Min[0]+turn, b.Max[0]+turn
		all = all.Union(b)
	}
	if all.Max[0]-all.Min[0] >= 360 {
		return nil
	}
	return &all
}

// spans calls fn with the ranges of columns of a tile, two if it lies across
// the end of a turn.
func (g *group) spans(t tile, fn func(from, to int)) {
	end := t.col + t.r.info.Cols
	if g.turn > 0 && end > g.turn {
		fn(t.col, g.turn)
		fn(0, min(end-g.turn, g.turn))
		return
	}
	fn(t.col, end)
}

// eachBucket calls fn with the buckets that a tile touches, and the columns of it there.
func (g *group) eachBucket(t tile, fn func(bucket [2]int, from, to int)) {
	g.spans(t, func(from, to int) {
		for c := floorDiv(from, g.bucket[0]); c <= floorDiv(to-1, g.bucket[0]); c++ {
			for r := floorDiv(t.row, g.bucket[1]); r <= floorDiv(t.row+t.r.info.Rows-1, g.bucket[1]); r++ {
				fn([2]int{c, r}, from, to)
			}
		}
	})
}

// enter notes a tile in every bucket it touches.
func (g *group) enter(i int) {
	g.eachBucket(g.tiles[i], func(bucket [2]int, _, _ int) {
		if have := g.index[bucket]; len(have) == 0 || have[len(have)-1] != i {
			g.index[bucket] = append(have, i)
		}
	})
}

// undisputed reports whether no tile before number i shares a post with it.
func (g *group) undisputed(i int) bool {
	t, free := g.tiles[i], true
	g.eachBucket(t, func(bucket [2]int, from, to int) {
		for _, k := range g.index[bucket] {
			o := g.tiles[k]
			g.spans(o, func(oFrom, oTo int) {
				if k < i && oFrom < to && from < oTo && o.row < t.row+t.r.info.Rows && t.row < o.row+o.r.info.Rows {
					free = false
				}
			})
		}
	})
	return free
}

// Extent implements [terrain.DEM].
func (g *group) Extent() terrain.Extent { return g.extent }

var spotsPool = sync.Pool{New: func() any { return newSpots() }}

// Heights implements [terrain.DEM].
func (g *group) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	if len(at) != len(heightM) || len(at) != len(flag) {
		panic("gdal: Heights needs three slices of the same length")
	}
	s := spotsPool.Get().(*spots)
	defer spotsPool.Put(s)
	read := reader{g: g}
	for len(at) > 0 {
		n := min(chunk, len(at))
		if err := g.frame.locate(at[:n], s); err != nil {
			return err
		}
		for i := range n {
			heightM[i], flag[i] = 0, terrain.Outside
			if !s.ok[i] {
				continue
			}
			var err error
			if heightM[i], flag[i], err = read.height(s.col[i], s.row[i], s.u[i], s.v[i]); err != nil {
				return err
			}
		}
		at, heightM, flag = at[n:], heightM[n:], flag[n:]
	}
	return nil
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

func mod(a, b int) int {
	if a %= b; a < 0 {
		a += b
	}
	return a
}
