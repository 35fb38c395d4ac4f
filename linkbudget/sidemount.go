package linkbudget

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
)

// What an antenna beside a metal mast costs where nothing is known of mast,
// spacing and side: a loss and its standard deviation. Engineering judgement.
const (
	SideMountPenalty DB = 2
	SideMountSigma   DB = 2
)

// SideMount is a vertical antenna beside a metal mast, which throws a shadow
// behind and lobes ahead.
//
// It is the exact field of a line source beside an endless conducting cylinder
// (Balanis, "Advanced Engineering Electromagnetics", ch. 11). What the mast does
// to the antenna's match is left out.
type SideMount struct {
	SpacingM      float64 // antenna to the axis of the mast; outside it, up to 20 m
	MastDiameterM float64 // 0.005 to 1 m
	FreqHz        float64 // MinFreqHz to MaxFreqHz
}

// Validate lists every field out of its range.
func (s SideMount) Validate() error {
	var errs []error
	if !(s.MastDiameterM >= 0.005 && s.MastDiameterM <= 1) {
		errs = append(errs, fmt.Errorf("side mount: mast diameter %v m, allowed 0.005 to 1 m", s.MastDiameterM))
	}
	if !(s.SpacingM > s.MastDiameterM/2 && s.SpacingM <= 20) {
		errs = append(errs, fmt.Errorf("side mount: spacing %v m from the axis of the mast, allowed above its radius of %v m to 20 m", s.SpacingM, s.MastDiameterM/2))
	}
	if !(s.FreqHz >= MinFreqHz && s.FreqHz <= MaxFreqHz) {
		errs = append(errs, fmt.Errorf("side mount: frequency %v Hz, allowed %g to %g Hz", s.FreqHz, float64(MinFreqHz), float64(MaxFreqHz)))
	}
	return errors.Join(errs...)
}

// Gain returns what the mast adds to the gain in a direction: offDeg is the
// angle from straight away from the mast, 180 right behind it. Negative in the
// shadow. At most 40 dB are lost. Or an error that lists what is out of range.
func (s SideMount) Gain(offDeg float64) (DB, error) {
	err := s.Validate()
	if math.IsNaN(offDeg) || math.IsInf(offDeg, 0) {
		err = errors.Join(err, fmt.Errorf("side mount: direction %v, allowed any finite angle", offDeg))
	}
	if err != nil {
		return 0, err
	}
	return s.gain(s.scattering(), math.Remainder(offDeg, 360)*math.Pi/180), nil
}

// Spread returns mean and standard deviation of Gain over all directions, for a
// mast whose side nobody noted. Or an error that lists what is out of range.
func (s SideMount) Spread() (mean, sigma DB, err error) {
	if err := s.Validate(); err != nil {
		return 0, 0, err
	}
	const steps = 720
	waves := s.scattering()
	var sum, squares DB
	for i := range steps {
		g := s.gain(waves, 2*math.Pi*float64(i)/steps)
		sum += g
		squares += g * g
	}
	mean = sum / steps
	return mean, DB(math.Sqrt(max(float64(squares/steps-mean*mean), 0))), nil
}

// scattering returns the amplitudes of the cylindrical waves the mast sends
// back, relative to the antenna's own far field:
//
//	eps_n j^n J_n(ka) H_n(ks)/H_n(ka), eps_0 = 1, else 2, H of the second kind
func (s SideMount) scattering() []complex128 {
	k := 2 * math.Pi / WavelengthM(s.FreqHz)
	mast, spacing := k*s.MastDiameterM/2, k*s.SpacingM
	hankel := func(n int, x float64) complex128 { return complex(math.Jn(n, x), -math.Yn(n, x)) }
	var waves []complex128
	turn := complex(1, 0)
	for n := 0; n < 300; n++ {
		wave := turn * complex(math.Jn(n, mast), 0) * (hankel(n, spacing) / hankel(n, mast))
		if n > 0 {
			wave *= 2
		}
		// Beyond n = ka the series falls like (ka/2)^n/n!, until Y_n overflows.
		if float64(n) > mast && !(cmplx.Abs(wave) > 1e-9) {
			break
		}
		waves = append(waves, wave)
		turn *= 1i
	}
	return waves
}

// gain adds the mast's waves to the antenna's own, exp(jks cos phi).
func (s SideMount) gain(waves []complex128, phiRad float64) DB {
	k := 2 * math.Pi / WavelengthM(s.FreqHz)
	field := cmplx.Exp(complex(0, k*s.SpacingM*math.Cos(phiRad)))
	for n, wave := range waves {
		field -= wave * complex(math.Cos(float64(n)*phiRad), 0)
	}
	return DB(20 * math.Log10(max(cmplx.Abs(field), 0.01)))
}
