package terrain

import (
	"container/list"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// tileCache keeps the tiles used last, within a bound of bytes that covers those being read too:
// before a tile is read, the ones unused for longest are let go, and if the rest is being read as
// well, the reader waits for its turn. Only a tile that alone exceeds the bound breaks it, and then
// it is the only one.
type tileCache struct {
	sources []Source
	limit   int64

	mu      sync.Mutex
	changed *sync.Cond // a read has ended
	used    int64      // bytes kept and being read
	slots   []tileSlot
	lru     *list.List // numbers of the tiles kept, the one used last in front

	reads, evictions int

	differ func(Difference) // nil: nobody wants to know
}

// tileSlot is the state of one tile: kept (grid and element set), being read
// (reading set), or neither.
type tileSlot struct {
	grid    *Grid
	element *list.Element
	reading *tileRead
}

// tileRead is one read that any number of goroutines wait for.
type tileRead struct {
	done chan struct{} // closed at the end, after which grid and err stand
	grid *Grid
	err  error
}

func newTileCache(sources []Source, limit int64) *tileCache {
	c := &tileCache{sources: append([]Source(nil), sources...), limit: limit, slots: make([]tileSlot, len(sources)),
		lru: list.New()}
	c.changed = sync.NewCond(&c.mu)
	return c
}

// bytes returns what tile k takes in memory.
func (c *tileCache) bytes(k int) int64 {
	l := c.sources[k].Lattice
	return 4 * int64(l.Cols) * int64(l.Rows)
}

// get returns tile k, reading it if it is not kept.
func (c *tileCache) get(k int) (*Grid, error) {
	c.mu.Lock()
	slot := &c.slots[k]
	for {
		if slot.grid != nil {
			c.lru.MoveToFront(slot.element)
			grid := slot.grid
			c.mu.Unlock()
			return grid, nil
		}
		if r := slot.reading; r != nil {
			c.mu.Unlock()
			<-r.done
			return r.grid, r.err
		}
		if c.makeRoom(c.bytes(k)) {
			break
		}
		c.changed.Wait()
	}
	r := &tileRead{done: make(chan struct{})}
	slot.reading = r
	c.used += c.bytes(k)
	c.reads++
	c.mu.Unlock()

	c.read(k, r)
	return r.grid, r.err
}

// makeRoom lets tiles go until size more bytes fit. It reports false if they do
// not because of tiles being read.
func (c *tileCache) makeRoom(size int64) bool {
	for c.used > c.limit-size && c.lru.Len() > 0 {
		k := c.lru.Remove(c.lru.Back()).(int)
		c.slots[k] = tileSlot{}
		c.used -= c.bytes(k)
		c.evictions++
	}
	return c.used <= c.limit-size || c.used == 0
}

// read reads tile k outside the lock and settles the outcome, also if Load panics.
func (c *tileCache) read(k int, r *tileRead) {
	r.err = unread(fmt.Errorf("tile %s: terrain: Load did not return", c.sources[k].Name))
	defer func() {
		c.mu.Lock()
		slot := &c.slots[k]
		slot.reading = nil
		if r.err == nil {
			slot.grid, slot.element = r.grid, c.lru.PushFront(k)
		} else {
			c.used -= c.bytes(k)
		}
		c.changed.Broadcast()
		c.mu.Unlock()
		close(r.done)
	}()
	r.grid, r.err = loadTile(c.sources[k])
	if r.err == nil && c.differ != nil {
		c.differing(k, r.grid)
	}
}

// loadTile reads a tile and makes sure that it is what its source announced. The
// error names the tile.
func loadTile(s Source) (*Grid, error) {
	grid, err := s.Load()
	switch {
	case err != nil:
	case grid == nil:
		err = errors.New("terrain: Load gave neither a grid nor an error")
	default:
		if err = grid.Check(); err == nil && grid.Lattice != s.Lattice {
			err = fmt.Errorf("terrain: the posts read, %+v, are not those announced, %+v", grid.Lattice, s.Lattice)
		}
	}
	if err == nil {
		return grid, nil
	}
	if !strings.Contains(err.Error(), s.Name) { // the readers of this package name the file themselves
		err = fmt.Errorf("tile %s: %w", s.Name, err)
	}
	return nil, unread(err)
}

// tileReader is the view of one call on the cache: it remembers the last two
// tiles, so that going on in them takes no lock.
type tileReader struct {
	cache *tileCache
	grids [2]*Grid
	tiles [2]int
	older int
}

// tile returns tile k.
func (r *tileReader) tile(k int) (*Grid, error) {
	for i, grid := range r.grids {
		if grid != nil && r.tiles[i] == k {
			r.older = 1 - i
			return grid, nil
		}
	}
	r.grids[r.older] = nil // let it go before another one is read
	grid, err := r.cache.get(k)
	if err != nil {
		return nil, err
	}
	r.grids[r.older], r.tiles[r.older] = grid, k
	r.older = 1 - r.older
	return grid, nil
}

// height asks tile k about one place.
func (r *tileReader) height(k int, at orb.Point, heightM *float64, flag *Flag) error {
	grid, err := r.tile(k)
	if err == nil {
		*heightM, *flag = grid.height(at)
	}
	return err
}

// Difference is between two sources that hold the same ground and tell of it differently.
type Difference struct {
	Names   [2]string // as in Source.Name, the one that answers first in front
	MedianM float64   // of the absolute differences, metres
	// At is where one of them is that large, degrees; HeightM is what the two say there.
	At      orb.Point
	HeightM [2]float64
}

// differM is the median difference, metres, from which two sources cannot be of the same
// ground: models of the same ground stay within tens of metres of each other also in
// mountains (Mukul et al., Sci. Rep. 7:41672 (2017): 9 out of 10 posts of SRTM within 16 m).
const differM = 100

// Compare tells of ground that two DEMs share, edges too, and do not agree on within 100 m
// in the median: it looks at 25 places spread over what both hold. Where fewer than three of
// them are known it says nothing. The error is [fault.ErrInput] without a DEM, or [ErrRead].
func Compare(a, b DEM, names [2]string) (d Difference, differ bool, err error) {
	if a == nil || b == nil {
		return d, false, fault.Input("terrain: compare: no terrain given")
	}
	p, q := a.Extent().Bound, b.Extent().Bound
	west, east := max(p.Min[0], q.Min[0]), min(p.Max[0], q.Max[0])
	south, north := max(p.Min[1], q.Min[1]), min(p.Max[1], q.Max[1])
	if !(west <= east && south <= north) {
		return d, false, nil
	}
	var at [25]orb.Point
	for i := range at {
		at[i] = orb.Point{west + (east-west)*float64(i%5)/4, south + (north-south)*float64(i/5)/4}
	}
	var one, other [len(at)]float64
	var flagA, flagB [len(at)]Flag
	if err := errors.Join(HeightsOf(a, at[:], one[:], flagA[:]), HeightsOf(b, at[:], other[:], flagB[:])); err != nil {
		return d, false, err
	}
	var found []Difference
	for i := range at {
		if flagA[i] == Ground && flagB[i] == Ground {
			found = append(found, Difference{names, math.Abs(one[i] - other[i]), at[i], [2]float64{one[i], other[i]}})
		}
	}
	if len(found) < 3 {
		return d, false, nil
	}
	slices.SortFunc(found, func(a, b Difference) int {
		if a.MedianM < b.MedianM {
			return -1
		}
		return 1
	})
	middle := found[len(found)/2]
	return middle, middle.MedianM > differM, nil
}

// differing compares tile k, just read, with those that are kept.
func (c *tileCache) differing(k int, grid *Grid) {
	type kept struct {
		k    int
		grid *Grid
	}
	var others []kept
	c.mu.Lock()
	for e := c.lru.Front(); e != nil; e = e.Next() {
		if i := e.Value.(int); i != k {
			others = append(others, kept{i, c.slots[i].grid})
		}
	}
	c.mu.Unlock()
	for _, o := range others {
		a, b := kept{k, grid}, o
		if b.k < a.k {
			a, b = b, a
		}
		// Grids in memory have no error of reading.
		if d, differ, _ := Compare(a.grid, b.grid, [2]string{c.sources[a.k].Name, c.sources[b.k].Name}); differ {
			c.differ(d)
		}
	}
}
