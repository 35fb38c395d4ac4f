package antenna

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func TestDipolePattern(t *testing.T) {
	// Half-power beamwidth 78 degrees, textbook (Balanis).
	check.Near(t, "at 39 degrees", float64(DipolePattern(39)), 3.0, 0.05)
	check.Near(t, "level", float64(DipolePattern(0)), 0, 0)
	check.Near(t, "along the rod", float64(DipolePattern(90)), 20, 0)
	check.Near(t, "down the rod", float64(DipolePattern(-90)), 20, 0)
	// By hand: cos(pi/2 sin 60)/cos 60 = 0.208897/0.5.
	check.Near(t, "at 60 degrees", float64(DipolePattern(60)), 7.5807, 0.0001)
}

// The gain is four pi over the pattern's integral: 1.641, 2.15 dBi (textbook).
// Simpson's rule over elevation; the floor of the null adds below 0.001 dB.
func TestHalfWaveDipoleGain(t *testing.T) {
	const steps = 1800
	sum := 0.0
	for i := range steps + 1 {
		offDeg := -90 + 180*float64(i)/steps
		weight := 2 + 2*float64(i%2)
		if i == 0 || i == steps {
			weight = 1
		}
		sum += weight * math.Pow(10, -float64(DipolePattern(offDeg))/10) * math.Cos(offDeg*math.Pi/180)
	}
	gain := 10 * math.Log10(2/(sum*math.Pi/steps/3))
	check.Near(t, "gain of a half-wave dipole", gain, float64(HalfWaveDipoleGain), 0.005)
}

func TestDipolePatternShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(0, 89).Draw(t, "off")
		loss, further := DipolePattern(off), DipolePattern(off+1)
		if !(loss >= 0 && further >= loss && further <= 20 && DipolePattern(-off) == loss) {
			t.Fatalf("%v degrees: %v dB, %v one further, %v below", off, loss, further, DipolePattern(-off))
		}
	})
}

// The series near the level is the formula, written out here as it is printed.
func TestDipoleSeries(t *testing.T) {
	for offDeg := 0.0; offDeg < 5.9; offDeg += 0.01 {
		sin, cos := math.Sincos(offDeg * math.Pi / 180)
		want := -20 * math.Log10(math.Abs(math.Cos(math.Pi/2*sin)/cos))
		check.Near(t, "near the level", float64(DipolePattern(offDeg)), want, 1e-13)
		check.Near(t, "below it", float64(DipolePattern(-offDeg)), want, 1e-13)
	}
}
