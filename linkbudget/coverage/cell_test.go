package coverage_test

import (
	"math"
	"testing"
	"unsafe"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
)

// By hand: rounded to 0.01 dB, halves away from 0, the limits at the limits.
func TestCellKeepsDecibels(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	for _, c := range []struct{ loss, kept float64 }{
		{0, 0}, {0.004, 0}, {0.125, 0.13}, {99.99, 99.99}, {163.454, 163.45}, {163.456, 163.46}, {655.349, 655.35}, {655.36, 655.35}, {1e30, 655.35}, {inf, 655.35},
		{-0.001, 0}, {-5, 0}, {-inf, 0}, {nan, 0},
	} {
		if got := (coverage.Numbers{LossDB: linkbudget.DB(c.loss)}).Cell().LossDB(); float64(got) != c.kept {
			t.Errorf("a loss of %g dB is kept as %g, want %g", c.loss, got, c.kept)
		}
	}
	for _, c := range []struct{ margin, kept float64 }{
		{0, 0}, {0.004, 0}, {-0.004, 0}, {0.125, 0.13}, {-0.125, -0.13}, {12.3456, 12.35}, {-12.3456, -12.35}, {-20, -20}, {327.67, 327.67}, {-327.67, -327.67},
		{327.68, 327.67}, {-327.68, -327.67}, {1e30, 327.67}, {-1e30, -327.67}, {inf, 327.67}, {-inf, -327.67}, {nan, -327.67},
	} {
		if got := (coverage.Numbers{MarginDB: linkbudget.DB(c.margin)}).Cell().MarginDB(); float64(got) != c.kept {
			t.Errorf("a margin of %g dB is kept as %g, want %g", c.margin, got, c.kept)
		}
	}
}

// Rounded down, by less than a step; whole steps, every float32 from 1/16 among
// them, are kept as they are.
func TestCellKeepsProbabilities(t *testing.T) {
	const step = 1.0 / (1 << 28)
	below := float64(math.Nextafter32(1, 0)) // 1 - 2^-24
	for _, c := range []struct{ p, kept float64 }{
		{0, 0}, {1, 1}, {below, below}, {math.Nextafter(1, 0), 1 - step}, {0.5, 0.5}, {float64(float32(0.9)), float64(float32(0.9))}, {0.0625, 0.0625},
		{step, step}, {math.Nextafter(step, 0), 0}, {2.5 * step, 2 * step}, {1.5, 1}, {-0.5, 0}, {math.NaN(), 0}, {math.Inf(1), 1},
	} {
		if got := chance(c.p).Probability(); got != c.kept {
			t.Errorf("%.17g is kept as %.17g, want %.17g", c.p, got, c.kept)
		}
	}
}

// No number disturbs another.
func TestCellKeepsNumbersApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := coverage.Numbers{
			LossDB:      linkbudget.DB(rapid.Float64Range(0, 655.35).Draw(t, "loss")),
			MarginDB:    linkbudget.DB(rapid.Float64Range(-327.67, 327.67).Draw(t, "margin")),
			Probability: rapid.Float64Range(0, 1).Draw(t, "probability"),
		}
		c := n.Cell()
		if c.State() != coverage.Judged {
			t.Fatalf("judged is %v", c.State())
		}
		if off := math.Abs(float64(c.LossDB() - n.LossDB)); !(off <= 0.005+1e-9) {
			t.Fatalf("%v: loss %g", n, c.LossDB())
		}
		if off := math.Abs(float64(c.MarginDB() - n.MarginDB)); !(off <= 0.005+1e-9) {
			t.Fatalf("%v: margin %g", n, c.MarginDB())
		}
		if off := n.Probability - c.Probability(); !(off >= 0 && off < 1.0/(1<<28)) {
			t.Fatalf("%v: probability %.12f", n, c.Probability())
		}
	})
	for _, s := range []coverage.State{coverage.Beyond, coverage.Judged, coverage.Void, coverage.Outside, coverage.Hidden,
		coverage.Foot} {
		if c := s.Cell(); c.State() != s || c.LossDB() != 0 || c.MarginDB() != 0 || c.Probability() != 0 {
			t.Errorf("%v became %v", s, c)
		}
	}
	if c := coverage.State(200).Cell(); c.State().String() != "unknown state" {
		t.Errorf("no state at all became %v", c.State())
	}
	if (coverage.Cell{}) != coverage.Beyond.Cell() {
		t.Error("the zero cell is not beyond")
	}
}

// The bound of the memory counts on it.
func TestCellIsSmall(t *testing.T) {
	if size := unsafe.Sizeof(coverage.Cell{}); size != 8 {
		t.Errorf("%d bytes", size)
	}
}
