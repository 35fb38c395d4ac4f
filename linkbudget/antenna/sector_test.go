package antenna

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// 3GPP TR 36.942 §4.2.1: -min(12 (phi/65)^2, 20), by hand.
func TestSectorPattern(t *testing.T) {
	s := SectorPattern{PeakDBi: 8}
	for offDeg, want := range map[float64]float64{0: 8, 32.5: 5, -32.5: 5, 65: -4, 83.9: -11.993, 84: -12, 180: -12,
		327.5: 5, 360: 8} {
		check.Near(t, "to the side", float64(s.Gain(offDeg, 0)), want, 0.001)
	}
	// ITU-R F.1336 recommends 3: 31000 10^-0.8/65 degrees.
	check.Near(t, "vertical beamwidth", SectorVerticalBeamwidthDeg(8, 65), 75.59, 0.005)
	check.Near(t, "half power upwards", float64(s.Gain(0, 75.587/2)), 5, 0.001)
	check.Near(t, "half power both ways", float64(s.Gain(32.5, -75.587/2)), 2, 0.001)
	check.Near(t, "a weak one", SectorVerticalBeamwidthDeg(0, 65), 180, 0)
	narrow := SectorPattern{PeakDBi: 12, BeamwidthDeg: 60, VerticalBeamwidthDeg: 10, FrontToBackDB: 25}
	check.Near(t, "side lobe above", float64(narrow.Gain(0, 80)), 12-20, 0)
	check.Near(t, "behind and above", float64(narrow.Gain(180, 80)), 12-25, 0)
}

func TestSectorPatternShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := SectorPattern{
			PeakDBi:              radio.DB(rapid.Float64Range(-20, 30).Draw(t, "peak")),
			BeamwidthDeg:         rapid.Float64Range(5, 180).Draw(t, "width"),
			VerticalBeamwidthDeg: rapid.Float64Range(0, 180).Draw(t, "vertical"),
			FrontToBackDB:        radio.DB(rapid.Float64Range(3, 40).Draw(t, "front to back")),
		}
		side := rapid.Float64Range(0, 170).Draw(t, "side")
		up := rapid.Float64Range(0, 80).Draw(t, "up")
		g := s.Gain(side, up)
		if !(g <= s.PeakDBi && g >= s.PeakDBi-s.FrontToBackDB) {
			t.Fatalf("%+v: %v dBi", s, g)
		}
		if !(s.Gain(side+5, up) <= g+1e-9 && s.Gain(side, up+5) <= g+1e-9) {
			t.Fatalf("%+v: grows off the lobe", s)
		}
		if mirror := s.Gain(-side, -up); !(math.Abs(float64(mirror-g)) <= 1e-9) {
			t.Fatalf("%+v: %v dBi, mirrored %v", s, g, mirror)
		}
	})
}
