package diffraction

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Abramowitz and Stegun, table 7.7 (7 decimals), from memory; each row was
// confirmed with mpmath's fresnelc and fresnels at 30 digits.
func TestFresnelIntegralsTable(t *testing.T) {
	for _, row := range []struct{ x, c, s float64 }{
		{0, 0, 0},
		{0.5, 0.4923442, 0.0647324},
		{1.0, 0.7798934, 0.4382591},
		{1.5, 0.4452612, 0.6975050},
		{2.0, 0.4882534, 0.3434157},
		{3.0, 0.6057208, 0.4963130},
		{4.0, 0.4984260, 0.4205158},
		{5.0, 0.5636312, 0.4991914},
	} {
		c, s := fresnelIntegrals(row.x)
		check.At(t, "C", row.x, c, row.c, 0.6e-7)
		check.At(t, "S", row.x, s, row.s, 0.6e-7)
	}
}

// Computed with mpmath 30 digits: both sides of the change of method, a small
// argument and a large one.
func TestFresnelIntegralsComputed(t *testing.T) {
	for _, row := range []struct{ x, c, s float64 }{
		{0.02, 0.019999999210431663, 4.1887900866672435e-6},
		{0.78, 0.71171128193191796, 0.23272884843729416},
		{1.59, 0.37202645922223944, 0.64642975198598669},
		{1.61, 0.35928415347323511, 0.6310253086563824},
		{5, 0.56363118870401223, 0.49919138191711689},
		{7.5, 0.51601825015233635, 0.46070123294683061},
	} {
		for _, sign := range []float64{1, -1} { // both are odd
			c, s := fresnelIntegrals(sign * row.x)
			check.At(t, "C", sign*row.x, c, sign*row.c, 1e-13)
			check.At(t, "S", sign*row.x, s, sign*row.s, 1e-13)
		}
	}
}

// The definition itself, by composite Simpson quadrature from one argument to
// the next: error below 1e-12 a step.
func TestFresnelIntegralsQuadrature(t *testing.T) {
	const step, parts = 0.05, 64
	c, s := 0.0, 0.0
	for n := 0; n < 200; n++ { // up to x = 10
		from := float64(n) * step
		h := step / parts
		for k := 0; k <= parts; k++ {
			weight := 4.0
			if k == 0 || k == parts {
				weight = 1
			} else if k%2 == 0 {
				weight = 2
			}
			u := from + float64(k)*h
			sin, cos := math.Sincos(math.Pi / 2 * u * u)
			c += weight * h / 3 * cos
			s += weight * h / 3 * sin
		}
		x := from + step
		gotC, gotS := fresnelIntegrals(x)
		check.At(t, "C", x, gotC, c, 1e-10)
		check.At(t, "S", x, gotS, s, 1e-10)
	}
}

// Where series and continued fraction meet, both must say the same.
func TestFresnelMethodsOverlap(t *testing.T) {
	for x := 1.5; x < 2; x += 0.01 {
		c, s := fresnelSeries(x)
		f, g := fresnelAuxiliary(x)
		sin, cos := math.Sincos(math.Pi / 2 * x * x)
		check.At(t, "C", x, 0.5+f*sin-g*cos, c, 1e-12)
		check.At(t, "S", x, 0.5-f*cos-g*sin, s, 1e-12)
	}
}

// A&S 7.3.27-28: f -> 1/(πx) (1 - 3/(πx²)²...), g -> 1/(π²x³) (1 - 15/(πx²)²...).
func TestFresnelAuxiliaryAsymptote(t *testing.T) {
	for _, x := range []float64{10, 100, 1e4, 1e9} {
		f, g := fresnelAuxiliary(x)
		u := math.Pi * x * x
		tol := 200 / (u * u * u * u)
		check.At(t, "f πx", x, f*math.Pi*x, 1-3/(u*u), tol+1e-14)
		check.At(t, "g π²x³", x, g*math.Pi*math.Pi*x*x*x, 1-15/(u*u), 10*tol+1e-14)
	}
}
