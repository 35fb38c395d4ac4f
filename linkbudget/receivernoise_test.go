package linkbudget_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/lora"
)

// A receiver of 6 dB with 8.16 dB of man-made noise at a lossless antenna has a
// system noise figure of 9.79 dB, a rise of 3.8 dB: propagation reference 8e,
// computed from ITU-R P.372. kT0B of 125 kHz is -123.01 dBm (8a, computed).
func TestNoiseIsItemised(t *testing.T) {
	a, b := linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10)
	a.NoiseFigureDB, a.ExternalNoiseDB, a.NoiseRiseDB = 6, 8.16, 5
	r, err := linkbudget.Evaluate(profile(5e3, 51, func(float64) float64 { return 100 }), a, b, environment())
	if err != nil {
		t.Fatal(err)
	}
	d := r.Backward // a receives
	check.Near(t, "kT0B", linkbudget.DB(d.ThermalDBm), -123.01, 0.01)
	want := []struct {
		name string
		db   linkbudget.DB
		tol  float64
	}{{"noise figure", 6, 0}, {"man-made noise", 3.79, 0.01}, {"stated noise rise", 5, 0}}
	if len(d.Noise) != len(want) {
		t.Fatalf("noise of %v", d.Noise)
	}
	for i, w := range want {
		if d.Noise[i].Name != w.name {
			t.Errorf("item %d is %q, want %q", i, d.Noise[i].Name, w.name)
		}
		check.Near(t, w.name, d.Noise[i].DB, w.db, w.tol)
	}
	check.Near(t, "floor", linkbudget.DB(d.NoiseDBm), -123.01+9.79+5, 0.02)
	b.FeedLossDB = 0.7 // a rounding residue is no man-made noise
	if r, err = linkbudget.Evaluate(profile(5e3, 51, func(float64) float64 { return 100 }), a, b,
		environment()); err != nil {
		t.Fatal(err)
	}
	if len(r.Forward.Noise) != 1 {
		t.Errorf("b is quiet, its noise is %v", r.Forward.Noise)
	}
}

// A transmitter as loud as can be stated, next to a receiver in as much noise as
// can be stated, is still counted, and the items still add up.
func TestNearbyTransmitterCountsInAnyNoise(t *testing.T) {
	for _, c := range []struct{ figure, external, rise linkbudget.DB }{{6, 0, 0}, {6, 8, 10}, {30, 40, 60}} {
		a, b := linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10)
		a.NoiseFigureDB, a.ExternalNoiseDB, a.NoiseRiseDB = c.figure, c.external, c.rise
		a.Nearby = &lora.NearbyTransmitter{PowerDBm: 40, OffsetHz: 1e6, IsolationDB: 0.1}
		r, err := linkbudget.Evaluate(profile(5e3, 51, func(float64) float64 { return 100 }), a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		d := r.Backward
		last := d.Noise[len(d.Noise)-1]
		if last.Name != "nearby transmitter" || !(last.DB > 1) {
			t.Errorf("%+v: last item %q %.1f dB, want the nearby transmitter", c, last.Name, float64(last.DB))
		}
		sum := float64(d.ThermalDBm)
		for _, n := range d.Noise {
			sum += float64(n.DB)
		}
		if !(math.Abs(sum-float64(d.NoiseDBm)) <= 1e-9) {
			t.Errorf("%+v: items add up to %.6f dBm, floor %.6f dBm", c, sum, float64(d.NoiseDBm))
		}
	}
}
