package antenna

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func TestOmniPattern(t *testing.T) {
	// 9a, 9b: computed from ITU-R F.1336-5 apart from this program, k = 0.7.
	for _, row := range []struct {
		peak          radio.DB
		offDeg, wants float64
	}{
		{8, 2, 7.83}, {8, 5, 6.97}, {8, 10, 3.87}, {8, 20, -2.28}, {8, 90, -5.07},
		{12, 2, 10.96}, {12, 5, 5.49}, {12, 10, 1.00}, {12, 30, -0.93},
	} {
		o := OmniPattern{PeakDBi: row.peak, SideLobeK: TypicalSideLobes}
		for _, offDeg := range []float64{row.offDeg, -row.offDeg} {
			check.Near(t, fmt.Sprintf("9a, 9b %v dBi at %v", row.peak, offDeg), float64(o.Gain(offDeg)), row.wants, 0.005)
		}
	}
	// 9a, 9b, 9c.
	check.Near(t, "theta_3 of 8 dBi", OmniBeamwidthDeg(8), 17.05, 0.005)
	check.Near(t, "theta_3 of 12 dBi", OmniBeamwidthDeg(12), 6.79, 0.005)
	check.Near(t, "theta_3 of 2.15 dBi", OmniBeamwidthDeg(2.15), 65.6, 0.05)
	check.Near(t, "theta_3 of -20 dBi", OmniBeamwidthDeg(-20), 180, 0)
}

func TestOmniPatternShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := OmniPattern{
			PeakDBi:   radio.DB(rapid.Float64Range(-20, 30).Draw(t, "peak")),
			SideLobeK: rapid.SampledFrom([]float64{ImprovedSideLobes, TypicalSideLobes}).Draw(t, "k"),
		}
		if rapid.Bool().Draw(t, "from data sheet") {
			o.BeamwidthDeg = rapid.Float64Range(1, 180).Draw(t, "width")
		}
		width := o.BeamwidthDeg
		if width == 0 {
			width = OmniBeamwidthDeg(o.PeakDBi)
		}
		// Half power at half the beamwidth, by the meaning of the word.
		if half := o.Gain(width / 2); !(math.Abs(float64(o.PeakDBi-half)-3) <= 1e-9) {
			t.Fatalf("%+v: %v dBi at %v degrees", o, half, width/2)
		}
		// 9d: no step at theta_4, where the gain is G0 - 12 + 10 log(k+1), nor at
		// theta_3.
		joint := float64(o.PeakDBi) - 12 + 10*math.Log10(o.SideLobeK+1)
		theta4 := width * math.Sqrt(1-math.Log10(o.SideLobeK+1)/1.2)
		for _, at := range []float64{theta4 * (1 - 1e-12), theta4 * (1 + 1e-12), width * (1 - 1e-12), width} {
			if got := float64(o.Gain(at)); !(math.Abs(got-joint) <= 1e-9) {
				t.Fatalf("%+v at %v: %v, want %v", o, at, got, joint)
			}
		}
		off := rapid.Float64Range(0, 89).Draw(t, "off")
		if near, far := o.Gain(off), o.Gain(off+1); !(far <= near+1e-12 && near <= o.PeakDBi && far > o.PeakDBi-60) {
			t.Fatalf("%+v: %v at %v degrees, %v one further", o, near, off, far)
		}
	})
}

// Improved side-lobes are lower beyond the joint: k = 0 leaves x^-1.5 alone.
func TestOmniPatternImproved(t *testing.T) {
	typical := OmniPattern{8, 0, TypicalSideLobes}
	improved := OmniPattern{8, 0, ImprovedSideLobes}
	check.Near(t, "main lobe", float64(improved.Gain(5)), float64(typical.Gain(5)), 0)
	// By hand: 8 - 12 - 15 log(90/17.0535).
	check.Near(t, "at 90 degrees", float64(improved.Gain(90)), -14.836, 0.001)
}
