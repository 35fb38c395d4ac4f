package linkbudget

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A thin mast is close to a reflector of amplitude -G in its axis, whose wave
// comes ks(1 + cos phi) late: |1 - G exp(-jks(1 + cos phi))|. G here is from the
// wave of order 0 alone, J_0(ka)/H_0(ka) H_0(ks), so this is a second way, good
// to a few tenths of a decibel while the mast is much thinner than a wave.
func TestSideMountThinMast(t *testing.T) {
	lambdaM := WavelengthM(868e6)
	for _, spacing := range []float64{0.25, 0.3, 0.5, 1, 2} {
		s := SideMount{SpacingM: spacing * lambdaM, MastDiameterM: 0.02 * lambdaM, FreqHz: 868e6}
		ka, ks := 2*math.Pi*0.01, 2*math.Pi*spacing
		hankel := func(x float64) complex128 { return complex(math.J0(x), -math.Y0(x)) }
		g := complex(math.J0(ka), 0) * hankel(ks) / hankel(ka)
		for offDeg := 0.0; offDeg <= 180; offDeg += 15 {
			got, err := s.Gain(offDeg)
			if err != nil {
				t.Fatal(err)
			}
			// The antenna's own wave is ahead by ks cos phi of one from the axis.
			want := 20 * math.Log10(cmplx.Abs(1-g*cmplx.Exp(complex(0, -ks*math.Cos(offDeg*degree)))))
			near(t, "thin mast", float64(got), want, 0.25)
		}
	}
}

// On the mast's own surface the field vanishes: an antenna that touches it is
// short-circuited, all round.
func TestSideMountTouching(t *testing.T) {
	for _, offDeg := range []float64{0, 60, 120, 180} {
		got, err := SideMount{SpacingM: 0.05 * (1 + 1e-9), MastDiameterM: 0.1, FreqHz: 868e6}.Gain(offDeg)
		if err != nil || got != -40 {
			t.Errorf("touching at %v degrees: %v, %v", offDeg, got, err)
		}
	}
}

// Ranges from memory: masts over 0.1 wavelengths, a quarter to half a wave away,
// give up to +3 to +6 dB ahead and -6 to -15 dB behind.
func TestSideMountUsualRanges(t *testing.T) {
	lambdaM := WavelengthM(868e6)
	for _, row := range []struct{ diameter, spacing float64 }{{0.12, 0.31}, {0.2, 0.35}, {0.2, 0.4}, {0.4, 0.45}, {0.4, 0.5}} {
		s := SideMount{SpacingM: row.spacing * lambdaM, MastDiameterM: row.diameter * lambdaM, FreqHz: 868e6}
		best, behind := DB(-99), DB(0)
		for offDeg := 0.0; offDeg <= 180; offDeg++ {
			g, err := s.Gain(offDeg)
			if err != nil {
				t.Fatal(err)
			}
			best = max(best, g)
			behind = min(behind, g)
		}
		if !(best >= 2.9 && best <= 6 && behind <= -6 && behind >= -15) {
			t.Errorf("%+v waves: at most %v, at least %v dB", row, best, behind)
		}
	}
	// The general figure of sigma 2 dB is that of a thin mast one wave away.
	mean, sigma, err := SideMount{SpacingM: lambdaM, MastDiameterM: 0.05, FreqHz: 868e6}.Spread()
	if err != nil || !(math.Abs(float64(sigma-SideMountSigma)) <= 0.5 && mean > -SideMountPenalty && mean < 0) {
		t.Errorf("spread %v, %v dB, %v", mean, sigma, err)
	}
}

func TestSideMountShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := SideMount{
			MastDiameterM: rapid.Float64Range(0.005, 1).Draw(t, "diameterM"),
			FreqHz:        rapid.Float64Range(MinFreqHz, MaxFreqHz).Draw(t, "freqHz"),
		}
		s.SpacingM = s.MastDiameterM/2 + rapid.Float64Range(1e-6, 19).Draw(t, "gapM")
		off := rapid.Float64Range(-400, 400).Draw(t, "off")
		g, err := s.Gain(off)
		if err != nil || !(g >= -40 && g <= 6.1) { // twice the field at most
			t.Fatalf("%+v: %v, %v", s, g, err)
		}
		if m, _ := s.Gain(-off); !(math.Abs(float64(m-g)) <= 1e-9) {
			t.Fatalf("%+v: %v, mirrored %v", s, g, m)
		}
	})
}

func TestSideMountBadValues(t *testing.T) {
	for _, s := range []SideMount{
		{0.05, 0.1, 868e6}, {math.NaN(), 0.1, 868e6}, {21, 0.1, 868e6}, {1, 0, 868e6}, {2, 1.1, 868e6}, {1, math.NaN(), 868e6}, {1, 0.1, 5e9}, {1, 0.1, math.Inf(1)},
	} {
		if g, err := s.Gain(0); err == nil {
			t.Errorf("%+v: %v", s, g)
		}
		if _, sigma, err := s.Spread(); err == nil {
			t.Errorf("%+v: sigma %v", s, sigma)
		}
	}
	_, err := SideMount{30, 2, 5e9}.Gain(math.NaN())
	for _, part := range []string{"mast diameter 2 m", "spacing 30 m", "5e+09 Hz", "direction NaN"} {
		if err == nil || !strings.Contains(err.Error(), part) {
			t.Errorf("%v lacks %q", err, part)
		}
	}
}
