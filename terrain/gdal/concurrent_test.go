//go:build gdal

package gdal

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// heightOrError asks for one height; known is false if there is none or the
// raster cannot be read.
func heightOrError(d terrain.DEM, at orb.Point) (h float64, known bool) {
	var (
		out  [1]float64
		flag [1]terrain.Flag
	)
	err := d.Heights([]orb.Point{at}, out[:], flag[:])
	return out[0], err == nil && flag[0].Known()
}

// 200 goroutines open good files and bad ones of several kinds, over and over.
// Each error must hold its own file's name in GDAL's own text, too, where GDAL
// gives one, and no other file's.
func TestErrorsBelongToTheirFile(t *testing.T) {
	dir := t.TempDir()
	const goroutines, rounds = 200, 5
	name := func(g int) string { return filepath.Join(dir, fmt.Sprintf("file%03d.tif", g)) }
	good, err := os.ReadFile(cumberland + "cumberland_ll_int16.tif")
	if err != nil {
		t.Fatal(err)
	}
	for g := range goroutines {
		data := good
		switch g % 4 {
		case 1: // GDAL: `...fileNNN.tif' not recognized as a supported file format
			data = []byte(fmt.Sprintf("not a raster, number %d", g))
		case 2: // the heights are cut off: opens, cannot be read
			data = good[:len(good)/2+g]
		}
		if g%4 != 3 { // 3: no such file
			if err := os.WriteFile(name(g), data, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	var wg sync.WaitGroup
	var mu sync.Mutex
	counts := map[string]int{}
	at := placesIn(orb.Bound{Min: orb.Point{-84.41, 36.45}, Max: orb.Point{-84.08, 36.73}}, 200)
	for g := range goroutines {
		wg.Go(func() {
			for range rounds {
				h, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
				r, err := Open(name(g), Options{Cache: NewCache(1 << 20)})
				if err == nil {
					runtime.Gosched()
					err = r.Heights(at, h, flag)
					r.Close()
				}
				kind := "good"
				if err != nil {
					kind = "no reason of GDAL's"
					own := fmt.Sprintf("file%03d.tif", g)
					if n := strings.Count(err.Error(), "file"+own[4:]); n == 0 {
						t.Errorf("%s: error %q does not name it", own, err)
					}
					for _, word := range strings.FieldsFunc(err.Error(), func(r rune) bool {
						return strings.ContainsRune(" `'\":,;/",
							r)
					}) {
						if strings.HasPrefix(word, "file") && strings.HasSuffix(word, ".tif") && word != own {
							t.Errorf("%s: error %q names another file", own, err)
						}
					}
					switch {
					case strings.Contains(err.Error(), "not recognized as a supported file format"):
						kind = "not recognized"
					case strings.Contains(err.Error(), "reading columns"):
						kind = "cut off"
					case strings.Contains(err.Error(), "no such file"):
						kind = "missing"
					}
				}
				if want := []string{"good", "not recognized", "cut off", "missing"}[g%4]; kind != want {
					t.Errorf("file %d: %q (%v), want %q", g, kind, err, want)
				}
				mu.Lock()
				counts[kind]++
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	t.Logf("outcomes: %v", counts)
}

// One raster and one cache, many goroutines, a cache far too small: everyone
// gets the heights one goroutine gets alone.
func TestHeightsTogether(t *testing.T) {
	for _, path := range []string{cumberland + "cumberland_ll_int16.tif", cumberland + "cumberland_utm16n_float32.tif"} {
		alone := mustOpen(t, path)
		at := placesIn(orb.Bound{Min: orb.Point{-84.42, 36.44}, Max: orb.Point{-84.07, 36.74}}, 3000)
		want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
		if err := alone.Heights(at, want, flag); err != nil {
			t.Fatal(err)
		}
		r, err := Open(path, Options{Cache: NewCache(200 << 10)})
		if err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		for range 16 {
			wg.Go(func() { sameBits(t, r, at, want, flag) })
		}
		wg.Wait()
		r.Close()
	}
}

func TestClose(t *testing.T) {
	r, err := Open(cumberland+"cumberland_ll_int16.tif", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
	if err := r.Heights([]orb.Point{{-84.2, 36.6}}, make([]float64, 1), make([]terrain.Flag, 1)); err == nil ||
		!strings.Contains(err.Error(), "closed") {
		t.Errorf("error %v after Close", err)
	}
	// Closing while others read: no crash, and each call tells one or the other.
	for range 20 {
		r, err := Open(cumberland+"cumberland_ll_int16.tif", Options{Cache: NewCache(1)})
		if err != nil {
			t.Fatal(err)
		}
		var wg sync.WaitGroup
		for k := range 4 {
			wg.Go(func() {
				h, flag := make([]float64, 1), make([]terrain.Flag, 1)
				err := r.Heights([]orb.Point{{-84.4 + 0.05*float64(k), 36.6}}, h, flag)
				if err == nil && !(flag[0] == terrain.Ground && h[0] > 200) {
					t.Errorf("%g m, %v", h[0], flag[0])
				}
			})
		}
		wg.Go(func() { r.Close() })
		wg.Wait()
	}
}

// A raster nobody closes is closed when it is garbage.
func TestForgottenRasterIsClosed(t *testing.T) {
	link := cumberland + "cumberland_ll_int16.tif"
	path := filepath.Join(t.TempDir(), "forgotten.tif")
	data, err := os.ReadFile(link)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	handles := func() (n int) {
		entries, err := os.ReadDir("/proc/self/fd")
		if err != nil {
			t.Skip("no /proc/self/fd to count open files in on this system: run it on Linux")
		}
		for _, e := range entries {
			if target, err := os.Readlink("/proc/self/fd/" + e.Name()); err == nil && target == path {
				n++
			}
		}
		return n
	}
	func() {
		r, err := Open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if h, known := heightOrError(r, orb.Point{-84.2, 36.6}); !known || !(h > 200) {
			t.Errorf("%g m, %v", h, known)
		}
		if handles() == 0 {
			t.Error("the open file is not among the handles: the test would show nothing")
		}
	}()
	for deadline := time.Now().Add(10 * time.Second); handles() > 0; {
		if time.Now().After(deadline) {
			t.Fatal("still open after 10 s")
		}
		runtime.GC()
		time.Sleep(10 * time.Millisecond)
	}
}

func TestChangedFileIsNoticed(t *testing.T) {
	path := stored(10).make(t, "t.tif")
	cache := NewCache(1)
	r, err := Open(path, Options{Cache: cache})
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	r.file.mu.Lock()
	r.file.park()
	r.file.mu.Unlock()
	s := stored(20)
	s.cols, s.rows = 4, 4
	s.write(t, path)
	err = r.Heights([]orb.Point{inTheMiddle}, make([]float64, 1), make([]terrain.Flag, 1))
	if err == nil || !strings.Contains(err.Error(), "changed") {
		t.Errorf("error %v, want one about the change", err)
	}
}
