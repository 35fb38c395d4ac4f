package diffraction

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Troposcatter is the way over the horizon by scatter in the air. It sets a
// ceiling to the loss of a deeply obstructed path; at LoRa powers it carries
// no link by itself.
type Troposcatter struct {
	// DistM is the length of the path, m, above 0; FreqHz the frequency, above 0.
	DistM, FreqHz float64
	// EffectiveRadiusM is the effective earth radius, m; 0 means k = 4/3.
	EffectiveRadiusM float64
	// AHorizonRad and BHorizonRad are the elevations of the radio horizon seen
	// from each end, see [Sightline.HorizonAngles].
	AHorizonRad, BHorizonRad float64
	// SurfaceRefractivity is N0, the sea-level refractivity, N-units; 0 means
	// 325, temperate land.
	SurfaceRefractivity float64
	// TimePercent is the share of time the loss is not exceeded, 1 to 50; 0
	// means 50. Values outside are taken as the nearer limit of P.1812.
	TimePercent float64
}

// AngularDistanceRad returns theta, the angle between the horizon rays of both
// ends, radians: d/ae plus both horizon elevations, ITU-R P.1812-6
// attachment 1 eq (82), and not below 0.
func (t Troposcatter) AngularDistanceRad() float64 {
	return math.Max(0, 2*t.DistM*radio.HalfCurvature(t.EffectiveRadiusM)+t.AHorizonRad+t.BHorizonRad)
}

// Loss returns L_bs, the basic transmission loss by troposcatter not exceeded
// for TimePercent, ITU-R P.1812-6 §4.4 eq (44) and (45). P.1812-8 has another
// formula; the sixth edition is the one with official results to check by.
func (t Troposcatter) Loss() radio.DB {
	n0 := t.SurfaceRefractivity
	if n0 == 0 {
		n0 = 325
	}
	percent := t.TimePercent
	if percent == 0 {
		percent = 50
	}
	percent = math.Min(math.Max(percent, 1), 50)
	freqGHz, distKm := t.FreqHz/1e9, t.DistM/1e3

	half := math.Log10(freqGHz / 2)
	freqDB := 25*math.Log10(freqGHz) - 2.5*half*half // eq (45)
	return radio.DB(190.1+freqDB+20*math.Log10(distKm)-10.125*math.Pow(math.Log10(50/percent), 0.7)) +
		ScatterAngleLoss(t.AngularDistanceRad()) - ScatterRefractivityGain(n0)
}

// ScatterAngleLoss is what eq (44) has for the angular distance.
func ScatterAngleLoss(rad float64) radio.DB { return radio.DB(0.573e3 * rad) }

// ScatterRefractivityGain is what eq (44) has for N0, N-units.
func ScatterRefractivityGain(n0 float64) radio.DB { return radio.DB(0.15 * n0) }

// CombineTroposcatter joins the loss by the direct and diffracted way with the
// loss by troposcatter: -5 log(10^(-0.2 a) + 10^(-0.2 b)), ITU-R P.1812-6
// eq (63). The result lies at most 1.5 dB below the smaller of both.
func CombineTroposcatter(diffraction, tropo radio.DB) radio.DB {
	low, gap := min(diffraction, tropo), math.Abs(float64(diffraction-tropo))
	return low - radio.DB(5/math.Ln10*math.Log1p(math.Exp(-0.2*math.Ln10*gap)))
}
