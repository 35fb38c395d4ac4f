package antenna

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// HalfWaveDipoleGain is the gain of a half-wave dipole, 10 log 1.641 (textbook,
// e.g. Balanis, "Antenna Theory"): the difference between dBi and dBd.
const HalfWaveDipoleGain radio.DB = 2.15

// dipoleNullDB is how deep the null along the rod is taken to be. In theory it
// has no bottom; cable, pole and ground fill it. Engineering judgement.
const dipoleNullDB radio.DB = 20

// DipolePattern returns the loss of a half-wave dipole against its main lobe in
// a direction this many degrees off the plane across it, 0 to 90 either way:
//
//	-20 log |cos(pi/2 sin theta)/cos theta|
//
// at most 20 dB. Textbook (Balanis, "Antenna Theory", ch. 4).
func DipolePattern(offDeg float64) radio.DB {
	if off := offDeg * math.Pi / 180; math.Abs(off) < dipoleSeriesRad {
		return dipoleSeries(off * off)
	}
	sin, cos := math.Sincos(offDeg * math.Pi / 180)
	sin, cos = math.Abs(sin), math.Abs(cos)
	// Along the rod the formula is 0/0. With 1 - sin = cos²/(1 + sin) it is not:
	// cos(pi/2 sin) = sin(pi/2 cos²/(1 + sin)).
	field := math.Sin(math.Pi/2*cos*cos/(1+sin)) / max(cos, math.SmallestNonzeroFloat64)
	loss := radio.DB(-20 * math.Log10(field))
	if !(loss < dipoleNullDB) {
		return dipoleNullDB
	}
	return max(loss, 0)
}

// dipoleSeriesRad is up to where dipoleSeries is exact to rounding.
const dipoleSeriesRad = 0.1

// dipoleSeries is DipolePattern near the plane across the rod, in powers of the
// square of the angle in radians: the Taylor series, its coefficients computed with
// mpmath at 40 digits. The first left out gives 8e-20 dB at 0.1.
func dipoleSeries(x float64) radio.DB {
	return radio.DB(x * (6.372842005870374 + x*(0.11093762220182247+x*(0.24492988427746183+x*(0.06104759642088348+
		x*(0.018524014409419408+x*(0.006356007030767924+x*0.002239730630387123)))))))
}
