package terrain

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/paulmach/orb"
)

// Goroutines that meet at a tile not yet read share one read, and its failure.
func TestTilesReadOnceTogether(t *testing.T) {
	const together = 16
	broken := errors.New("card pulled out")
	for _, fail := range []bool{false, true} {
		l := smallTile(0, 0)
		loads, release := 0, make(chan struct{})
		tiles, err := NewTiles([]Source{{Name: "a", Lattice: l, Load: func() (*Grid, error) {
			loads++ // unguarded on purpose: a second read at once is a race
			<-release
			if fail {
				return nil, broken
			}
			return filledGrid(l, rough), nil
		}}}, TilesOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var started, all sync.WaitGroup
		started.Add(together)
		errs := make([]error, together)
		for i := range together {
			all.Go(func() {
				started.Done()
				_, errs[i] = tiles.cache.get(0)
			})
		}
		started.Wait()
		for range 1000 { // let the others reach the wait; a latecomer finds the tile kept
			runtime.Gosched()
		}
		close(release)
		all.Wait()
		if !fail && loads != 1 {
			t.Errorf("%d reads, want 1", loads)
		}
		for _, err := range errs {
			if errors.Is(err, broken) != fail {
				t.Errorf("error %v", err)
			}
		}
	}
}

// Many goroutines, few places in the cache: answers stay right, and tiles kept and
// being read never exceed the bound.
func TestTilesConcurrently(t *testing.T) {
	const n, fit = 12, 2
	var reading, most atomic.Int32
	var sources []Source
	for i := range n {
		l := smallTile(i, 0)
		sources = append(sources, Source{Name: fmt.Sprint(i), Lattice: l, Load: func() (*Grid, error) {
			now := reading.Add(1)
			defer reading.Add(-1)
			for old := most.Load(); now > old && !most.CompareAndSwap(old, now); old = most.Load() {
			}
			runtime.Gosched()
			return filledGrid(l, func(lon, lat float64) float64 { return lon + 100*lat }), nil
		}})
	}
	tiles, err := NewTiles(sources, TilesOptions{CacheBytes: fit * 9 * 4})
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for worker := range 8 {
		all.Go(func() {
			r := rand.New(rand.NewPCG(1, uint64(worker)))
			at, h, f := make([]orb.Point, 20), make([]float64, 20), make([]Flag, 20)
			for range 200 {
				for i := range at {
					at[i] = orb.Point{n * r.Float64(), r.Float64()}
				}
				if err := tiles.Heights(at, h, f); err != nil {
					t.Error(err)
					return
				}
				for i, p := range at {
					if want := p[0] + 100*p[1]; f[i] != Ground || !(h[i]-want <= 1e-4 && want-h[i] <= 1e-4) {
						t.Errorf("%v: %g m, %v; want %g m", p, h[i], f[i], want)
						return
					}
				}
			}
		})
	}
	all.Wait()
	if most.Load() > fit {
		t.Errorf("%d tiles being read at once, %d fit", most.Load(), fit)
	}
	if c := tiles.cache; c.used != int64(c.lru.Len())*9*4 || c.used > c.limit {
		t.Errorf("%d bytes booked for %d tiles, bound %d", c.used, c.lru.Len(), c.limit)
	}
}

// A Load that panics must not leave others waiting, nor its bytes booked.
func TestTilesLoadPanics(t *testing.T) {
	l := smallTile(0, 0)
	calls := 0
	tiles, err := NewTiles([]Source{{Name: "a", Lattice: l, Load: func() (*Grid, error) {
		if calls++; calls == 1 {
			panic("bad reader")
		}
		return filledGrid(l, rough), nil
	}}}, TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		heightAt(t, tiles, orb.Point{0.5, 0.5})
	}()
	if tiles.cache.used != 0 {
		t.Errorf("%d bytes booked after a panic", tiles.cache.used)
	}
	if _, flag := heightAt(t, tiles, orb.Point{0.5, 0.5}); flag != Ground {
		t.Errorf("the next try gives %v", flag)
	}
}
