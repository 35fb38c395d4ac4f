package sun

import "math"

// cosIncidence is the cosine of the angle between the sun and the normal of the
// panel (equivalent to D&B 1.6.2).
func cosIncidence(elevDeg, azimuthDeg float64, p Panel) float64 {
	sinH, cosH := math.Sincos(elevDeg * deg)
	sinB, cosB := math.Sincos(p.TiltDeg * deg)
	return sinH*cosB + cosH*sinB*math.Cos((azimuthDeg-p.AzimuthDeg)*deg)
}

// lowestSinElev keeps the ratio of beam on the panel to beam on level ground
// finite at sunrise: the sine of 2°.
const lowestSinElev = 0.0349

// beamRatio is R_b, the beam on the panel over that on level ground (D&B 1.8.1).
func beamRatio(cosIncidence, sinElev float64) float64 {
	return max(cosIncidence, 0) / max(sinElev, lowestSinElev)
}

// radiation is what falls on a panel, split by where it comes from. The unit is
// that of what it was made from, W/m² or Wh/m².
type radiation struct{ beam, sky, ground float64 }

func (r radiation) total() float64 { return r.beam + r.sky + r.ground }

// onLevel is the radiation on level open ground.
type onLevel struct{ beam, diffuse float64 }

// isotropic takes the sky as evenly bright (Liu and Jordan 1963; D&B 2.15.1): for
// a panel that faces the sun the low estimate, which is what the survival of a
// node asks for. The view is the sky view factor of the panel.
func isotropic(h onLevel, beamRatio, view float64, p Panel) radiation {
	return radiation{
		beam: h.beam * beamRatio,
		sky:  h.diffuse * view,
		// What slopes that take the place of sky reflect is left out.
		ground: (h.beam + h.diffuse) * p.GroundReflectance * (1 - math.Cos(p.TiltDeg*deg)) / 2,
	}
}

// heatFactor is the power of the cells in an irradiance over that at 25 °C:
// cell temperature by NOCT (D&B 23.3; IEC 61215: 800 W/m², 20 °C, 1 m/s).
func heatFactor(planeWM2, airK float64, p Panel) float64 {
	cellK := airK + (p.NOCTK-293.15)/800*planeWM2
	return max(0, 1+p.PowerPerK*(cellK-298.15))
}
