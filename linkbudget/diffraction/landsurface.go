package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// surface is what P.1812-6 eq 29-32 need of the ground at one frequency and
// polarisation.
type surface struct {
	groundElectrics
	polarisation radio.Polarisation
	admittance   float64 // K but for the cube root of the radius in km
	rootF        float64 // cube root of the frequency in GHz
}

// newSurface is eq 29 but for the radius.
func newSurface(ground groundElectrics, freqHz float64, polarisation radio.Polarisation) surface {
	fGHz := freqHz / 1e9
	s := surface{groundElectrics: ground, polarisation: polarisation, rootF: math.Cbrt(fGHz)}
	loss2 := 18 * ground.sigma / fGHz
	loss2 *= loss2
	s.admittance = 0.036 / (s.rootF * math.Sqrt(math.Hypot(ground.epsR-1, math.Sqrt(loss2))))
	if polarisation == radio.Vertical {
		s.admittance *= math.Sqrt(ground.epsR*ground.epsR + loss2)
	}
	return s
}

// curvedSurface is a surface on an earth of one radius.
type curvedSurface struct {
	radiusM    float64
	perM       float64 // X over the distance, eq 31
	heightPerM float64 // beta Y over the height, eq 32
	lowest     float64 // of the height gain
}

// onEarth is eq 29-32. The constants 0.036, 21.88 and 0.9575 are kept as printed:
// the P.1812 and P.452 data follow them to 1e-7 dB. The delta-Bullington examples
// used the unrounded (π/λa²)^(1/3) and 2(π²/λ²a)^(1/3); against those the printed
// ones are off by at most 0.005 dB.
func (s *surface) onEarth(radiusM float64) curvedSurface {
	rootA := math.Cbrt(radiusM / 1e3)
	k := s.admittance / rootA
	k2 := k * k
	beta := (1 + k2*(1.6+0.67*k2)) / (1 + k2*(4.5+1.53*k2)) // eq 30
	return curvedSurface{
		radiusM:    radiusM,
		perM:       21.88 * beta * s.rootF / (rootA * rootA) / 1e3,
		heightPerM: beta * 0.9575 * beta * s.rootF * s.rootF / rootA,
		lowest:     2 + 20*math.Log10(k),
	}
}

// firstTerm is eq 36.
func (c *curvedSurface) firstTerm(distM, hAM, hBM float64) radio.DB {
	return radio.DB(-distanceTerm(c.perM*distM) -
		max(heightGain(c.heightPerM*hAM), c.lowest) -
		max(heightGain(c.heightPerM*hBM), c.lowest))
}

// Land is land at one frequency and polarisation, prepared for the earths that are asked
// for again and again.
type Land struct {
	surface
	earths [2]curvedSurface
}

// NewLand prepares land at a frequency for two effective radii, m; it answers for any.
func NewLand(freqHz float64, polarisation radio.Polarisation, radiusM, otherRadiusM float64) Land {
	l := Land{surface: newSurface(landElectrics, freqHz, polarisation)}
	l.earths = [2]curvedSurface{l.onEarth(radiusM), l.onEarth(otherRadiusM)}
	return l
}

// firstTerm is curvedSurface.firstTerm on any earth.
func (l *Land) firstTerm(radiusM, distM, hAM, hBM float64) radio.DB {
	for i := range l.earths {
		if earth := &l.earths[i]; earth.radiusM == radiusM {
			return earth.firstTerm(distM, hAM, hBM)
		}
	}
	earth := l.onEarth(radiusM)
	return earth.firstTerm(distM, hAM, hBM)
}
