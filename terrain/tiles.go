package terrain

import (
	"cmp"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Tiles is many sources as one DEM. A tile is read when a place in it is first asked for, and kept
// until the memory is wanted for others.
//
// Where sources overlap, the first in the order given whose height is known answers; a void in it
// is looked up in the next. Tiles that share their edge posts fit together by themselves. Between
// grids laid side by side whose outermost posts are one step apart (as cell centres of neighbouring
// files are), heights are interpolated from the posts of both, provided the posts of one continue
// those of the other to within 1e-4 of a step. Of grids that lie north of each other only the rows need
// continue: tiles whose columns lie further apart towards the pole fit together, too. What no
// source covers is Outside.
//
// A Tiles is safe for concurrent use; a tile asked for by many goroutines at once is read once. A
// tile that cannot be read makes Heights fail with its name, and is tried again the next time.
type Tiles struct {
	tiles  []tile
	index  tileIndex
	cache  *tileCache
	extent Extent
	gaps   bool // between rows whose columns differ
}

// TilesOptions says how much memory Tiles may use.
type TilesOptions struct {
	// CacheBytes bounds the tiles kept and being read, 4 bytes per post. 0 means
	// 256 MiB. A tile larger than that is still served, alone. A call of Heights
	// holds on to the last two tiles it used until it returns.
	CacheBytes int64
	// Differ, if set, is told of sources that share ground, or an edge, and differ there by
	// more than 100 m in the median, when the later of both is read. It may be called from
	// several goroutines, and of the same two again when one was let go and is read anew.
	Differ func(Difference)
}

const defaultCacheBytes = 256 << 20

var _ DEM = (*Tiles)(nil)

// NewTiles joins sources into one DEM. Nothing is read yet. The error tells
// every source with a bad lattice or without Load, and a negative cache size.
func NewTiles(sources []Source, opt TilesOptions) (*Tiles, error) {
	var errs []error
	if len(sources) == 0 {
		errs = append(errs, fault.Input("terrain: tiles: no sources given"))
	}
	if opt.CacheBytes < 0 {
		errs = append(errs, fault.Input("terrain: tiles: cache of %d bytes, must be above 0, or 0 for %d", opt.CacheBytes,
			defaultCacheBytes))
	}
	for i, s := range sources {
		if err := s.Lattice.Check(); err != nil {
			errs = append(errs, fmt.Errorf("source %d, %q: %w", i, s.Name, err))
		} else if s.Lattice.Cols > math.MaxInt/4/s.Lattice.Rows {
			errs = append(errs, fault.Input("terrain: tiles: source %d, %q: %d columns by %d rows are too large", i, s.Name,
				s.Lattice.Cols, s.Lattice.Rows))
		}
		if s.Load == nil {
			errs = append(errs, fault.Input("terrain: tiles: source %d, %q: no Load function", i, s.Name))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	opt.CacheBytes = cmp.Or(opt.CacheBytes, defaultCacheBytes)
	t := &Tiles{tiles: make([]tile, len(sources)), cache: newTileCache(sources, opt.CacheBytes)}
	t.cache.differ = opt.Differ
	extents := make([]Extent, len(sources))
	for i, s := range sources {
		t.tiles[i] = newTile(s.Lattice)
		extents[i] = s.Lattice.Extent()
	}
	t.extent = unionExtent(extents)
	t.index = newTileIndex(t.tiles)
	t.relate()
	return t, nil
}

// Extent spans all sources, with the finest steps among them.
func (t *Tiles) Extent() Extent { return t.extent }

// Heights implements [DEM]. It panics if the three slices differ in length.
func (t *Tiles) Heights(at []orb.Point, heightM []float64, flag []Flag) error {
	mustMatch(at, heightM, flag)
	read := tileReader{cache: t.cache}
	for i := 0; i < len(at); {
		k, inside := t.next(at[i], 0)
		if k < 0 {
			heightM[i], flag[i] = 0, Outside
			if t.gaps {
				if err := t.acrossHeight(&read, at[i], &heightM[i], &flag[i]); err != nil {
					return err
				}
			}
			i++
			continue
		}
		end := i + 1
		if inside {
			// Consecutive places mostly lie in the same tile: look up the tile,
			// and take its lock, once for all of them.
			end = t.runEnd(at, i, k)
			grid, err := read.tile(k)
			if err != nil {
				return err
			}
			if err := grid.Heights(at[i:end], heightM[i:end], flag[i:end]); err != nil {
				return err
			}
		} else if err := t.seamHeight(&read, k, at[i], &heightM[i], &flag[i]); err != nil {
			return err
		}
		for ; i < end; i++ {
			if flag[i] != Ground {
				if err := t.fallBack(&read, k+1, at[i], &heightM[i], &flag[i]); err != nil {
					return err
				}
				if t.gaps && flag[i] == Outside {
					if err := t.acrossHeight(&read, at[i], &heightM[i], &flag[i]); err != nil {
						return err
					}
				}
			}
		}
	}
	return nil
}

// runEnd returns the index after the run of places, from i on, that tile k is
// the first to answer.
func (t *Tiles) runEnd(at []orb.Point, i, k int) int {
	tile := &t.tiles[k]
	for i++; i < len(at); i++ {
		if tile.undisputed && tile.core.contains(at[i]) {
			continue
		}
		if next, inside := t.next(at[i], 0); next != k || !inside {
			break
		}
	}
	return i
}

// fallBack asks the sources from number from on about a place the ones before do
// not know; flag holds what they say, Void or Outside.
func (t *Tiles) fallBack(read *tileReader, from int, at orb.Point, heightM *float64, flag *Flag) error {
	before := *flag
	for {
		k, inside := t.next(at, from)
		if k < 0 {
			*heightM, *flag = 0, before
			return nil
		}
		var err error
		if inside {
			err = read.height(k, at, heightM, flag)
		} else {
			err = t.seamHeight(read, k, at, heightM, flag)
		}
		if err != nil {
			return err
		}
		if flag.Known() {
			return nil
		}
		if *flag == Void {
			before = Void
		}
		from = k + 1
	}
}
