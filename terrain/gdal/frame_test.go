//go:build gdal

package gdal

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Bilinear interpolation gives back a plane exactly, so a raster that holds one
// tells what each place must answer, whatever way its posts lie.
const planeTolM = 2e-4 // single precision at 1000 m, and 0.2 mm of snapping

// lonPlane is a plane over longitude and latitude.
func lonPlane(p orb.Point) float64 { return 300 + 40*(p[0]-10) - 25*(p[1]-50) }

// ofPlane fills a raster with a plane over its coordinates.
func ofPlane(g [6]float64, plane func(orb.Point) float64) func(col, row int) float64 {
	return func(col, row int) float64 {
		x, y := transform(g, float64(col)+0.5, float64(row)+0.5)
		return plane(orb.Point{x, y})
	}
}

func TestDegreesHoweverTheyLie(t *testing.T) {
	const s = 0.01
	c, n := s*math.Cos(0.5), s*math.Sin(0.5)
	for name, g := range map[string][6]float64{
		"north up":             {10, s, 0, 50, 0, -s},
		"posts on degrees":     lonLat(10, 50, s),
		"odd spacing":          {10, 0.0107, 0, 50, 0, -0.0093},
		"south up":             {10, s, 0, 49.6, 0, s},
		"mirrored":             {10.6, -s, 0, 50, 0, -s},
		"turned by 29 degrees": {10, c, n, 50, n, -c},
		"on its side":          {10, 0, s, 50, -s, 0},
	} {
		t.Run(name, func(t *testing.T) {
			smp := sample{cols: 60, rows: 40, crs: "EPSG:4326", transform: g, value: ofPlane(g, lonPlane)}
			r := mustOpen(t, smp.make(t, "t.tif"))
			for _, u := range []float64{0, 0.5, 17.25, 36.99, 59} {
				for _, v := range []float64{0, 3.75, 20, 39} {
					x, y := transform(g, u+0.5, v+0.5)
					at := orb.Point{x, y}
					closeTo(t, r, at, lonPlane(at), planeTolM)
					closeTo(t, r, orb.Point{x - 360, y}, lonPlane(at), planeTolM)
				}
			}
			for _, out := range [][2]float64{{-0.6, 20}, {60.1, 20}, {30, -0.6}, {30, 40.1}} {
				x, y := transform(g, out[0]+0.5, out[1]+0.5)
				unknownAt(t, r, orb.Point{x, y}, terrain.Outside)
			}
			for _, p := range []orb.Point{{math.NaN(), 50}, {10, math.NaN()}, {math.Inf(1), 50}, {10, math.Inf(-1)}, {190, -50},
				{1e300, 50}} {
				unknownAt(t, r, p, terrain.Outside)
			}
			if b := r.Extent().Bound; !b.Contains(orb.Point{x0(g, 30, 20)[0], x0(g, 30, 20)[1]}) {
				t.Errorf("extent %v does not hold the middle", b)
			}
		})
	}
}

func x0(g [6]float64, u, v float64) [2]float64 {
	x, y := transform(g, u+0.5, v+0.5)
	return [2]float64{x, y}
}

func TestProjectedHoweverTheyLie(t *testing.T) {
	const s = 90
	c, n := s*math.Cos(-1.1), s*math.Sin(-1.1)
	plane := func(p orb.Point) float64 { return 500 + 0.01*(p[0]-600000) - 0.02*(p[1]-5500000) }
	straight := [6]float64{600000, s, 0, 5500000, 0, -s}
	system, err := sharedCache().transformer(mustCRS(t, "EPSG:32632"))
	if err != nil {
		t.Fatal(err)
	}
	for name, g := range map[string][6]float64{
		"north up": straight, "south up": {600000, s, 0, 5494600, 0, s},
		"turned": {600000, c, n, 5500000, n, -c},
	} {
		t.Run(name, func(t *testing.T) {
			r := mustOpen(t, sample{cols: 50, rows: 60, crs: "EPSG:32632", transform: g, value: ofPlane(g, plane)}.make(t,
				"t.tif"))
			f := &affineFrame{system: system, forth: g}
			for _, u := range []float64{0, 0.3, 21.5, 49} {
				for _, v := range []float64{0, 33.3, 59} {
					at, err := f.places([]orb.Point{{u + 0.5, v + 0.5}})
					if err != nil {
						t.Fatal(err)
					}
					x, y := transform(g, u+0.5, v+0.5)
					closeTo(t, r, at[0], plane(orb.Point{x, y}), planeTolM)
				}
			}
			e := r.Extent()
			// 90 m at 49.6° N by PROJ 9.1.1 geod (+ellps=WGS84): 0.000809° of
			// latitude, 0.001245° of longitude.
			if !(math.Abs(e.StepLatDeg-0.000809) < 3e-6) || !(math.Abs(e.StepLonDeg-0.001245) < 5e-6) {
				t.Errorf("steps %.6f° by %.6f°", e.StepLonDeg, e.StepLatDeg)
			}
		})
	}
}

func mustCRS(t *testing.T, name string) crs {
	t.Helper()
	c, err := readCRS(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Datum shifts, from WGS 84, by GDAL 3.6.2 gdaltransform (PROJ 9.1.1).
func TestOtherDatums(t *testing.T) {
	for _, tc := range []struct {
		crs         string
		at, inTheir orb.Point
	}{
		{"EPSG:4230", orb.Point{10, 50}, orb.Point{10.001128908467, 50.0007998064547}},         // ED50
		{"EPSG:4267", orb.Point{-95.5, 38.25}, orb.Point{-95.4997349365797, 38.2499659352294}}, // NAD27
		{"EPSG:4269", orb.Point{-95.5, 38.25}, orb.Point{-95.5, 38.25}},                        // NAD83
		{"EPSG:4807", orb.Point{2.5, 48}, orb.Point{(2.5 - 2.33722917) / 0.9,
			48 / 0.9}}, // Paris meridian, grads; the datum itself below 0.01 grad
	} {
		g := [6]float64{math.Floor(tc.inTheir[0]) - 1, 0.01, 0, math.Ceil(tc.inTheir[1]) + 1, 0, -0.01}
		plane := func(p orb.Point) float64 { return 200 + 100*(p[0]-tc.inTheir[0]) + 70*(p[1]-tc.inTheir[1]) }
		r := mustOpen(t, sample{cols: 400, rows: 400, crs: tc.crs, transform: g, value: ofPlane(g, plane)}.make(t, "t.tif"))
		tol := 1e-3
		if tc.crs == "EPSG:4807" {
			tol = 1.0
		}
		closeTo(t, r, tc.at, 200, tol)
	}
}

// The system of this file has no code: PROJ 9.1.1's own program, told the
// parameters (proj -I +proj=utm +zone=25 +south +ellps=GRS80), places its
// posts, and gdallocationinfo tells their values.
func TestUserDefinedSystem(t *testing.T) {
	r := mustOpen(t, filepath.Join(demDir(t), "geotiff/olinda_dem_utm25s.tif"))
	for _, tc := range []struct {
		at    orb.Point
		wantM float64
	}{
		{orb.Point{-34.9076737178, -7.9665402193}, 71},
		{orb.Point{-34.8710771618, -7.9951839594}, 33},
		{orb.Point{-34.8341736251, -7.9562945776}, 5},
		{orb.Point{-34.8671259097, -8.0236788040}, 3},
		{orb.Point{-34.8706709151, -7.9955926125}, (33 + 27 + 26 + 20) / 4.0}, // where four posts meet
	} {
		closeTo(t, r, tc.at, tc.wantM, 0.02)
	}
}

func TestDateLineAndWholeEarth(t *testing.T) {
	// 178° E to 178° W, told as 178 to 182; the plane rises eastwards.
	g := lonLat(178, 10, 0.1)
	rise := func(p orb.Point) float64 { return 100 + 10*(p[0]-178) + p[1] }
	r := mustOpen(t, sample{cols: 41, rows: 11, crs: "EPSG:4326", transform: g, value: ofPlane(g, rise)}.make(t,
		"line.tif"))
	for _, lon := range []float64{178, 179.95, 180, 180.05, 181.99, 182} {
		for _, turn := range []float64{0, -360, 360} {
			closeTo(t, r, orb.Point{lon + turn, 9.5}, rise(orb.Point{lon, 9.5}), planeTolM)
		}
	}
	unknownAt(t, r, orb.Point{177.9, 9.5}, terrain.Outside)
	unknownAt(t, r, orb.Point{-177.9, 9.5}, terrain.Outside)

	// The whole earth from 0° to 360° E in pixels of 1°: between the last column
	// and the first, heights are interpolated across the seam.
	wave := func(col, row int) float64 { return 1000 + 100*math.Sin(float64(col)*math.Pi/180) }
	for name, west := range map[string]float64{"from Greenwich": 0, "from the date line": -180, "odd": -30.3} {
		g := [6]float64{west, 1, 0, 90, 0, -1}
		r := mustOpen(t, sample{cols: 360, rows: 180, crs: "EPSG:4326", transform: g, value: wave}.make(t, "earth.tif"))
		for k := range 360 {
			lon := west + float64(k) + 0.5
			closeTo(t, r, orb.Point{lon, 45}, wave(k, 0), planeTolM)
			closeTo(t, r, orb.Point{lon - 360, 45.25}, wave(k, 0), planeTolM)
			closeTo(t, r, orb.Point{lon + 0.5, 45}, (wave(k, 0)+wave((k+1)%360, 0))/2, planeTolM)
		}
		unknownAt(t, r, orb.Point{0, 89.8}, terrain.Outside)
		if t.Failed() {
			t.Fatalf("counted %s", name)
		}
	}
}

func TestPolarRaster(t *testing.T) {
	// Antarctic polar stereographic (EPSG:3031), the pole in the middle.
	g := [6]float64{-100500, 1000, 0, 100500, 0, -1000}
	cone := func(p orb.Point) float64 { return 3000 - 0.01*p[0] + 0.005*p[1] }
	r := mustOpen(t, sample{cols: 201, rows: 201, crs: "EPSG:3031", transform: g, value: ofPlane(g, cone)}.make(t,
		"t.tif"))
	closeTo(t, r, orb.Point{0, -90}, 3000, planeTolM)
	// On the system's straight meridian, y runs towards 0° E: at 89.5° S the
	// distance is 54 km; by symmetry the four directions agree in pairs.
	h0, _ := heightAt(t, r, orb.Point{0, -89.5})
	h180, _ := heightAt(t, r, orb.Point{180, -89.5})
	east, _ := heightAt(t, r, orb.Point{90, -89.5})
	west, _ := heightAt(t, r, orb.Point{-90, -89.5})
	if !(math.Abs(h0+h180-6000) < 1e-2 && math.Abs(east+west-6000) < 1e-2) || !(h0 > 3200 && west > 3500) {
		t.Errorf("heights %.2f, %.2f, %.2f, %.2f m", h0, h180, east, west)
	}
	if b := r.Extent().Bound; b.Min[0] != -180 || b.Max[0] != 180 || b.Min[1] != -90 {
		t.Errorf("extent %v, want all round the pole", b)
	}
	unknownAt(t, r, orb.Point{30, -88}, terrain.Outside)
	unknownAt(t, r, orb.Point{30, 88}, terrain.Outside)
}

// A place right at the far side of the earth must not fold into a raster.
func TestFarSideIsOutside(t *testing.T) {
	r := mustOpen(t, cumberland+"cumberland_utm16n_float32.tif")
	for lon := -180.0; lon <= 180; lon += 7.3 {
		for lat := -90.0; lat <= 90; lat += 6.1 {
			if math.Hypot(lon+84.2, lat-36.6) > 2 {
				unknownAt(t, r, orb.Point{lon, lat}, terrain.Outside)
			}
		}
	}
}

func TestEvenPart(t *testing.T) {
	for _, tc := range []struct {
		first, step float64
		count       int
		n, k        int
		ok          bool
	}{
		{11.7, 1.0 / 1200, 361, 1200, 14040, true},
		{11.7, 0.000833333333333, 361, 1200, 14040, true},
		{11.7, 0.00083333, 3601, 1200, 14040, false}, // drifts by 0.014 of a step
		{11.70041, 1.0 / 1200, 361, 1200, 14040, false},
		{-85, 0.1, 11, 10, -850, true},
		{0.5, 1, 360, 1, 0, false}, // half-way between
		{0, 7, 3, 0, 0, false},
		{0, 1e-12, 3, 0, 0, false},
	} {
		n, k, ok := evenPart(tc.first, tc.step, tc.count)
		if ok != tc.ok || ok && (n != tc.n || k != tc.k) {
			t.Errorf("evenPart(%v, %v, %d) = %d, %d, %v; want %d, %d, %v", tc.first, tc.step, tc.count, n, k, ok, tc.n, tc.k,
				tc.ok)
		}
	}
}
