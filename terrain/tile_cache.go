package terrain

import (
	"container/list"
	"errors"
	"fmt"
	"strings"
	"sync"

	"github.com/paulmach/orb"
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
