package terrain

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

const (
	oneMillimetre = 1e-3
	azimuthTolDeg = 1e-6
)

// projRow is one line of testdata/geodesy/proj_geod.csv.
type projRow struct {
	kind string
	a, b orb.Point
	want Geodesic
}

func readProjRows(t *testing.T) []projRow {
	t.Helper()
	f, err := os.Open("../testdata/geodesy/proj_geod.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []projRow
	for s := bufio.NewScanner(f); s.Scan(); {
		fields := strings.Split(s.Text(), ",")
		if strings.HasPrefix(s.Text(), "#") || fields[0] == "kind" {
			continue
		}
		if len(fields) != 8 {
			t.Fatalf("line %q has %d fields, want 8", s.Text(), len(fields))
		}
		var v [7]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(fields[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		rows = append(rows, projRow{fields[0], orb.Point{v[1], v[0]}, orb.Point{v[3], v[2]},
			Geodesic{AzimuthDeg: v[4], BackAzimuthDeg: v[5], DistM: v[6]}})
	}
	if len(rows) != 1000 {
		t.Fatalf("%d rows, want 1000", len(rows))
	}
	return rows
}

// angleBetweenDeg returns the angle between two directions, 0..180.
func angleBetweenDeg(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// chordM returns the straight distance between two places through the ground,
// from their Cartesian coordinates: a second way that shares nothing with the
// geodesic code. Formulas: ISO 19111 geographic/geocentric conversion (EPSG 9602).
func chordM(a, b orb.Point) float64 {
	const e2 = flattening * (2 - flattening)
	xyz := func(p orb.Point) [3]float64 {
		sinLat, cosLat := math.Sincos(p[1] * math.Pi / 180)
		sinLon, cosLon := math.Sincos(p[0] * math.Pi / 180)
		n := semiMajorM / math.Sqrt(1-e2*sinLat*sinLat)
		return [3]float64{n * cosLat * cosLon, n * cosLat * sinLon, n * (1 - e2) * sinLat}
	}
	p, q := xyz(a), xyz(b)
	return math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2])
}

// The expected values are those of PROJ's geod; the file tells version and command.
func TestGeodesicsOfPROJ(t *testing.T) {
	kinds := map[string]int{}
	for _, r := range readProjRows(t) {
		kinds[r.kind]++
		got := Inverse(r.a, r.b)
		if !(math.Abs(got.DistM-r.want.DistM) <= oneMillimetre) {
			t.Errorf("%s %v to %v: distance %.6f m, want %.6f m", r.kind, r.a, r.b, got.DistM, r.want.DistM)
		}
		if !(angleBetweenDeg(got.AzimuthDeg, r.want.AzimuthDeg) <= azimuthTolDeg) {
			t.Errorf("%s %v to %v: azimuth %.9f°, want %.9f°", r.kind, r.a, r.b, got.AzimuthDeg, r.want.AzimuthDeg)
		}
		if !(angleBetweenDeg(got.BackAzimuthDeg, r.want.BackAzimuthDeg) <= azimuthTolDeg) {
			t.Errorf("%s %v to %v: back azimuth %.9f°, want %.9f°", r.kind, r.a, r.b, got.BackAzimuthDeg, r.want.BackAzimuthDeg)
		}
		// PROJ's azimuth and distance must lead from a to b and back.
		if d := chordM(Destination(r.a, r.want.AzimuthDeg, r.want.DistM), r.b); !(d <= oneMillimetre) {
			t.Errorf("%s %v: destination misses %v by %g m", r.kind, r.a, r.b, d)
		}
		if d := chordM(Destination(r.b, r.want.BackAzimuthDeg, r.want.DistM), r.a); !(d <= oneMillimetre) {
			t.Errorf("%s %v: destination misses %v by %g m", r.kind, r.b, r.a, d)
		}
	}
	if kinds["link"] != 600 || kinds["high"] != 100 || kinds["dateline"] != 100 || kinds["globe"] != 200 {
		t.Errorf("kinds of pairs: %v", kinds)
	}
}

func TestInverseDegenerate(t *testing.T) {
	// A quarter of the meridian of WGS 84: 10 001 965.729 m (Karney 2013, and
	// any handbook of geodesy); half the equator is π·a by definition.
	const quarterM = 10001965.729
	rows := []struct {
		name string
		a, b orb.Point
		want Geodesic
	}{
		{"same place", orb.Point{11, 50}, orb.Point{11, 50}, Geodesic{0, 0, 180}},
		{"same place, one turn on", orb.Point{-170, 50}, orb.Point{190, 50}, Geodesic{0, 0, 180}},
		{"date line written twice", orb.Point{180, -17}, orb.Point{-180, -17}, Geodesic{0, 0, 180}},
		{"equator to north pole", orb.Point{20, 0}, orb.Point{20, 90}, Geodesic{quarterM, 0, 180}},
		{"south pole to equator", orb.Point{20, -90}, orb.Point{20, 0}, Geodesic{quarterM, 0, 180}},
		{"pole to pole", orb.Point{0, 90}, orb.Point{0, -90}, Geodesic{2 * quarterM, 180, 0}},
		{"along the equator", orb.Point{179, 0}, orb.Point{-179, 0}, Geodesic{semiMajorM * math.Pi / 90, 90, 270}},
		// PROJ 9.1.1: echo "0 -13 0 -192.875" | geod -I -p -f %.10f -F %.6f +ellps=WGS84
		{"nearly opposite on the equator", orb.Point{-13, 0}, orb.Point{-192.875, 0}, Geodesic{20002489.222475, 348.0364420332, 11.9635579668}},
		{"the same, below by less than rounding", orb.Point{-13, -3.5e-18}, orb.Point{-192.875, -3.5e-18}, Geodesic{20002489.222475, 348.0364420332, 11.9635579668}},
		{"the same, a negative zero", orb.Point{-13, math.Copysign(0, -1)}, orb.Point{-192.875, 0}, Geodesic{20002489.222475, 348.0364420332, 11.9635579668}},
		{"the same, two negative zeros", orb.Point{-13, math.Copysign(0, -1)}, orb.Point{-192.875, math.Copysign(0, -1)}, Geodesic{20002489.222475, 348.0364420332, 11.9635579668}},
	}
	for _, r := range rows {
		got := Inverse(r.a, r.b)
		if !(math.Abs(got.DistM-r.want.DistM) <= oneMillimetre) ||
			!(angleBetweenDeg(got.AzimuthDeg, r.want.AzimuthDeg) <= azimuthTolDeg) ||
			!(angleBetweenDeg(got.BackAzimuthDeg, r.want.BackAzimuthDeg) <= azimuthTolDeg) {
			t.Errorf("%s: %+v, want %+v", r.name, got, r.want)
		}
	}
	// At the pole the place is the same whatever longitude is written, so there
	// is no way to go (a few nanometres are rounding).
	if d := Inverse(orb.Point{0, 90}, orb.Point{120, 90}).DistM; !(d <= 1e-6) {
		t.Errorf("north pole to itself is %g m, want 0", d)
	}
	if d := chordM(Destination(orb.Point{11, 50}, 33, 0), orb.Point{11, 50}); !(d <= 1e-6) {
		t.Errorf("destination after 0 m is %g m away", d)
	}
	if d := chordM(Destination(orb.Point{0, 90}, 150, 1000), Destination(orb.Point{30, 90}, 180, 1000)); !(d <= 1e-6) {
		t.Errorf("the pole's directions do not turn with its longitude: %g m apart", d)
	}
}

func TestInverseRangesAndReversal(t *testing.T) {
	place := func(t *rapid.T, name string) orb.Point {
		return orb.Point{rapid.Float64Range(-360, 360).Draw(t, name+" lon"), rapid.Float64Range(-90, 90).Draw(t, name+" lat")}
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := place(t, "a"), place(t, "b")
		g, back := Inverse(a, b), Inverse(b, a)
		if !(g.DistM >= 0 && g.DistM <= 20003932) { // half a meridian, rounded up
			t.Fatalf("distance %g m", g.DistM)
		}
		for _, az := range []float64{g.AzimuthDeg, g.BackAzimuthDeg} {
			if !(az >= 0 && az < 360) || math.Signbit(az) {
				t.Fatalf("azimuth %g°, must be within 0..360", az)
			}
		}
		if !(math.Abs(g.DistM-back.DistM) <= 1e-6) {
			t.Fatalf("%g m there, %g m back", g.DistM, back.DistM)
		}
		// Straight through the ground is never longer than along it.
		if c := chordM(a, b); !(c <= g.DistM+1e-6) {
			t.Fatalf("chord %g m, geodesic %g m", c, g.DistM)
		}
		end := Destination(a, g.AzimuthDeg, g.DistM)
		if !(end[0] >= -180 && end[0] <= 180) {
			t.Fatalf("longitude %g° is not within ±180°", end[0])
		}
		if d := chordM(end, b); !(d <= oneMillimetre) {
			t.Fatalf("destination misses by %g m", d)
		}
	})
}

func TestAzimuth360(t *testing.T) {
	for _, r := range [][2]float64{{0, 0}, {math.Copysign(0, -1), 0}, {360, 0}, {-90, 270}, {540, 180}, {-1e-20, 0},
		{359.5, 359.5}} {
		if got := azimuth360(r[0]); got != r[1] || math.Signbit(got) {
			t.Errorf("azimuth360(%g) = %g, want %g", r[0], got, r[1])
		}
	}
}

func TestCheckPlace(t *testing.T) {
	for _, p := range []orb.Point{{0, 0}, {360, 90}, {-360, -90}} {
		if err := CheckPlace(p); err != nil {
			t.Errorf("%v: %v", p, err)
		}
	}
	err := CheckPlace(orb.Point{math.NaN(), math.Inf(1)})
	if err == nil || !strings.Contains(err.Error(), "longitude") || !strings.Contains(err.Error(), "latitude") {
		t.Errorf("error %v, must tell both faults", err)
	}
	if CheckPlace(orb.Point{360.1, 0}) == nil || CheckPlace(orb.Point{0, -90.1}) == nil {
		t.Error("a place beyond the range is accepted")
	}
}

// The second derivation is the geodesic between two places 0.002° apart.
func TestDegreeSizes(t *testing.T) {
	for lat := -89.0; lat <= 89; lat += 0.5 {
		const h = 1e-3
		lonM, latM := DegreeSizesM(lat)
		gotLon := Inverse(orb.Point{-h, lat}, orb.Point{h, lat}).DistM / (2 * h)
		gotLat := Inverse(orb.Point{0, lat - h}, orb.Point{0, lat + h}).DistM / (2 * h)
		if !(math.Abs(gotLon-lonM) <= 1e-6*lonM+1e-4) || !(math.Abs(gotLat-latM) <= 1e-6*latM) {
			t.Errorf("at %g°: %g and %g m per degree, geodesics say %g and %g", lat, lonM, latM, gotLon, gotLat)
		}
	}
}

// The bounds on the latitude are compared with a dense walk along the line.
func TestGeodesicLineLatitudes(t *testing.T) {
	rows := []struct {
		name string
		a, b orb.Point
	}{
		{"vertex in the north", orb.Point{-30, 50}, orb.Point{40, 52}},
		{"vertex in the south", orb.Point{-30, -60}, orb.Point{90, -55}},
		{"no vertex", orb.Point{10, 20}, orb.Point{15, 50}},
		{"over the equator", orb.Point{10, -20}, orb.Point{15, 50}},
		{"over the pole", orb.Point{10, 80}, orb.Point{-170, 85}},
		{"from the pole", orb.Point{10, 90}, orb.Point{-170, 85}},
	}
	for _, r := range rows {
		l := newGeodesicLine(r.a, r.b)
		lowest, highest, leastLonM := 90.0, 0.0, math.Inf(1)
		const steps = 2000
		for i := 0; i <= steps; i++ {
			p, _ := l.at(l.DistM * float64(i) / steps)
			lowest, highest = min(lowest, math.Abs(p[1])), max(highest, math.Abs(p[1]))
			lonM, _ := DegreeSizesM(p[1])
			leastLonM = min(leastLonM, lonM)
		}
		// The walk steps over the extreme itself by at most half a step, 2 km.
		if !(highest <= l.maxAbsLatDeg+1e-9 && l.maxAbsLatDeg <= highest+0.05) {
			t.Errorf("%s: highest latitude %g°, the walk saw %g°", r.name, l.maxAbsLatDeg, highest)
		}
		// In these 0.05° a degree of latitude changes by 1 m at most, one of longitude
		// by 100 m (20 m and 2 km for a degree).
		if _, latM := DegreeSizesM(lowest); !(l.leastLatM <= latM+1e-6 && latM <= l.leastLatM+1) {
			t.Errorf("%s: least degree of latitude %g m, the walk saw %g m", r.name, l.leastLatM, latM)
		}
		if !(l.leastLonM <= leastLonM+1e-6 && leastLonM <= l.leastLonM+100) {
			t.Errorf("%s: least degree of longitude %g m, the walk saw %g m", r.name, l.leastLonM, leastLonM)
		}
	}
}

func BenchmarkInverse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Inverse(orb.Point{11.6, 49.7}, orb.Point{11.9, 49.9})
	}
}
