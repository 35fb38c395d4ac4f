package terrain

import (
	"fmt"
	"runtime"
	"sync/atomic"
	"testing"
	"weak"

	"github.com/paulmach/orb"
)

// degreeTile returns the lattice of a 1° tile at 3", 5.8 MB of posts.
func degreeTile(westDeg, southDeg int) Lattice {
	return Lattice{WestDeg: float64(westDeg), NorthDeg: float64(southDeg + 1), StepLonDeg: 1.0 / 1200,
		StepLatDeg: 1.0 / 1200, Cols: 1201, Rows: 1201}
}

const degreeTileBytes = 4 * 1201 * 1201

// smallTile returns a tile of 3 × 3 posts; neighbours share their edges.
func smallTile(westDeg, southDeg int) Lattice {
	return Lattice{WestDeg: float64(westDeg), NorthDeg: float64(southDeg + 1), StepLonDeg: 0.5, StepLatDeg: 0.5, Cols: 3,
		Rows: 3}
}

// What is alive is counted through weak pointers after a collection, not taken
// from the cache's own books.
func TestTilesMemoryStaysBounded(t *testing.T) {
	const fit = 3
	var loaded []weak.Pointer[Grid]
	alive := func() (n int) {
		runtime.GC()
		for _, w := range loaded {
			if w.Value() != nil {
				n++
			}
		}
		return n
	}
	var sources []Source
	var tiles *Tiles
	mostAlive := 0
	for i := range 30 {
		l := degreeTile(i%6, 40+i/6)
		sources = append(sources, Source{Name: fmt.Sprint(i), Lattice: l, Load: func() (*Grid, error) {
			if tiles.cache.used > tiles.cache.limit { // nobody else is at work in this test
				t.Errorf("%d bytes kept and being read, bound %d", tiles.cache.used, tiles.cache.limit)
			}
			g := &Grid{Lattice: l, HeightM: make([]float32, 1201*1201)}
			for k := range g.HeightM {
				g.HeightM[k] = float32(i)
			}
			loaded = append(loaded, weak.Make(g))
			mostAlive = max(mostAlive, alive())
			return g, nil
		}})
	}
	tiles, err := NewTiles(sources, TilesOptions{CacheBytes: fit*degreeTileBytes + 100})
	if err != nil {
		t.Fatal(err)
	}
	for round := range 2 {
		for i := range 30 {
			at := orb.Point{float64(i%6) + 0.5, 40.5 + float64(i/6)}
			if h, flag := heightAt(t, tiles, at); flag != Ground || h != float64(i) {
				t.Fatalf("round %d, tile %d: %g m, %v", round, i, h, flag)
			}
		}
	}
	if mostAlive > fit {
		t.Errorf("%d tiles alive at once, %d fit", mostAlive, fit)
	}
	if got := alive(); got > fit {
		t.Errorf("%d tiles alive at the end, %d fit", got, fit)
	}
	if len(loaded) != 60 || tiles.cache.reads != 60 || tiles.cache.evictions != 60-fit {
		t.Errorf("%d loads, %d reads, %d evictions; want 60, 60, %d", len(loaded), tiles.cache.reads, tiles.cache.evictions,
			60-fit)
	}
	runtime.KeepAlive(tiles)
}

// A call holds on to the tile before the one it reads, and to no more.
func TestTilesMemoryWithinACall(t *testing.T) {
	var loaded []weak.Pointer[Grid]
	mostAlive := 0
	var sources []Source
	for i := range 6 {
		l := degreeTile(i, 50)
		sources = append(sources, Source{Name: fmt.Sprint(i), Lattice: l, Load: func() (*Grid, error) {
			g := &Grid{Lattice: l, HeightM: make([]float32, 1201*1201)}
			loaded = append(loaded, weak.Make(g))
			runtime.GC()
			alive := 0
			for _, w := range loaded {
				if w.Value() != nil {
					alive++
				}
			}
			mostAlive = max(mostAlive, alive)
			return g, nil
		}})
	}
	tiles, err := NewTiles(sources, TilesOptions{CacheBytes: degreeTileBytes})
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewProfile(tiles, orb.Point{0.5, 50.5}, orb.Point{5.5, 50.5}, ProfileOptions{SpacingM: 1000})
	if err != nil {
		t.Fatal(err)
	}
	if gaps := p.Unknown(); gaps != nil || len(loaded) != 6 {
		t.Errorf("%d loads, gaps %+v", len(loaded), gaps)
	}
	if mostAlive != 2 {
		t.Errorf("%d tiles alive at once, want 2", mostAlive)
	}
}

// countedTiles returns a row of small tiles eastwards from 0, 0, and how often each
// was loaded.
func countedTiles(t *testing.T, n int, cacheBytes int64) (*Tiles, []atomic.Int32) {
	t.Helper()
	loads := make([]atomic.Int32, n)
	var sources []Source
	for i := range n {
		l := smallTile(i, 0)
		sources = append(sources, Source{Name: fmt.Sprint(i), Lattice: l, Load: func() (*Grid, error) {
			loads[i].Add(1)
			return filledGrid(l, func(float64, float64) float64 { return float64(i) }), nil
		}})
	}
	tiles, err := NewTiles(sources, TilesOptions{CacheBytes: cacheBytes})
	if err != nil {
		t.Fatal(err)
	}
	return tiles, loads
}

func TestTilesLeastRecentlyUsedGoes(t *testing.T) {
	tiles, loads := countedTiles(t, 4, 3*9*4)
	ask := func(i int) { heightAt(t, tiles, orb.Point{float64(i) + 0.5, 0.5}) }
	for _, i := range []int{0, 1, 2, 0, 3} { // 3 drives out 1, unused for longest
		ask(i)
	}
	for _, i := range []int{0, 2, 3, 0, 2, 3} {
		ask(i)
	}
	for i, want := range []int32{1, 1, 1, 1} {
		if got := loads[i].Load(); got != want {
			t.Errorf("tile %d loaded %d times, want %d", i, got, want)
		}
	}
	ask(1)
	if got := loads[1].Load(); got != 2 {
		t.Errorf("tile 1 loaded %d times, want 2", got)
	}
}

func TestTilesLargerThanTheCache(t *testing.T) {
	tiles, loads := countedTiles(t, 2, 1)
	for range 3 {
		if _, flag := heightAt(t, tiles, orb.Point{0.5, 0.5}); flag != Ground {
			t.Fatalf("tile 0 is %v", flag)
		}
	}
	if _, flag := heightAt(t, tiles, orb.Point{1.5, 0.5}); flag != Ground {
		t.Fatalf("tile 1 is %v", flag)
	}
	if loads[0].Load() != 1 || loads[1].Load() != 1 || tiles.cache.lru.Len() != 1 {
		t.Errorf("loads %d and %d, %d kept; want 1, 1, 1", loads[0].Load(), loads[1].Load(), tiles.cache.lru.Len())
	}
}

// One call over many tiles reads each once, whatever the cache: the places run
// through one tile after the other.
func TestTilesOneReadPerTileInACall(t *testing.T) {
	tiles, loads := countedTiles(t, 20, 1)
	p, err := NewProfile(tiles, orb.Point{0.01, 0.5}, orb.Point{19.99, 0.5}, ProfileOptions{SpacingM: 5000})
	if err != nil {
		t.Fatal(err)
	}
	if gaps := p.Unknown(); gaps != nil {
		t.Errorf("gaps %+v", gaps)
	}
	for i := range loads {
		if got := loads[i].Load(); got != 1 {
			t.Errorf("tile %d loaded %d times, want 1", i, got)
		}
	}
}
