package reflection

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

const degree = math.Pi / 180

func TestReflectComputed(t *testing.T) {
	// 4e, computed: |Gamma_V| of eps 30, sigma 0.14, 868 MHz.
	wet := radio.Ground{Permittivity: 30, ConductivitySPerM: 0.14}
	for _, row := range []struct{ psiDeg, want float64 }{
		{0.5, 0.907}, {2, 0.674}, {10, 0.028}, {20, 0.313},
	} {
		gamma := coefficient(wet, radio.Vertical, row.psiDeg*degree, radio.WavelengthM(868e6))
		check.Near(t, fmt.Sprintf("4e at %g°", row.psiDeg), cmplx.Abs(gamma), row.want, 0.001)
	}
}

// The form for the angle of refraction, a second derivation: Snell's law
// n sin(theta_t) = sin(theta_i), then Fresnel's r = (n cos_i - cos_t)/(n cos_i +
// cos_t) and (cos_i - n cos_t)/(cos_i + n cos_t) of any optics textbook.
func TestReflectAgainstSnell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		psi := rapid.Float64Range(0.001, math.Pi/2).Draw(t, "grazingRad")
		n := cmplx.Sqrt(g.ComplexPermittivity(0.345))
		cosI := complex(math.Sin(psi), 0)
		sinT := complex(math.Cos(psi), 0) / n
		cosT := cmplx.Sqrt(1 - sinT*sinT)
		wantV := (n*cosI - cosT) / (n*cosI + cosT)
		wantH := (cosI - n*cosT) / (cosI + n*cosT)
		gotV, gotH := coefficient(g, radio.Vertical, psi, 0.345), coefficient(g, radio.Horizontal, psi, 0.345)
		if !(cmplx.Abs(gotV-wantV) <= 1e-9 && cmplx.Abs(gotH-wantH) <= 1e-9) {
			t.Fatalf("V %v, want %v; H %v, want %v", gotV, wantV, gotH, wantH)
		}
	})
}

func drawGround(t *rapid.T) radio.Ground {
	return radio.Ground{
		Permittivity:      rapid.Float64Range(1.01, 100).Draw(t, "permittivity"),
		ConductivitySPerM: rapid.Float64Range(0, 10).Draw(t, "conductivitySPerM"),
	}
}

func TestReflectProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGround(t)
		psi := rapid.Float64Range(0, math.Pi/2).Draw(t, "grazingRad")
		v, h := cmplx.Abs(coefficient(g, radio.Vertical, psi, 0.345)), cmplx.Abs(coefficient(g, radio.Horizontal, psi, 0.345))
		// Passive ground: never more than comes in. Between grazing and
		// normal the vertical wave is always the weaker one.
		if !(v <= 1+1e-12 && h <= 1+1e-12 && v <= h+1e-12) {
			t.Fatalf("|V| %g, |H| %g", v, h)
		}
		// 4g: textbook limits.
		up := math.Pi / 2
		if sum := coefficient(g, radio.Vertical, up, 0.345) + coefficient(g, radio.Horizontal, up,
			0.345); !(cmplx.Abs(sum) <= 1e-9) {
			t.Fatalf("normal incidence: V + H = %v, want 0", sum)
		}
		for _, p := range []radio.Polarisation{radio.Vertical, radio.Horizontal} {
			if d := cmplx.Abs(coefficient(g, p, 0, 0.345) + 1); !(d <= 1e-9) {
				t.Fatalf("%v grazing: %g from -1", p, d)
			}
		}
	})
}

func TestBrewster(t *testing.T) {
	// Reference 4.1: 10.3° for eps 30, 14.5° for 15.
	brewster := func(g radio.Ground) float64 { return math.Atan(1 / math.Sqrt(g.Permittivity)) }
	check.Near(t, "eps 30", brewster(radio.Ground{Permittivity: 30})/degree, 10.3, 0.05)
	check.Near(t, "eps 15", brewster(radio.Ground{Permittivity: 15})/degree, 14.5, 0.05)
	rapid.Check(t, func(t *rapid.T) {
		g := radio.Ground{Permittivity: rapid.Float64Range(1.5, 90).Draw(t, "permittivity")}
		// A dielectric reflects nothing at the Brewster angle, and the sign
		// turns over there.
		psi := brewster(g)
		if r := cmplx.Abs(coefficient(g, radio.Vertical, psi, 0.345)); !(r <= 1e-9) {
			t.Fatalf("|V| = %g at the Brewster angle", r)
		}
		below, above := coefficient(g, radio.Vertical, psi*0.9, 0.345), coefficient(g, radio.Vertical, psi*1.1, 0.345)
		if !(real(below) < 0 && real(above) > 0) {
			t.Fatalf("no change of sign: %v, %v", below, above)
		}
	})
}

func TestReflectGroundLikeAir(t *testing.T) {
	if got := coefficient(radio.Ground{Permittivity: 1}, radio.Horizontal, 0, 0.345); got != -1 {
		t.Errorf("Gamma = %v, want -1 and no NaN", got)
	}
	check.Near(t, "nothing to reflect", cmplx.Abs(coefficient(radio.Ground{Permittivity: 1}, radio.Horizontal, 0.3,
		0.345)), 0, 1e-12)
}
