package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// minSmoothHeightM keeps antennas off the smooth surface, where the height gain
// runs to minus infinity. The recommendations leave this open; 0.1 m is our choice.
const minSmoothHeightM = 0.1

// groundElectrics are permittivity and conductivity (S/m) of a surface.
type groundElectrics struct{ epsR, sigma float64 }

// The two surfaces of P.1812-6 §4.3.3: every path is a mixture of these.
var (
	landElectrics = groundElectrics{22, 0.003}
	seaElectrics  = groundElectrics{80, 5}
)

// smoothEarthPath is a path over a smooth sphere of effective radius radiusM.
type smoothEarthPath struct {
	distM, hAM, hBM float64 // antennas above the surface, >= minSmoothHeightM
	radiusM         float64 // +Inf: flat
	freqHz          float64
	wavelengthM     float64
	seaFraction     float64
	polarisation    radio.Polarisation
}

// loss returns the spherical-earth diffraction loss, ITU-R P.526-15 §3.2,
// P.1812-6 §4.3.2 (eq 22-27): the first residue term beyond the horizon, and
// inside it an interpolation to zero at a clearance of 0.55 Fresnel radii.
// Never negative: the text says so inside the horizon only, but a vertical wave
// over sea below some 100 MHz would come out as a gain beyond it as well.
func (p *smoothEarthPath) loss() radio.DB {
	if p.plainlyClear() {
		return 0
	}
	rootSum := math.Sqrt(p.hAM) + math.Sqrt(p.hBM)
	if p.distM >= math.Sqrt(2*p.radiusM)*rootSum { // eq 22
		return max(p.firstTerm(p.radiusM), 0)
	}
	clearanceM, d1, d2 := p.clearance()
	neededM := neededFraction * math.Sqrt(d1*d2*p.wavelengthM/p.distM)
	if clearanceM > neededM {
		return 0
	}
	// The radius at which this path would just graze (eq 25 of P.1812-6).
	grazing := p.distM / rootSum
	first := max(p.firstTerm(grazing*grazing/2), 0)
	return radio.DB(1-clearanceM/neededM) * first
}

// plainlyClear tells without the place of least clearance that the loss is 0,
// where it can: see PlainlyClearM2. False says nothing.
func (p *smoothEarthPath) plainlyClear() bool {
	return p.hAM*p.hBM > PlainlyClearM2(p.distM, p.radiusM, p.wavelengthM)
}

// PlainlyClearM2 is the product of the heights of both antennas over a smooth earth
// of radiusM, m², above which the diffraction loss surely is 0: everywhere on a path
// of distM the ray then passes 0.552 Fresnel radii or more above it (ITU-R P.1812-6
// eq 26). All in metres, above 0.
//
// By the means of two numbers (hA y + hB x)/d >= 2 sqrt(hA hB x y)/d, and
// sqrt(x y) <= d/2, so that
//
//	sqrt(hA hB) >= d²/(8a) + 0.276 sqrt(λ d)
//
// leaves that much above the bulge x y/(2a) at any x.
func PlainlyClearM2(distM, radiusM, wavelengthM float64) float64 {
	need := distM*distM/(8*radiusM) + neededFraction/2*math.Sqrt(wavelengthM*distM)
	return need * need
}

// neededFraction is 17.456 sqrt(d1 d2 λ/d) of eq 26, in km, with m: the part of
// the first Fresnel radius that must be free.
const neededFraction = 17.456 / 31.622776601683793 // sqrt(1000)

// clearance returns the smallest height of the direct ray over the surface and
// the distances of that place from A and B; P.1812-6 eq 23-24.
// The printed b is written with sin(asin(u)/3), which is exact for short paths, small m, too.
func (p *smoothEarthPath) clearance() (heightM, d1, d2 float64) {
	sum := p.hAM + p.hBM
	c := (p.hAM - p.hBM) / sum
	m := p.distM * p.distM / (4 * p.radiusM * sum)
	b := c / (1 + m) // limit for small m
	if m > 1e-9 {
		// |u| <= |c| < 1 for any m; the largest factor 2/3 is at m = 1/2.
		u := 1.5 * c * math.Sqrt(3*m/((m+1)*(m+1)*(m+1)))
		b = 2 * math.Sqrt((m+1)/(3*m)) * math.Sin(math.Asin(u)/3)
	}
	d1, d2 = p.distM/2*(1+b), p.distM/2*(1-b)
	heightM = ((p.hAM-d1*d1/(2*p.radiusM))*d2 + (p.hBM-d2*d2/(2*p.radiusM))*d1) / p.distM
	return heightM, d1, d2
}

// firstTerm returns the first-term loss for an earth of radius radiusM, land
// and sea mixed by their share of the path; P.1812-6 eq 28.
func (p *smoothEarthPath) firstTerm(radiusM float64) radio.DB {
	var loss radio.DB
	if p.seaFraction < 1 {
		loss += radio.DB(1-p.seaFraction) * p.firstTermOver(landElectrics, radiusM)
	}
	if p.seaFraction > 0 {
		loss += radio.DB(p.seaFraction) * p.firstTermOver(seaElectrics, radiusM)
	}
	return loss
}

// firstTermOver is eq 29-32 and 36. The constants 0.036, 21.88 and 0.9575 are kept as
// printed: the P.1812 and P.452 data follow them to 1e-7 dB. The delta-Bullington examples
// used the unrounded (π/λa²)^(1/3) and 2(π²/λ²a)^(1/3); against those the printed
// ones are off by at most 0.005 dB.
func (p *smoothEarthPath) firstTermOver(ground groundElectrics, radiusM float64) radio.DB {
	fGHz := p.freqHz / 1e9
	rootF, rootA := math.Cbrt(fGHz), math.Cbrt(radiusM/1e3)
	loss2 := 18 * ground.sigma / fGHz
	loss2 *= loss2
	k := 0.036 / (rootF * math.Sqrt(math.Hypot(ground.epsR-1, math.Sqrt(loss2)))) // eq 29
	if p.polarisation == radio.Vertical {
		k *= math.Sqrt(ground.epsR*ground.epsR + loss2)
	}
	k /= rootA
	k2 := k * k
	beta := (1 + k2*(1.6+0.67*k2)) / (1 + k2*(4.5+1.53*k2)) // eq 30
	perM := 21.88 * beta * rootF / (rootA * rootA) / 1e3    // X over the distance, eq 31
	heightPerM := beta * 0.9575 * beta * rootF * rootF / rootA
	lowest := 2 + 20*math.Log10(k)
	return radio.DB(-distanceTerm(perM*p.distM) -
		max(heightGain(heightPerM*p.hAM), lowest) - max(heightGain(heightPerM*p.hBM), lowest))
}

// distanceTerm is F(X), P.1812-6 eq 33.
func distanceTerm(x float64) float64 {
	if x >= 1.6 {
		return 11 + 10*math.Log10(x) - 17.6*x
	}
	return -20*math.Log10(x) - 5.6488*math.Pow(x, 1.425)
}

// heightGain is G(Y) before its lower limit, with B = βY; P.1812-6 eq 34-35.
// The two branches differ by 0.017 dB where they meet; the text has it so.
func heightGain(b float64) float64 {
	if b > 2 {
		return 17.6*math.Sqrt(b-1.1) - 5*math.Log10(b-1.1) - 8
	}
	return 20 * math.Log10(b+0.1*b*b*b)
}
