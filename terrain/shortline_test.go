package terrain

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// The closed form against the full solution (Karney, by github.com/tidwall/geodesic),
// which iterates on an auxiliary sphere and shares nothing with it but the
// ellipsoid.
func TestShortLine(t *testing.T) {
	for _, row := range []struct {
		distM, tolM, tolDeg float64
	}{
		{110, 1e-8, 5e-9}, // earth-centred coordinates are rounded to 1e-9 m
		{1500, 1e-8, 5e-10},
		{15e3, 1e-8, 5e-11},
		{25e3, 1e-8, 5e-11},
		{54e3, 2e-7, 2e-10}, // half a degree of latitude is 55 to 56 km
	} {
		t.Run(fmt.Sprintf("%g km", row.distM/1e3), func(t *testing.T) {
			closed := 0
			rapid.Check(t, func(t *rapid.T) {
				a := orb.Point{rapid.Float64Range(-360, 360).Draw(t, "lon"), rapid.Float64Range(-75, 75).Draw(t, "lat")}
				b := Destination(a, rapid.Float64Range(0, 360).Draw(t, "azimuth"), row.distM)
				var l shortLine
				if !l.between(a, b) {
					return
				}
				closed++
				want := longInverse(a, b)
				if !(math.Abs(l.DistM-want.DistM) <= row.tolM) {
					t.Errorf("%v to %v: %.10f m, want %.10f", a, b, l.DistM, want.DistM)
				}
				if !(angleBetweenDeg(l.AzimuthDeg, want.AzimuthDeg) <= row.tolDeg) ||
					!(angleBetweenDeg(l.BackAzimuthDeg, want.BackAzimuthDeg) <= row.tolDeg) {
					t.Errorf("%v to %v: azimuths %.12f and %.12f, want %.12f and %.12f", a, b, l.AzimuthDeg, l.BackAzimuthDeg,
						want.AzimuthDeg, want.BackAzimuthDeg)
				}
				checkWaypoint(t, l.start, newWaypoint(a, want.AzimuthDeg))
				checkWaypoint(t, l.end, newWaypoint(orb.Point{a[0] + math.Remainder(b[0]-a[0], 360), b[1]},
					want.BackAzimuthDeg+180))
			})
			if closed == 0 {
				t.Error("no line had the closed form")
			}
		})
	}
}

func checkWaypoint(t *rapid.T, got, want waypoint) {
	if miss := math.Hypot(got.sin-want.sin, got.cos-want.cos); !(miss <= 1e-10) ||
		!(math.Abs(got.place[0]-want.place[0]) <= 1e-12) || got.place[1] != want.place[1] {
		t.Errorf("waypoint %+v, want %+v", got, want)
	}
	if !(math.Abs(got.lonM-want.lonM) <= 1e-9*want.lonM) || !(math.Abs(got.latM-want.latM) <= 1e-9*want.latM) {
		t.Errorf("a degree is %.6f by %.6f m, want %.6f by %.6f", got.lonM, got.latM, want.lonM, want.latM)
	}
}

// Where the closed form does not hold it is not given: far, near, high, no number.
func TestShortLineRefused(t *testing.T) {
	for _, row := range []struct{ a, b orb.Point }{
		{orb.Point{10, 50}, orb.Point{10.51, 50}},
		{orb.Point{10, 50}, orb.Point{10, 50.51}},
		{orb.Point{10, 50}, orb.Point{10.001, 50}}, // 72 m
		{orb.Point{10, 50}, orb.Point{10, 50}},
		{orb.Point{10, 75.1}, orb.Point{10.1, 74.9}},
		{orb.Point{math.NaN(), 50}, orb.Point{10, 50}},
		{orb.Point{10, 50}, orb.Point{10, math.NaN()}},
		{orb.Point{math.Inf(1), 50}, orb.Point{10, 50}},
	} {
		var l shortLine
		if l.between(row.a, row.b) {
			t.Errorf("%v to %v: %+v", row.a, row.b, l)
		}
	}
}

func BenchmarkInverseShort(b *testing.B) {
	from, to := orb.Point{11.6, 49.73}, orb.Point{11.7, 49.8}
	b.Run("closed", func(b *testing.B) {
		for b.Loop() {
			Inverse(from, to)
		}
	})
	b.Run("full", func(b *testing.B) {
		for b.Loop() {
			longInverse(from, to)
		}
	})
}
