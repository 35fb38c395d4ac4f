//go:build gdal

package gdal

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// rough is a surface with no two posts alike.
func rough(col, row int) float64 {
	return float64((col*7919+row*104729)%2000) + float64(col%7)/8
}

// cut makes n × n files of a raster, side by side without a shared post, which
// is how cells are handed out.
func cut(t *testing.T, whole sample, n int, folder string) []*Raster {
	t.Helper()
	var out []*Raster
	for r := range n {
		for c := range n {
			part := whole
			part.cols, part.rows = whole.cols/n, whole.rows/n
			c0, r0 := c*part.cols, r*part.rows
			part.transform[0], part.transform[3] = transform(whole.transform, float64(c0), float64(r0))
			part.value = func(col, row int) float64 { return whole.value(col+c0, row+r0) }
			out = append(out, mustOpen(t, part.write(t, filepath.Join(folder, fmt.Sprintf("%d_%d.tif", r, c)))))
		}
	}
	return out
}

// Files that continue each other answer as the one file they were cut from, bit
// for bit, on the seams too.
func TestJoinEqualsTheWhole(t *testing.T) {
	for name, whole := range map[string]sample{
		"degrees": {cols: 120, rows: 120, crs: "EPSG:4326", transform: lonLat(10, 50, 1.0/1200), value: rough},
		"odd":     {cols: 120, rows: 120, crs: "EPSG:4326", transform: lonLat(10.0003, 50.0001, 0.0008), value: rough},
		"utm": {cols: 120, rows: 120, crs: "EPSG:32632", transform: [6]float64{600000, 30, 0, 5500000, 0, -30},
			value: rough},
		"turned": {cols: 120, rows: 120, crs: "EPSG:32632", transform: [6]float64{600000, 24, 18, 5500000, 18, -24},
			value: rough},
		"dated": {cols: 120, rows: 120, crs: "EPSG:4326", transform: lonLat(179.95, 50, 1.0/1200), value: rough},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			one := mustOpen(t, whole.write(t, filepath.Join(dir, "whole.tif")))
			parts := cut(t, whole, 4, dir)
			joined := Join(parts...)
			if g, is := joined.(*group); !is || len(g.tiles) != len(parts) {
				t.Fatalf("%T, want one group of %d", joined, len(parts))
			}
			b := one.Extent().Bound
			at := placesIn(b, 4000)
			for k := range at { // an eighth of them close to the seam in the middle
				if k%8 == 0 {
					at[k][0] = b.Center()[0] + float64(k%17-8)*1e-5
				}
			}
			want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
			if err := one.Heights(at, want, flag); err != nil {
				t.Fatal(err)
			}
			got, gotFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
			if err := joined.Heights(at, got, gotFlag); err != nil {
				t.Fatal(err)
			}
			ground := 0
			for i := range at {
				// Counting from another file rounds otherwise where the lattice is
				// not that of whole degrees; 2000 m between neighbours make 1e-6 of
				// a step 2 mm.
				if gotFlag[i] != flag[i] || !(math.Abs(got[i]-want[i]) <= 2e-3) || name == "degrees" && got[i] != want[i] {
					t.Errorf("%.9f: %v m, %v; want %v m, %v", at[i], got[i], gotFlag[i], want[i], flag[i])
				}
				if flag[i] == terrain.Ground {
					ground++
				}
			}
			if ground < 2000 {
				t.Errorf("only %d places with a height", ground)
			}
		})
	}
}

func TestJoinOrder(t *testing.T) {
	dir := t.TempDir()
	flat := func(name string, west, step, v float64, n int, crs string) *Raster {
		s := sample{cols: n, rows: n, crs: crs, transform: lonLat(west, 50, step), value: func(int, int) float64 { return v }}
		return mustOpen(t, s.write(t, filepath.Join(dir, name)))
	}
	a := flat("a.tif", 10, 0.1, 100, 11, "EPSG:4326")     // 10 to 11
	b := flat("b.tif", 10.5, 0.1, 200, 11, "EPSG:4326")   // 10.5 to 11.5, same lattice
	c := flat("c.tif", 10.25, 0.05, 300, 11, "EPSG:4326") // 10.25 to 10.75, finer
	both := orb.Point{10.7, 49.8}
	closeTo(t, Join(a, b), both, 100, 0)
	closeTo(t, Join(b, a), both, 200, 0)
	closeTo(t, Join(nil, c, a, b), both, 300, 0)
	// b overlaps c, so it must not slip before it into the lattice of a.
	over := orb.Point{10.7, 49.8}
	d := flat("d.tif", 12, 0.1, 400, 11, "EPSG:4326") // far off, same lattice
	closeTo(t, Join(d, c, b), over, 300, 0)
	closeTo(t, Join(d, b, c), over, 200, 0)
	if g, is := Join(a, c, d).(*group); is {
		t.Errorf("two lattices are one group of %d", len(g.tiles))
	}
	unknownAt(t, Join(), both, terrain.Outside)
	// A post that is void in the first is taken from the next.
	hole := sample{cols: 11, rows: 11, crs: "EPSG:4326", transform: lonLat(10, 50, 0.1), value: func(c, r int) float64 {
		if c == 5 && r == 5 {
			return math.NaN()
		}
		return 700
	}}
	h := mustOpen(t, hole.write(t, filepath.Join(dir, "hole.tif")))
	closeTo(t, Join(h, a), orb.Point{10.5, 49.5}, 100, 0)
	closeTo(t, Join(h, a), orb.Point{10.55, 49.5}, 400, 1e-6)
	unknownAt(t, h, orb.Point{10.5, 49.5}, terrain.Void)
	if e := Join(a, b, c).Extent(); e.Bound.Min[0] != 10 || !(math.Abs(e.Bound.Max[0]-11.5) < 1e-9) ||
		!(math.Abs(e.StepLonDeg-0.05) < 1e-12) {
		t.Errorf("extent %+v", e)
	}
}

// More files than are kept open, each asked again and again.
func TestMoreFilesThanAreKeptOpen(t *testing.T) {
	whole := sample{cols: 12 * 12, rows: 12 * 12, crs: "EPSG:32632", transform: [6]float64{600000, 30, 0, 5500000, 0,
		-30}, value: rough}
	dir := t.TempDir()
	one := mustOpen(t, whole.write(t, filepath.Join(dir, "whole.tif")))
	cache := NewCache(4 * 12 * 12 * 20) // 20 of 144 blocks
	var parts []*Raster
	for _, r := range cut(t, whole, 12, dir) {
		p, err := Open(r.Info().Path, Options{Cache: cache})
		if err != nil {
			t.Fatal(err)
		}
		defer p.Close()
		r.Close()
		parts = append(parts, p)
	}
	if len(parts) != 144 || cache.files.Len() > maxOpenFiles {
		t.Fatalf("%d files, %d open, want at most %d open", len(parts), cache.files.Len(), maxOpenFiles)
	}
	joined := Join(parts...)
	at := placesIn(one.Extent().Bound, 3000)
	want, flag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := one.Heights(at, want, flag); err != nil {
		t.Fatal(err)
	}
	got, gotFlag := make([]float64, len(at)), make([]terrain.Flag, len(at))
	if err := joined.Heights(at, got, gotFlag); err != nil {
		t.Fatal(err)
	}
	for i := range at {
		if gotFlag[i] != flag[i] || !(math.Abs(got[i]-want[i]) <= 2e-3) {
			t.Fatalf("%.9f: %v m, %v; want %v m, %v", at[i], got[i], gotFlag[i], want[i], flag[i])
		}
	}
	if cache.files.Len() > maxOpenFiles || cache.used > cache.limit {
		t.Errorf("%d files open, %d bytes kept of %d", cache.files.Len(), cache.used, cache.limit)
	}
}
