package linkbudget_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

func TestReachByHand(t *testing.T) {
	// Noise of 290 K in 125 kHz: -173.98 + 50.97 dBm; noise figure 6 dB; SF9 needs
	// -12.5 dB (SX1262 datasheet): -129.51 dBm. EIRP 14 + 2.15 dBm, gain 2.15 dBi:
	// 147.81 dB of loss. At 915 MHz the first km costs 32.45 + 59.23 = 91.68 dB
	// (ITU-R P.525), the other 56.13 dB are 10^(56.13/20) = 640.5 times as far.
	s := linkbudget.DefaultStation("s", 10) // as high as what stands in open country
	s.HardwareDB = 0
	best := s.BestCase(environment())
	if got := best.ReachM(best, environment().FreqHz) / 1000; !(math.Abs(got-640.5) <= 1) { // ±0.014 dB
		t.Errorf("reach = %.1f km, want 640.5", got)
	}
	real := s // 3 dB at both ends take 6 from 56.13 dB
	real.HardwareDB = 3
	if got := real.BestCase(environment()).ReachM(real.BestCase(environment()),
		915e6) / 1000; !(math.Abs(got-321.0) <= 0.5) {
		t.Errorf("reach of real nodes = %.1f km, want 321.0", got)
	}
	weak := s
	weak.TxDBm -= 20 // the weaker direction is the link: a tenth
	w := weak.BestCase(environment())
	if a, b := best.ReachM(w, 915e6), w.ReachM(best, 915e6); a != b || !(math.Abs(a/1000-64.05) <= 0.1) {
		t.Errorf("reach to the weak one = %.2f and %.2f km, want 64.05 both ways", a/1000, b/1000)
	}
}

// No path, over any ground, does better than the best case promises.
func TestNothingBeatsTheBestCase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		env := environment()
		env.Modem.SF = rapid.IntRange(7, 12).Draw(t, "sf")
		draw := func(name string) linkbudget.Station {
			s := linkbudget.DefaultStation(name, rapid.Float64Range(0.5, 300).Draw(t, name+" height"))
			s.TxDBm = linkbudget.DBm(rapid.Float64Range(-30, 30).Draw(t, name+" power"))
			s.Antenna.PeakDBi = linkbudget.DB(rapid.Float64Range(-10, 15).Draw(t, name+" gain"))
			s.Antenna.TiltDeg = rapid.Float64Range(-10, 10).Draw(t, name+" tilt")
			if rapid.Bool().Draw(t, name+" sector") {
				az := rapid.Float64Range(0, 360).Draw(t, name+" azimuth")
				s.Antenna.Beam, s.Antenna.AzimuthDeg = antenna.BeamSector, &az
			}
			s.FeedLossDB = linkbudget.DB(rapid.Float64Range(0, 10).Draw(t, name+" feed loss"))
			s.NoiseRiseDB = linkbudget.DB(rapid.Float64Range(0, 20).Draw(t, name+" noise rise"))
			s.SideMounted = rapid.Bool().Draw(t, name+" beside the mast")
			if rapid.Bool().Draw(t, name+" horizontal") {
				s.Polarisation = radio.Horizontal
			}
			return s
		}
		a, b := draw("a"), draw("b")
		n := rapid.IntRange(2, 40).Draw(t, "points")
		lengthM := math.Pow(10, rapid.Float64Range(2, 5.5).Draw(t, "log length"))
		p := terrain.Profile{AzimuthDeg: rapid.Float64Range(0, 359).Draw(t, "azimuth")}
		p.BackAzimuthDeg = math.Mod(p.AzimuthDeg+180, 360)
		for i := range n {
			p.DistM = append(p.DistM, lengthM*float64(i)/float64(n-1))
			p.HeightM = append(p.HeightM, rapid.Float64Range(0, 2000).Draw(t, "ground"))
		}
		r, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		reachM := a.BestCase(env).ReachM(b.BestCase(env), env.FreqHz)
		best := radio.FreeSpace(reachM, env.FreqHz) - radio.FreeSpace(lengthM, env.FreqHz)
		if reachM > 1 && !(r.MarginDB <= best+1e-6) {
			t.Fatalf("margin %.6f dB over %.0f m, best case %.6f dB", r.MarginDB, lengthM, best)
		}
	})
}
