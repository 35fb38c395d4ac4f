package terrain

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/madetiff"
)

// distributed are the tiles of a distribution on both sides of 11° E.
func distributed(height func(lonDeg, latDeg float64) float64, lats ...int) fstest.MapFS {
	fsys := fstest.MapFS{}
	for _, lat := range lats {
		for _, lon := range []int{10, 11} {
			name := fmt.Sprintf("Copernicus_DSM_COG_10_N%d_00_E%03d_00_DEM.tif", lat, lon)
			fsys[name] = &fstest.MapFile{Data: madetiff.Tile(lon, lat, height).Bytes()}
		}
	}
	return fsys
}

// plane50 is a plane of degrees, which interpolation between posts must give back anywhere; its
// heights stay below 512 m, where a float32 is within 0.00002 m.
func plane50(lonDeg, latDeg float64) float64 { return 200 + 900*(lonDeg-11) - 700*(latDeg-50) }

func tilesIn(t *testing.T, fsys fstest.MapFS) *Tiles {
	t.Helper()
	sources, err := OpenSources(fsys, ".")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := NewTiles(sources, TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

func TestHeightsAcrossSeamsOfOpenTiles(t *testing.T) {
	if testing.Short() {
		t.Skip("60,000 places")
	}
	rng := rand.New(rand.NewPCG(49, 51))
	for _, seam := range []float64{49, 50, 51} {
		base := func(lon, lat float64) float64 { return plane50(lon, lat-seam+50) }
		tiles := tilesIn(t, distributed(base, int(seam)-1, int(seam)))
		var at []orb.Point
		for range 20_000 { // within 4 steps of the corner of four tiles, many on its lines
			p := orb.Point{11 + (rng.Float64()-0.5)/450, seam + (rng.Float64()-0.5)/450}
			switch rng.IntN(8) {
			case 0:
				p[0] = 11
			case 1:
				p[1] = seam
			case 2:
				p[1] = seam + 1.0/3600
			case 3:
				p[0] = 11 - 1.0/2400
			}
			at = append(at, p)
		}
		checkHeights(t, tiles, at, base, 0.00005)
		// And over kilometres on either side.
		at = at[:0]
		for range 5_000 {
			at = append(at, orb.Point{11 + (rng.Float64()-0.5)/8, seam + (rng.Float64()-0.5)/8})
		}
		checkHeights(t, tiles, at, base, 0.00005)
	}
}

func checkHeights(t *testing.T, d DEM, at []orb.Point, want func(lon, lat float64) float64, tolM float64) {
	t.Helper()
	h, flag := make([]float64, len(at)), make([]Flag, len(at))
	if err := d.Heights(at, h, flag); err != nil {
		t.Fatal(err)
	}
	bad, worst := 0, 0.0
	for i, p := range at {
		if flag[i] == Ground {
			worst = max(worst, math.Abs(h[i]-want(p[0], p[1])))
		}
		if flag[i] != Ground || !(math.Abs(h[i]-want(p[0], p[1])) <= tolM) {
			if bad++; bad < 5 {
				t.Errorf("%.9f: %.6f m, %v; want %.6f m", p, h[i], flag[i], want(p[0], p[1]))
			}
		}
	}
	if bad > 0 {
		t.Errorf("%d of %d places are off", bad, len(at))
	}
	t.Logf("worst difference %.6f m", worst)
}

// Over waves of 200 m the heights are continuous: between places a centimetre apart they differ by no
// more than the steepest slope allows, across both rows of the gap and at the corner.
func TestHeightsAreContinuousAcrossTheNarrowing(t *testing.T) {
	waves := func(lon, lat float64) float64 {
		return 300 + 50*math.Sin(lon*2*math.Pi*400) + 50*math.Cos(lat*2*math.Pi*400)
	}
	tiles := tilesIn(t, distributed(waves, 49, 50))
	const step = 1e-7 // degrees, 1 cm
	for _, lon := range []float64{11 - 1.7/3600, 11 - 0.4/3600, 11, 11 + 0.3/2400, 11 + 5.2/2400} {
		var at []orb.Point
		for lat := 50 - 2.0/3600; lat < 50+3.0/3600; lat += step {
			at = append(at, orb.Point{lon, lat})
		}
		h, flag := make([]float64, len(at)), make([]Flag, len(at))
		if err := tiles.Heights(at, h, flag); err != nil {
			t.Fatal(err)
		}
		for i := range at {
			if flag[i] != Ground {
				t.Fatalf("%.9f: %v", at[i], flag[i])
			}
			if i > 0 && !(math.Abs(h[i]-h[i-1]) <= 50*2*math.Pi*400*step*1.001+1e-6) {
				t.Fatalf("%.9f: %.6f m, a centimetre before %.6f m", at[i], h[i], h[i-1])
			}
		}
	}
}

// A void on either row makes the gap void, the end of the tiles makes it outside.
func TestGapsOfTheNarrowing(t *testing.T) {
	if testing.Short() {
		t.Skip("opens whole tiles for every place")
	}
	hole := func(lon, lat float64) float64 {
		if lat == 50 && math.Abs(lon-(11+10.0/3600)) < 1e-9 {
			return math.NaN()
		}
		return 100
	}
	fsys := distributed(hole, 49, 50)
	for _, tc := range []struct {
		lonSteps float64
		want     Flag
	}{{8.9, Ground}, {9.1, Void}, {10, Void}, {10.9, Void}, {11.1, Ground}} {
		if h, flag := heightAt(t, tilesIn(t, fsys), orb.Point{11 + tc.lonSteps/3600, 50 + 0.4/3600}); flag != tc.want {
			t.Errorf("%g steps east: %g m, %v; want %v", tc.lonSteps, h, flag, tc.want)
		}
	}
	delete(fsys, "Copernicus_DSM_COG_10_N50_00_E011_00_DEM.tif")
	for _, tc := range []struct {
		lonSteps float64
		want     Flag
	}{{-2, Ground}, {0.5, Outside}, {-0.5, Outside}} {
		if h, flag := heightAt(t, tilesIn(t, fsys), orb.Point{11 + tc.lonSteps/2400, 50 + 0.4/3600}); flag != tc.want {
			t.Errorf("%g steps east, a tile missing: %g m, %v; want %v", tc.lonSteps, h, flag, tc.want)
		}
	}
}

// A profile over the corner of four tiles is that of the plane.
func TestProfileAcrossTheNarrowing(t *testing.T) {
	tiles := tilesIn(t, distributed(plane50, 49, 50))
	p, err := NewProfile(tiles, orb.Point{10.98, 49.97}, orb.Point{11.03, 50.04}, ProfileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if gaps := p.Unknown(); gaps != nil {
		t.Fatalf("unknown: %+v", gaps)
	}
	for i, at := range p.Points {
		if want := plane50(at[0], at[1]); !(math.Abs(p.HeightM[i]-want) <= 0.0001) {
			t.Fatalf("%v: %.6f m, want %.6f m", at, p.HeightM[i], want)
		}
	}
	t.Logf("%d points", len(p.Points))
}
