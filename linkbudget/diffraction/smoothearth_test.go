package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/internal/official"
)

// Published: ITU-R P.1812-6 validation results, hst and hsr (eq 85, 86), every file.
func TestFitGroundOfficial(t *testing.T) {
	for _, c := range official.P1812(t) {
		fit := FitGround(c.DistM, c.GroundM)
		check.Near(t, c.Name+" h_st", fit.StartM, c.Value["hst (m)"], 1e-6)
		check.Near(t, c.Name+" h_sr", fit.EndM, c.Value["hsr (m)"], 1e-6)
	}
}

func TestFitGroundByHand(t *testing.T) {
	// A triangle of height 3 over a base of 2: the line is level at the mean,
	// 1.5, and the variance of a value spread evenly over 0..3 is 9/12.
	fit := FitGround([]float64{5, 6, 7}, []float64{0, 3, 0})
	check.Near(t, "triangle start", fit.StartM, 1.5, 1e-12)
	check.Near(t, "triangle end", fit.EndM, 1.5, 1e-12)
	check.Near(t, "triangle spread", fit.SpreadM, math.Sqrt(0.75), 1e-12)
	// A part of a plane far from A and high up keeps its digits.
	fit = FitGround([]float64{90e3, 90.5e3, 93e3}, []float64{3000, 3001, 3006})
	check.Near(t, "plane start", fit.StartM, 3000, 1e-9)
	check.Near(t, "plane end", fit.EndM, 3006, 1e-9)
	check.Near(t, "plane spread", fit.SpreadM, 0, 1e-9)
	for _, row := range []struct {
		dist, ground []float64
		want         GroundFit
	}{
		{nil, nil, GroundFit{}},
		{[]float64{3}, []float64{8}, GroundFit{StartM: 8, EndM: 8}},
		{[]float64{3, 3}, []float64{8, 9}, GroundFit{StartM: 8, EndM: 8}},
	} {
		if got := FitGround(row.dist, row.ground); got != row.want {
			t.Errorf("FitGround(%v, %v) = %+v, want %+v", row.dist, row.ground, got, row.want)
		}
	}
}

// No other line may lie closer: that is what least squares means. The squares
// are summed here at many small steps, not by the closed integral.
func TestFitGroundIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSightline(t)
		fit := FitGround(s.DistM, s.GroundM)
		length := s.DistM[len(s.DistM)-1]
		meanSquare := func(start, end float64) float64 {
			const steps = 200
			var sum float64
			for i := 1; i < len(s.DistM); i++ {
				d0, d := s.DistM[i-1], s.DistM[i]
				for k := range steps {
					u := (float64(k) + 0.5) / steps
					x := d0 + u*(d-d0)
					h := s.GroundM[i-1] + u*(s.GroundM[i]-s.GroundM[i-1])
					rest := h - start - (end-start)*x/length
					sum += rest * rest * (d - d0) / steps
				}
			}
			return sum / length
		}
		least := meanSquare(fit.StartM, fit.EndM)
		if !(math.Abs(math.Sqrt(least)-fit.SpreadM) <= 1e-3*(1+fit.SpreadM)) {
			t.Fatalf("spread %g m, summed %g m", fit.SpreadM, math.Sqrt(least))
		}
		for _, shift := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, -1}} {
			if other := meanSquare(fit.StartM+shift[0], fit.EndM+shift[1]); !(other > least) {
				t.Fatalf("the line shifted by %v lies closer: %g < %g", shift, other, least)
			}
		}
	})
}

func BenchmarkFitGround(b *testing.B) {
	s := longPath()
	for b.Loop() {
		FitGround(s.DistM, s.GroundM)
	}
}
