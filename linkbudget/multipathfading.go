package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// MultipathFading is the fading in time on a clear path whose rays a layered
// night air bends together: ITU-R P.530-18 §2.3. At 900 MHz it is small; it
// says nothing about obstructed paths or moving things.
type MultipathFading struct {
	DistM, FreqHz      float64 // path and carrier, see Validate
	AHeightM, BHeightM float64 // antennas above sea level, -500 to 9000 m
	MeanGroundM        float64 // mean ground along the path without trees, above sea level
	LogK               float64 // log10 of the geoclimatic factor, ITU digital map; -12 to 0
	DN75               float64 // dN75, N-units, ITU digital map; 0 to 300
}

// QuickMultipathFading is the form of P.530-17 that needs one number of the
// climate only, from memory. It knows nothing of the ground below the path.
type QuickMultipathFading struct {
	DistM, FreqHz      float64 // path and carrier, see Validate
	AHeightM, BHeightM float64 // antennas above sea level, -500 to 9000 m
	DN1                float64 // refractivity gradient of the lowest 65 m not exceeded 1 % of the year, -1000 to 0 N/km
}

// fadingFreeM is the path length below which P.530-18 sets the fading to none.
const fadingFreeM = 5e3

// fadingRange collects what is out of range on either form. The range is that
// of the data behind the method (from memory): 0.45 to 37 GHz, up to 185 km,
// and no frequency below 15/d GHz with d in km, which is 17.3 km at 868 MHz.
func fadingRange(distM, freqHz, aHeightM, bHeightM, leastM float64) []error {
	var errs []error
	check := func(what string, x, low, high float64, unit string) {
		if !(x >= low && x <= high) {
			errs = append(errs, fmt.Errorf("multipath fading: %s %v %s, allowed %g to %g", what, x, unit, low, high))
		}
	}
	check("path", distM, leastM, 185e3, "m")
	check("frequency", freqHz, 0.45e9, 37e9, "Hz")
	check("antenna a above sea level", aHeightM, -500, 9000, "m")
	check("antenna b above sea level", bHeightM, -500, 9000, "m")
	if needM := 15e12 / freqHz; len(errs) == 0 && distM >= fadingFreeM && !(distM >= needM) {
		errs = append(errs, fmt.Errorf("multipath fading: path of %v m at %v Hz, allowed from %.0f m (15/f)", distM, freqHz, needM))
	}
	return errs
}

// Validate lists every field out of its range: up to 185 km, 0.45 to 37 GHz,
// and from 5 km on not shorter than 15/f (km, GHz).
func (m MultipathFading) Validate() error {
	errs := fadingRange(m.DistM, m.FreqHz, m.AHeightM, m.BHeightM, 0)
	if !(m.MeanGroundM >= -500 && m.MeanGroundM <= 9000) {
		errs = append(errs, fmt.Errorf("multipath fading: mean ground %v m, allowed -500 to 9000", m.MeanGroundM))
	}
	if !(m.LogK >= -12 && m.LogK <= 0) {
		errs = append(errs, fmt.Errorf("multipath fading: log K %v, allowed -12 to 0", m.LogK))
	}
	if !(m.DN75 >= 0 && m.DN75 <= 300) {
		errs = append(errs, fmt.Errorf("multipath fading: dN75 %v N-units, allowed 0 to 300", m.DN75))
	}
	return errors.Join(errs...)
}

// Occurrence returns p_0, the multipath occurrence factor in percent of the
// average worst month, for [DeepFadePercent] and [FadePercent]; 0 below 5 km.
// It is no share of time itself and may exceed 100; 1000 is the most. ITU-R P.530-18 §2.3.1:
//
//	p_0 = K d^3.51 (f^2+13)^0.447 10^(-0.376 tanh((h_c-147)/125) - 0.334 |eps_p|^0.39 - 0.00027 h_L + 17.85 v_sr)
func (m MultipathFading) Occurrence() (float64, error) {
	if err := m.Validate(); err != nil {
		return 0, err
	}
	if m.DistM < fadingFreeM {
		return 0, nil
	}
	d, f := m.DistM/1e3, m.FreqHz/1e9
	slopeMrad := math.Abs(m.AHeightM-m.BHeightM) / d
	clearM := (m.AHeightM+m.BHeightM)/2 - d*d/102 - m.MeanGroundM // h_c, over the bulge of the earth
	lowM := min(m.AHeightM, m.BHeightM)
	surface := min( // v_sr
		math.Pow(m.DN75/50, 1.8)*math.Exp(-clearM/(2.5*math.Sqrt(d))),
		m.DN75*math.Pow(d, 1.5)*math.Sqrt(f)/24730)
	log := m.LogK + 3.51*math.Log10(d) + 0.447*math.Log10(f*f+13) -
		0.376*math.Tanh((clearM-147)/125) - 0.334*math.Pow(slopeMrad, 0.39) - 0.00027*lowM + 17.85*surface
	return math.Pow(10, min(log, occurrenceMaxLog)), nil
}

// occurrenceMaxLog bounds log p_0. The family of curves in the text ends at
// p_0 = 1000 % (from memory); above, q_a would make deep fades likelier than
// shallow ones.
const occurrenceMaxLog = 3

// Validate lists every field out of its range: 7 to 185 km, 0.45 to 37 GHz, and
// not shorter than 15/f (km, GHz).
func (m QuickMultipathFading) Validate() error {
	errs := fadingRange(m.DistM, m.FreqHz, m.AHeightM, m.BHeightM, 7e3)
	if !(m.DN1 >= -1000 && m.DN1 <= 0) {
		errs = append(errs, fmt.Errorf("multipath fading: dN1 %v N/km, allowed -1000 to 0", m.DN1))
	}
	return errors.Join(errs...)
}

// Occurrence returns p_0 as [MultipathFading.Occurrence] does, by P.530-17
// §2.3.1 (from memory):
//
//	p_0 = 10^(-4.6 - 0.0027 dN1) d^3.1 (1+|eps_p|)^-1.29 f^0.8 10^(-0.00089 h_L)
func (m QuickMultipathFading) Occurrence() (float64, error) {
	if err := m.Validate(); err != nil {
		return 0, err
	}
	d, f := m.DistM/1e3, m.FreqHz/1e9
	slopeMrad := math.Abs(m.AHeightM-m.BHeightM) / d
	log := -4.6 - 0.0027*m.DN1 + 3.1*math.Log10(d) - 1.29*math.Log10(1+slopeMrad) +
		0.8*math.Log10(f) - 0.00089*min(m.AHeightM, m.BHeightM)
	return math.Pow(10, min(log, occurrenceMaxLog)), nil
}
