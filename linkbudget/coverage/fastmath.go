package coverage

import "math"

// The logarithm and the power of two, good to 1e-7, in a few multiplications:
// the last digits of a decibel are not worth the time of the exact ones.

const log2Bits = 6

// log2Table holds log2 and 1/m at the middle of 64 steps of the mantissa m.
var log2Table = func() (t [1 << log2Bits]struct{ log, inverse float64 }) {
	for i := range t {
		m := 1 + (float64(i)+0.5)/(1<<log2Bits)
		t[i].log, t[i].inverse = math.Log2(m), 1/m
	}
	return t
}()

// fastLog2 returns log2 x of a normal number above 0. With x = 2^e m(1+z) and
// |z| < 1/128, ln(1+z) = z - z²/2 + z³/3 - z⁴/4 to 6e-12.
func fastLog2(x float64) float64 {
	bits := math.Float64bits(x)
	exponent := int(bits>>52) - 1023
	entry := &log2Table[(bits>>(52-log2Bits))&(1<<log2Bits-1)]
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	z := m*entry.inverse - 1
	return float64(exponent) + entry.log + math.Log2E*z*(1-z*(1.0/2-z*(1.0/3-z/4)))
}

// fastExp2 returns 2^x; 0 below -1000 and +Inf above 1000.
func fastExp2(x float64) float64 {
	if !(x > -1000) {
		return 0
	}
	if x > 1000 {
		return math.Inf(1)
	}
	n := math.Floor(x + 0.5)
	z := (x - n) * math.Ln2 // |z| < 0.35: the next term is below 4e-9
	p := 1 + z*(1+z*(1.0/2+z*(1.0/6+z*(1.0/24+z*(1.0/120+z*(1.0/720+z*(1.0/5040)))))))
	return p * math.Float64frombits(uint64(int(n)+1023)<<52)
}

// fastExp returns e^x; 0 below 1e-13, which nobody here can tell from it.
func fastExp(x float64) float64 {
	if x < -30 {
		return 0
	}
	return fastExp2(x * math.Log2E)
}

// dB10 is 10 log10(x) of a number above 0.
func dB10(x float64) float64 { return dBPerOctave * fastLog2(x) }

const dBPerOctave = 3.010299956639812 // 10 log10 2
