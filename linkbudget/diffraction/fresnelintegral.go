package diffraction

import "math"

// Up to fresnelSeriesMax the power series is summed, beyond it the continued
// fraction: both hold 1e-13 around there (see the tests).
const fresnelSeriesMax = 1.6

// fresnelIntegrals returns C(x) and S(x), the integrals from 0 to x of
// cos(πt²/2) and sin(πt²/2); Abramowitz and Stegun 7.3.1-2. Both are odd in x
// and tend to 1/2. Accuracy 1e-13 absolute.
func fresnelIntegrals(x float64) (c, s float64) {
	a := math.Abs(x)
	if a <= fresnelSeriesMax {
		c, s = fresnelSeries(a)
		return math.Copysign(c, x), math.Copysign(s, x)
	}
	f, g := fresnelAuxiliary(a)
	// A&S 7.3.9-10. The phase πx²/2 only counts modulo 2π, i.e. x² modulo 4.
	sin, cos := math.Sincos(math.Pi / 2 * math.Mod(a*a, 4))
	c = 0.5 + f*sin - g*cos
	s = 0.5 - f*cos - g*sin
	return math.Copysign(c, x), math.Copysign(s, x)
}

// fresnelSeries sums A&S 7.3.11 and 7.3.13,
//
//	C(x) = x Σ (-1)^n t^2n     / ((2n)!   (4n+1)),   t = πx²/2
//	S(x) = x Σ (-1)^n t^(2n+1) / ((2n+1)! (4n+3))
//
// as one series in t^k/k!, its terms going to C and S in turn. x >= 0.
func fresnelSeries(x float64) (c, s float64) {
	t := math.Pi / 2 * x * x
	power, sign := x, 1.0 // x t^k/k! and (-1)^n
	for k := 0; k < 60; k += 2 {
		c += sign * power / float64(2*k+1)
		power *= t / float64(k+1)
		s += sign * power / float64(2*k+3)
		power *= t / float64(k+2)
		sign = -sign
		if power <= 1e-18*x {
			break
		}
	}
	return c, s
}

// fresnelAuxiliary returns f(x) and g(x) of A&S 7.3.5-6 for
// x > fresnelSeriesMax: what is left of C and S once the oscillation is taken
// out. They fall like 1/(πx) and 1/(π²x³) without any cancellation.
//
//	g + if = exp(-iπx²/2) ∫_x^∞ exp(iπt²/2) dt = (1+i)/2 exp(z²) erfc(z),  z = (1-i)x√π/2
//
// and exp(z²) erfc(z) is the even part of the continued fraction A&S 7.1.14,
// here with w = 2z² = -iπx²:
//
//	√π exp(z²) erfc(z) = 2z/(w+1 - 1·2/(w+5 - 3·4/(w+9 - 5·6/(w+13 - ...))))
func fresnelAuxiliary(x float64) (f, g float64) {
	// The further out, the fewer levels full precision needs (measured: 43 at
	// x = 1.6, 13 at 3, 6 at 5, 4 at 10).
	levels := 4 + int(100/(x*x))
	w := complex(0, -math.Pi*x*x)
	tail := w + complex(float64(4*levels+1), 0)
	for k := levels; k > 0; k-- {
		tail = w + complex(float64(4*k-3), 0) - complex(float64((2*k-1)*2*k), 0)/tail
	}
	// (1+i)/2 · 2z/√π = (1+i)(1-i)x/2 = x.
	gf := complex(x, 0) / tail
	return imag(gf), real(gf)
}
