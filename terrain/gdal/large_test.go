//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// largePosts is the side of the large raster: 1" posts, 11.1° a side, 6.4 GB as
// heights in memory.
const largePosts = 40000

// makeLarge writes a GeoTIFF of 40,000 × 40,000 posts in tiles of 256. On
// every second diagonal of tiles the height is the number of the column modulo
// 1000, elsewhere GDAL writes 0 m when it closes the file.
func makeLarge(t *testing.T, path string) {
	t.Helper()
	wkt := wktOf(t, "EPSG:4326")
	var failed error
	text := call(false, func() {
		d, err := binding.GetDriverByName("GTiff")
		if err != nil {
			failed = err
			return
		}
		ds := d.Create(path, largePosts, largePosts, 1, binding.Float32, []string{"TILED=YES", "COMPRESS=DEFLATE",
			"ZLEVEL=1"})
		if ds == (binding.Dataset{}) {
			return
		}
		defer ds.Close()
		failed = errors.Join(ds.SetProjection(wkt), ds.SetGeoTransform(lonLat(5, 55, 1.0/3600)))
		raw := make([]float32, 256*256)
		for tile := 0; tile < largePosts/256; tile++ {
			for i := range raw {
				raw[i] = float32((tile*256 + i%256) % 1000)
			}
			for row := tile % 12; row < largePosts/256; row += 12 {
				failed = errors.Join(failed, ds.RasterBand(1).IO(binding.Write, tile*256, row*256, 256, 256, raw, 256, 256, 0, 0))
			}
		}
	})
	if err := errors.Join(text, failed); err != nil {
		t.Fatal(err)
	}
}

// crossLarge is the child's part: links across the raster, then a plan of 500
// poles with the links to their neighbours, all profiles at the spacing of the
// posts.
func crossLarge(lines []string) error {
	r, err := Open(lines[0], Options{})
	if err != nil {
		return err
	}
	e := r.Extent().Bound
	points, blocks := 0, 0
	profile := func(a, b orb.Point) error {
		p, err := terrain.NewProfile(r, a, b, terrain.ProfileOptions{})
		if err != nil {
			return err
		}
		for i, f := range p.Flags {
			if f != terrain.Ground {
				return fmt.Errorf("%v: %v", p.Points[i], f)
			}
			if p.HeightM[i] > 0 {
				blocks++
			}
		}
		points += len(p.DistM)
		return nil
	}
	for _, ends := range [][2]orb.Point{
		{{e.Min[0], e.Max[1]}, {e.Max[0], e.Min[1]}},
		{{e.Min[0] + 0.1, e.Min[1] + 0.1}, {e.Max[0] - 0.1, e.Max[1] - 0.3}},
		{{e.Min[0] + 0.1, 50}, {e.Max[0] - 0.1, 50}},
	} {
		if err := profile(ends[0], ends[1]); err != nil {
			return err
		}
	}
	fmt.Printf("across %d\n", points)
	rng := rand.New(rand.NewPCG(5, 0))
	poles := make([]orb.Point, 500)
	for i := range poles {
		poles[i] = orb.Point{e.Min[0] + 0.01 + rng.Float64()*(e.Max[0]-e.Min[0]-0.02), e.Min[1] + 0.01 +
			rng.Float64()*(e.Max[1]-e.Min[1]-0.02)}
	}
	links := 0
	for i, a := range poles {
		for _, b := range poles[:i] {
			if terrain.Inverse(a, b).DistM < 60e3 {
				if err := profile(a, b); err != nil {
					return err
				}
				links++
			}
		}
	}
	fmt.Printf("plan %d links %d points %d above\n", links, points, blocks)
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(status)) {
		if strings.HasPrefix(line, "VmHWM") {
			fmt.Print(line)
		}
	}
	return nil
}

func TestLargeRasterInBoundedMemory(t *testing.T) {
	if testing.Short() || raceDetector {
		t.Skip("measures memory: run it without -short and without -race")
	}
	path := filepath.Join(t.TempDir(), "large.tif")
	began := time.Now()
	makeLarge(t, path)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("made in %.1f s, %d MB", time.Since(began).Seconds(), info.Size()>>20)
	r := mustOpen(t, path)
	closeTo(t, r, orb.Point{5 + 300.5/3600, 55 - 300.25/3600}, 300.5,
		1e-6) // tile 1 of row 1: 300 m and 301 m on either side
	closeTo(t, r, orb.Point{5 + 600.0/3600, 55 - 10.0/3600}, 0, 0) // tile 2 of row 0: not written
	began = time.Now()
	out, errOut, err := inChild(t, "large", 2*time.Minute, path)
	if err != nil || errOut != "" {
		t.Fatalf("%v\n%s%s", err, out, errOut)
	}
	t.Logf("%.1f s; %s", time.Since(began).Seconds(), strings.ReplaceAll(strings.TrimSpace(out), "\n", "; "))
	// The figure the child read of itself: that of the system counts what this
	// process held when it started the child, too.
	_, rest, _ := strings.Cut(out, "VmHWM:")
	var kib float64
	if _, err := fmt.Sscan(rest, &kib); err != nil || !(kib > 0 && kib < 512<<10) {
		t.Errorf("%.0f KiB resident (%v), want below 512 MiB", kib, err)
	}
}
