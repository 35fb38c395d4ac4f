package diffraction

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Row 5s of the project's reference, computed by a separate program (λ =
// 0.2998/f, land, H). Rows 5f-5j and the whole of 5m, 5n need the profiles of
// the ITU data: see itudata_test.go.
func TestDeltaBullingtonComputed(t *testing.T) {
	got := deltaBullington(Path{
		DistM: []float64{0, 2e3, 5e3, 8e3, 10e3}, GroundM: []float64{0, 30, 10, 40, 0},
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: 8.5e6,
		FreqHz: 868e6, SpeedMS: ituSpeedMS, Polarisation: radio.Horizontal,
	})
	check.At(t, "L_bulla", "5s", float64(got.BullingtonDB), 32.555, 0.002)
	check.At(t, "L_bulls", "5s", float64(got.SmoothDB), 6.268, 0.002)
	check.At(t, "L_dsph", "5s", float64(got.SphericalDB), 9.811, 0.002)
	check.At(t, "L_d", "5s", float64(got.LossDB), 36.098, 0.002)
	check.At(t, "d_bp", "5s", got.EdgeAtM, 5963.7, 0.1)
}

// Row 5k, P.452-18 flat_land_5km: 501 points at 0 m, 10 m apart. L_d50 = L_dsph.
func TestDeltaBullingtonFlatLand(t *testing.T) {
	p := Path{
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: 8738167.287,
		SpeedMS: ituSpeedMS, Polarisation: radio.Vertical,
	}
	for i := range 501 {
		p.DistM = append(p.DistM, float64(i)*10)
		p.GroundM = append(p.GroundM, 0)
	}
	for _, row := range []struct{ freqHz, want float64 }{
		{0.5e9, 7.30775532}, {0.75e9, 4.11082622}, {1e9, 1.75163653}, {2e9, 0},
	} {
		p.FreqHz = row.freqHz
		check.At(t, "L_d50", row.freqHz, float64(deltaBullington(p).LossDB), row.want, 1e-4)
	}
}

// By hand: the least-squares line through a straight slope is the slope itself,
// so the antennas stand above it as high as above ground. And the fit of a
// parabola h = k x(d-x) is flat at k d²/6.
func TestSmoothSurface(t *testing.T) {
	p := Path{EffectiveRadiusM: 8.5e6, FreqHz: 868e6, AHeightM: 40, BHeightM: 60}
	for i := range 1001 {
		x := float64(i) * 10
		p.DistM, p.GroundM = append(p.DistM, x), append(p.GroundM, 700+0.02*x)
	}
	got := deltaBullington(p)
	check.At(t, "h_te", "slope", got.EffectiveAM, 40, 1e-9)
	check.At(t, "h_re", "slope", got.EffectiveBM, 60, 1e-9)
	check.At(t, "h_std", "slope", got.SmoothAM, 700, 1e-9)
	check.At(t, "h_srd", "slope", got.SmoothBM, 900, 1e-9)

	// A hollow: k = -1e-6/m gives -100e-6·1e6/6 = -16.67 m, below both ends.
	for i, x := range p.DistM {
		p.GroundM[i] = 100 - 1e-6*x*(1e4-x)
	}
	got = deltaBullington(p)
	check.At(t, "h_std", "hollow", got.SmoothAM, 100-100.0/6, 0.001)
	check.At(t, "h_te", "hollow", got.EffectiveAM, 40+100.0/6, 0.001)
	check.At(t, "h_re", "hollow", got.EffectiveBM, 60+100.0/6, 0.001)
}

// drawDiffractionPath draws any valid path: 10 m to 300 km, smooth to nearly
// vertical, two points or many, clutter or not.
func drawDiffractionPath(t *rapid.T) Path {
	n := rapid.OneOf(rapid.IntRange(2, 5), rapid.IntRange(2, 120)).Draw(t, "n")
	length := math.Pow(10, rapid.Float64Range(1, 5.477).Draw(t, "log length"))
	rough := math.Pow(10, rapid.Float64Range(-3, 3.5).Draw(t, "log relief"))
	base := rapid.SampledFrom([]float64{0, -430, 900, 6000}).Draw(t, "base")
	antenna := rapid.OneOf(rapid.Just(0.1), rapid.Just(0.0), rapid.Float64Range(0, 60))
	p := Path{
		DistM: make([]float64, n), GroundM: make([]float64, n),
		AHeightM: antenna.Draw(t, "A"), BHeightM: antenna.Draw(t, "B"),
		EffectiveRadiusM: rapid.SampledFrom([]float64{4e6, 8494667, 19e6, math.Inf(1)}).Draw(t, "a"),
		FreqHz:           math.Pow(10, rapid.Float64Range(7.5, 9.5).Draw(t, "log f")),
		Polarisation:     rapid.SampledFrom([]radio.Polarisation{radio.Vertical, radio.Horizontal}).Draw(t, "pol"),
		SeaFraction:      rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 1)).Draw(t, "sea"),
	}
	sum := 0.0
	for i := range n {
		if i > 0 {
			sum += rapid.Float64Range(0.001, 1).Draw(t, "step")
		}
		p.DistM[i] = sum
		p.GroundM[i] = base + rough*rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(-1, 1)).Draw(t, "h")
	}
	for i := range n {
		p.DistM[i] *= length / sum
	}
	if rapid.Bool().Draw(t, "clutter") {
		p.ClutterM = rapid.SliceOfN(rapid.SampledFrom([]float64{0, 4, 10, 15, 20}), n, n).Draw(t, "R")
	}
	return p
}

func reversedPath(p Path) Path {
	d := p.DistM[len(p.DistM)-1]
	p.DistM, p.GroundM, p.ClutterM = slices.Clone(p.DistM), slices.Clone(p.GroundM), slices.Clone(p.ClutterM)
	for i := range p.DistM {
		p.DistM[i] = d - p.DistM[i]
	}
	slices.Reverse(p.DistM)
	slices.Reverse(p.GroundM)
	slices.Reverse(p.ClutterM)
	p.AHeightM, p.BHeightM = p.BHeightM, p.AHeightM
	return p
}

// Nothing valid gives NaN, Inf or a negative loss; the edge is an inner place.
func TestDeltaBullingtonAlwaysFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		got := deltaBullington(p)
		for name, v := range map[string]float64{
			"L_bulla": float64(got.BullingtonDB), "L_bulls": float64(got.SmoothDB),
			"L_dsph": float64(got.SphericalDB), "L_d": float64(got.LossDB),
			"h_te": got.EffectiveAM - 0.1, "h_re": got.EffectiveBM - 0.1, "edge": got.EdgeAtM,
		} {
			if !(v >= 0) || math.IsInf(v, 0) {
				t.Errorf("%s = %g", name, v)
			}
		}
		for name, v := range map[string]float64{"ν": got.Nu, "h_std": got.SmoothAM, "h_srd": got.SmoothBM} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s = %g", name, v)
			}
		}
		last := len(p.DistM) - 1
		if last > 1 && !(got.EdgeAtM >= p.DistM[1]*(1-1e-12) && got.EdgeAtM <= p.DistM[last-1]*(1+1e-12)) {
			t.Errorf("edge at %g m, inner points from %g to %g m", got.EdgeAtM, p.DistM[1], p.DistM[last-1])
		}
		if (got.LineOfSight && got.Nu > 0) || (!got.LineOfSight && got.Nu < 0) || math.Signbit(got.Nu) != (got.Nu < 0) {
			t.Errorf("line of sight %v with ν = %g", got.LineOfSight, got.Nu)
		}
	})
}

// The other direction is the same path.
func TestDeltaBullingtonReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		there, back := deltaBullington(p), deltaBullington(reversedPath(p))
		for _, pair := range [][2]radio.DB{
			{there.BullingtonDB, back.BullingtonDB}, {there.SmoothDB, back.SmoothDB},
			{there.SphericalDB, back.SphericalDB}, {there.LossDB, back.LossDB},
		} {
			if !(math.Abs(float64(pair[0]-pair[1])) <= 1e-9) {
				t.Errorf("there %+v\nback %+v", there, back)
			}
		}
	})
}

// Another zero of heights changes nothing but the surface's own height.
func TestDeltaBullingtonDatum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		shift := rapid.Float64Range(-500, 5000).Draw(t, "shift")
		before := deltaBullington(p)
		p.GroundM = slices.Clone(p.GroundM)
		for i := range p.GroundM {
			p.GroundM[i] += shift
		}
		after := deltaBullington(p)
		if !(math.Abs(float64(after.LossDB-before.LossDB)) <= 1e-7) ||
			!(math.Abs(after.SmoothAM-before.SmoothAM-shift) <= 1e-8) {
			t.Errorf("before %+v\nafter %+v", before, after)
		}
	})
}

// With antennas far above everything nothing is lost: no obstacle, no loss.
func TestDeltaBullingtonHighAntennas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.FreqHz = 868e6
		p.AHeightM, p.BHeightM = 60e3, 60e3
		if got := deltaBullington(p); got.LossDB != 0 || !got.LineOfSight {
			t.Errorf("%+v", got)
		}
	})
}

// No obstacle: flat ground, 30 m antennas 1 km apart clear 0.55 F1 by far.
func TestDeltaBullingtonNoObstacle(t *testing.T) {
	got := deltaBullington(Path{
		DistM: []float64{0, 250, 500, 750, 1000}, GroundM: make([]float64, 5),
		AHeightM: 30, BHeightM: 30, EffectiveRadiusM: 8.5e6, FreqHz: 868e6,
	})
	if got.LossDB != 0 || !got.LineOfSight {
		t.Errorf("%+v", got)
	}
}

// Clutter raises inner points, never the ends and never the fitted surface.
func TestDeltaBullingtonClutter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		n := len(p.DistM)
		p.ClutterM = slices.Repeat([]float64{12}, n)
		with := deltaBullington(p)
		p.ClutterM = slices.Clone(p.ClutterM)
		p.ClutterM[0], p.ClutterM[n-1] = 1e3, 1e3
		if got := deltaBullington(p); got != with {
			t.Errorf("clutter at the ends counts: %+v\n%+v", got, with)
		}
		p.ClutterM = nil
		without := deltaBullington(p)
		if with.SphericalDB != without.SphericalDB || with.SmoothAM != without.SmoothAM {
			t.Errorf("clutter moves the surface: %+v\n%+v", with, without)
		}
		if !(with.Nu >= without.Nu-1e-9*math.Abs(without.Nu)) && without.LineOfSight {
			t.Errorf("clutter lowers ν from %g to %g", without.Nu, with.Nu)
		}
	})
}

func TestDeltaBullingtonNoInnerPoint(t *testing.T) {
	p := Path{
		DistM: []float64{0, 40e3}, GroundM: []float64{5, 5}, AHeightM: 10, BHeightM: 10,
		EffectiveRadiusM: 8.5e6, FreqHz: 868e6,
	}
	got := deltaBullington(p)
	if got.BullingtonDB != 0 || got.SmoothDB != 0 || got.EdgeAtM != 0 || got.Nu != noEdgeNu || !got.LineOfSight {
		t.Errorf("%+v", got)
	}
	if got.LossDB != got.SphericalDB || !(got.LossDB > 30) { // 40 km is far beyond the horizon
		t.Errorf("L_d %g, L_dsph %g", got.LossDB, got.SphericalDB)
	}
}

// benchmarkPath is 30 km at 1", 1,500 points of rolling ground.
func benchmarkPath(aHeightM, bHeightM float64) Path {
	const n = 1500
	p := Path{
		DistM: make([]float64, n), GroundM: make([]float64, n), AHeightM: aHeightM, BHeightM: bHeightM,
		EffectiveRadiusM: 8494667, FreqHz: 868e6,
	}
	for i := range n {
		x := 30e3 * float64(i) / (n - 1)
		p.DistM[i] = x
		p.GroundM[i] = 300 + 60*math.Sin(x/1700) + 25*math.Sin(x/310+1) + 8*math.Sin(x/71+2)
	}
	return p
}

func BenchmarkDeltaBullington(b *testing.B) {
	for _, bench := range []struct {
		name string
		path Path
	}{
		{"blocked", benchmarkPath(6, 6)},
		{"sight", benchmarkPath(250, 250)},
	} {
		b.Run(bench.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				deltaBullington(bench.path)
			}
		})
	}
	clutter := benchmarkPath(6, 6)
	clutter.ClutterM = slices.Repeat([]float64{10}, len(clutter.DistM))
	b.Run("clutter", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			deltaBullington(clutter)
		}
	})
}
