package terrain

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// checkPlaces compares the places along a line with the exact solution of the
// direct problem at each distance, which shares neither nodes nor polynomials.
func checkPlaces(t interface{ Fatalf(string, ...any) }, a, b orb.Point, n int) {
	line := newGeodesicLine(a, b)
	var p Profile
	if err := p.alongLine(&line, line.DistM/float64(n-1)); err != nil || len(p.DistM) != n {
		t.Fatalf("%v to %v: %d points, want %d; %v", a, b, len(p.DistM), n, err)
	}
	for i, d := range p.DistM {
		exact := Destination(a, line.AzimuthDeg, d)
		if miss := chordM(p.Points[i], exact); !(miss <= oneMillimetre) {
			t.Fatalf("%v to %v, %d points: point %d is %v, exact %v, %.6f m off", a, b, n, i, p.Points[i], exact, miss)
		}
		if lon := p.Points[i][0]; !(lon >= -180 && lon <= 180) {
			t.Fatalf("%v to %v: longitude %g° is not within ±180°", a, b, lon)
		}
	}
}

func TestPlacesOnTheGeodesic(t *testing.T) {
	rows := []struct {
		name string
		a, b orb.Point
		n    int
	}{
		{"30 km at 50°", orb.Point{11.6, 49.73}, orb.Point{11.9, 49.93}, 1500},
		{"two points", orb.Point{11.6, 49.73}, orb.Point{11.9, 49.93}, 2},
		{"400 km on the equator", orb.Point{10, -1}, orb.Point{13, 1}, 4000},
		{"along the equator", orb.Point{10, 0}, orb.Point{13, 0}, 4000},
		{"along a meridian", orb.Point{10, 40}, orb.Point{10, 43}, 4000},
		{"eastwards over the date line", orb.Point{179.8, -17}, orb.Point{-179.7, -16.8}, 2000},
		{"westwards over the date line", orb.Point{-179.7, 66}, orb.Point{179.8, 66.3}, 2000},
		{"from the date line", orb.Point{180, -17}, orb.Point{-179.7, -16.8}, 2000},
		{"onto the date line", orb.Point{-179.7, -16.8}, orb.Point{180, -17}, 2000},
		{"high north", orb.Point{15, 80}, orb.Point{17, 80.2}, 1500},
		{"higher", orb.Point{15, 88}, orb.Point{60, 88.3}, 5000},
		{"past the pole at 5 km", orb.Point{0, 89.5}, orb.Point{175, 89.5}, 20000},
		{"past the pole at 20 m", orb.Point{0, 89.9}, orb.Point{179.8, 89.9}, 20000},
		{"over the pole", orb.Point{0, 89.9}, orb.Point{180, 89.9}, 2001},
		{"from the pole", orb.Point{0, 90}, orb.Point{120, 89.9}, 1000},
		{"to the south pole", orb.Point{30, -89.8}, orb.Point{30, -90}, 1000},
		{"around half the earth", orb.Point{0, 30}, orb.Point{150, -10}, 100000},
		{"written beyond 180°", orb.Point{190, 10}, orb.Point{190.2, 10.2}, 1000},
	}
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) { checkPlaces(t, r.a, r.b, r.n) })
	}
}

func TestPlacesAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-89.9999, 89.9999).Draw(t, "lat")}
		b := Destination(a, rapid.Float64Range(0, 360).Draw(t, "azimuth"),
			math.Exp(rapid.Float64Range(0, 16).Draw(t, "log distance")))
		checkPlaces(t, a, b, rapid.IntRange(2, 2000).Draw(t, "points"))
	})
}

// The error bound is what nodeSpacingM promises: a tenth of what is asked.
func TestPlacesErrorBound(t *testing.T) {
	worstM := 0.0
	for lat := 0.0; lat < 89; lat += 0.5 {
		for az := 0.0; az < 360; az += 22.5 {
			a := orb.Point{20, lat}
			b := Destination(a, az, 60e3)
			line := newGeodesicLine(a, b)
			var p Profile
			if err := p.alongLine(&line, 20); err != nil {
				t.Fatal(err)
			}
			for i := 0; i < len(p.DistM); i += 7 {
				exact, _ := line.at(p.DistM[i])
				worstM = max(worstM, chordM(p.Points[i], exact))
			}
		}
	}
	if !(worstM <= 1e-4) {
		t.Errorf("worst place is %g m off the geodesic, promised 0.1 mm", worstM)
	}
	t.Logf("worst place is %.3g mm off the geodesic", worstM*1000)
}

// Few nodes are what makes a profile cheap: at 50° one every 18 km.
func TestNodeSpacing(t *testing.T) {
	for _, r := range []struct{ latDeg, minM, maxM float64 }{{0, 20e3, 30e3}, {50, 15e3, 20e3}, {80, 5e3, 8e3},
		{90, 0, 1e-6}} {
		if got := nodeSpacingM(earthRadiusM * math.Cos(r.latDeg*math.Pi/180)); !(got >= r.minM && got <= r.maxM) {
			t.Errorf("nodes every %g m at %g°, want %g to %g m", got, r.latDeg, r.minM, r.maxM)
		}
	}
}

func BenchmarkPlaces30km(b *testing.B) {
	line := newGeodesicLine(orb.Point{11.6, 49.73}, orb.Point{11.9, 49.93})
	var p Profile
	if err := p.alongLine(&line, 20); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		line.places(p.DistM, p.Points)
	}
}

func newGeodesicLine(a, b orb.Point) (l geodesicLine) {
	l.draw(a, b)
	return l
}
