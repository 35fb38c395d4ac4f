package antenna

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// sideMount is a vertical antenna beside a metal mast, which throws a shadow
// behind and lobes ahead.
//
// It is the exact field of a line source beside an endless conducting cylinder
// (Balanis, "Advanced Engineering Electromagnetics", ch. 11). What the mast does
// to the antenna's match is left out.
type sideMount struct {
	SpacingM      float64 // antenna to the axis of the mast; outside it, up to 20 m
	MastDiameterM float64 // 0.005 to 1 m
	FreqHz        float64 // MinFreqHz to MaxFreqHz
}

// towards returns what the mast adds to the gain in a direction: offDeg is the
// angle from straight away from the mast, 180 right behind it. Negative in the
// shadow. At most 40 dB are lost.
func (s sideMount) towards(offDeg float64) radio.DB {
	return s.gain(s.scattering(), math.Remainder(offDeg, 360)*math.Pi/180)
}

// spread returns mean and standard deviation of the gain over all directions, for a
// mast whose side nobody noted.
func (s sideMount) spread() (mean, sigma radio.DB) {
	const steps = 720
	waves := s.scattering()
	var sum, squares radio.DB
	for i := range steps {
		g := s.gain(waves, 2*math.Pi*float64(i)/steps)
		sum += g
		squares += g * g
	}
	mean = sum / steps
	return mean, radio.DB(math.Sqrt(max(float64(squares/steps-mean*mean), 0)))
}

// scattering returns the amplitudes of the cylindrical waves the mast sends
// back, relative to the antenna's own far field:
//
//	eps_n j^n J_n(ka) H_n(ks)/H_n(ka), eps_0 = 1, else 2, H of the second kind
func (s sideMount) scattering() []complex128 {
	k := 2 * math.Pi / radio.WavelengthM(s.FreqHz)
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
func (s sideMount) gain(waves []complex128, phiRad float64) radio.DB {
	k := 2 * math.Pi / radio.WavelengthM(s.FreqHz)
	field := cmplx.Exp(complex(0, k*s.SpacingM*math.Cos(phiRad)))
	for n, wave := range waves {
		field -= wave * complex(math.Cos(float64(n)*phiRad), 0)
	}
	return radio.DB(20 * math.Log10(max(cmplx.Abs(field), 0.01)))
}

// A thin mast is close to a reflector of amplitude -G in its axis, whose wave
// comes ks(1 + cos phi) late: |1 - G exp(-jks(1 + cos phi))|. G here is from the
// wave of order 0 alone, J_0(ka)/H_0(ka) H_0(ks), so this is a second way, good
// to a few tenths of a decibel while the mast is much thinner than a wave.
func TestSideMountThinMast(t *testing.T) {
	lambdaM := radio.WavelengthM(868e6)
	for _, spacing := range []float64{0.25, 0.3, 0.5, 1, 2} {
		s := sideMount{SpacingM: spacing * lambdaM, MastDiameterM: 0.02 * lambdaM, FreqHz: 868e6}
		ka, ks := 2*math.Pi*0.01, 2*math.Pi*spacing
		hankel := func(x float64) complex128 { return complex(math.J0(x), -math.Y0(x)) }
		g := complex(math.J0(ka), 0) * hankel(ks) / hankel(ka)
		for offDeg := 0.0; offDeg <= 180; offDeg += 15 {
			got := s.towards(offDeg)
			// The antenna's own wave is ahead by ks cos phi of one from the axis.
			want := 20 * math.Log10(cmplx.Abs(1-g*cmplx.Exp(complex(0, -ks*math.Cos(offDeg*math.Pi/180)))))
			check.Near(t, "thin mast", float64(got), want, 0.25)
		}
	}
}

// On the mast's own surface the field vanishes: an antenna that touches it is
// short-circuited, all round.
func TestSideMountTouching(t *testing.T) {
	for _, offDeg := range []float64{0, 60, 120, 180} {
		if got := (sideMount{SpacingM: 0.05 * (1 + 1e-9), MastDiameterM: 0.1, FreqHz: 868e6}).towards(offDeg); got != -40 {
			t.Errorf("touching at %v degrees: %v", offDeg, got)
		}
	}
}

// Ranges from memory: masts over 0.1 wavelengths, a quarter to half a wave away,
// give up to +3 to +6 dB ahead and -6 to -15 dB behind.
func TestSideMountUsualRanges(t *testing.T) {
	lambdaM := radio.WavelengthM(868e6)
	for _, row := range []struct{ diameter, spacing float64 }{{0.12, 0.31}, {0.2, 0.35}, {0.2, 0.4}, {0.4, 0.45},
		{0.4, 0.5}} {
		s := sideMount{SpacingM: row.spacing * lambdaM, MastDiameterM: row.diameter * lambdaM, FreqHz: 868e6}
		best, behind := radio.DB(-99), radio.DB(0)
		for offDeg := 0.0; offDeg <= 180; offDeg++ {
			g := s.towards(offDeg)
			best = max(best, g)
			behind = min(behind, g)
		}
		if !(best >= 2.9 && best <= 6 && behind <= -6 && behind >= -15) {
			t.Errorf("%+v waves: at most %v, at least %v dB", row, best, behind)
		}
	}
	// The general figure of sigma 2 dB is that of a thin mast one wave away.
	mean, sigma := sideMount{SpacingM: lambdaM, MastDiameterM: 0.05, FreqHz: 868e6}.spread()
	if !(math.Abs(float64(sigma-SideMountSigma)) <= 0.5 && mean > -SideMountPenalty && mean < 0) {
		t.Errorf("spread %v, %v dB", mean, sigma)
	}
}

func TestSideMountShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sideMount{
			MastDiameterM: rapid.Float64Range(0.005, 1).Draw(t, "diameterM"),
			FreqHz:        rapid.Float64Range(radio.MinFreqHz, radio.MaxFreqHz).Draw(t, "freqHz"),
		}
		s.SpacingM = s.MastDiameterM/2 + rapid.Float64Range(1e-6, 19).Draw(t, "gapM")
		off := rapid.Float64Range(-400, 400).Draw(t, "off")
		g := s.towards(off)
		if !(g >= -40 && g <= 6.1) { // twice the field at most
			t.Fatalf("%+v: %v", s, g)
		}
		if m := s.towards(-off); !(math.Abs(float64(m-g)) <= 1e-9) {
			t.Fatalf("%+v: %v, mirrored %v", s, g, m)
		}
	})
}
