package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Row 5r of the project's reference, computed by a separate program (λ =
// 0.2998/f): one edge of 60 m halfway along 10 km. By hand: bulge 1.4706 m, so
// h = 51.4706 m; ν = h sqrt(2/λ · 2/5000).
func TestBullingtonSingleEdge(t *testing.T) {
	p := Path{
		DistM: []float64{0, 5e3, 10e3}, GroundM: []float64{0, 60, 0},
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: 8.5e6, FreqHz: 868e6, SpeedMS: ituSpeedMS,
	}
	got := deltaBullington(p)
	check.At(t, "ν", "5r", got.Nu, 2.47713, 0.00001)
	check.At(t, "ν by hand", "5r", got.Nu, 51.47058823529412*math.Sqrt(2/(0.2998/0.868)*2/5000), 1e-9)
	check.At(t, "L_uc", "5r", float64(KnifeEdge(got.Nu)), 20.803, 0.001)
	check.At(t, "L_bulla", "5r", float64(got.BullingtonDB), 30.684, 0.001)
	check.At(t, "edge", "5r", got.EdgeAtM, 5000, 1e-9)
	if got.LineOfSight {
		t.Error("line of sight through an edge 50 m above the ray")
	}
}

// One edge anywhere: the Bullington point is the edge, whatever the ends do, and
// ν is that of the knife edge.
func TestBullingtonIsTheEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(10, 3e5).Draw(t, "d")
		x := d * rapid.Float64Range(0.001, 0.999).Draw(t, "share")
		top := rapid.Float64Range(-500, 500).Draw(t, "top")
		p := Path{
			DistM: []float64{0, x, d}, GroundM: []float64{100, top, 140},
			AHeightM: 5, BHeightM: 12, EffectiveRadiusM: 8.5e6, FreqHz: 868e6,
		}
		got := deltaBullington(p)
		above := top + x*(d-x)/(2*8.5e6) - (105*(d-x)+152*x)/d
		want := Edge{above, x, d - x, radio.SpeedOfLightMS / 868e6}.Nu()
		if !(math.Abs(got.Nu-want) <= 1e-9*(1+math.Abs(want))) {
			t.Errorf("ν = %g, want %g", got.Nu, want)
		}
		if !(math.Abs(got.EdgeAtM-x) <= 1e-9*d) || got.LineOfSight != (above < 0) {
			t.Errorf("edge at %g m, sight %v; want %g m, %v", got.EdgeAtM, got.LineOfSight, x, above < 0)
		}
	})
}

// A flat earth and two equal hills: the rays from A over the first and from B
// over the second hill meet halfway, 20 m · 5/2 = 50 m above the ray.
func TestBullingtonTwoHills(t *testing.T) {
	got := deltaBullington(Path{
		DistM: []float64{0, 2e3, 5e3, 8e3, 10e3}, GroundM: []float64{0, 30, 0, 30, 0},
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: math.Inf(1), FreqHz: 868e6,
	})
	check.At(t, "edge", "two hills", got.EdgeAtM, 5000, 1e-9)
	want := Edge{50, 5000, 5000, radio.SpeedOfLightMS / 868e6}.Nu()
	check.At(t, "ν", "two hills", got.Nu, want, 1e-12)
}

// A point exactly on the ray gives ν = 0, and J(0) through eq 21.
func TestBullingtonTouchingRay(t *testing.T) {
	got := deltaBullington(Path{
		DistM: []float64{0, 300, 600, 1000}, GroundM: []float64{0, -5, 10, 0},
		AHeightM: 10, BHeightM: 10, EffectiveRadiusM: math.Inf(1), FreqHz: 868e6,
	})
	if got.Nu != 0 || got.EdgeAtM != 600 {
		t.Errorf("ν %g at %g m, want 0 at 600 m", got.Nu, got.EdgeAtM)
	}
	uc := 6.033 // J(0), eq 31
	check.At(t, "L_bulla", "touching", float64(got.BullingtonDB), uc+(1-math.Exp(-uc/6))*10.02, 0.002)
}

// An edge one step of floating point away from an end: d b/(a+b) rounds to the
// end itself, the reported edge must not.
func TestBullingtonEdgeStaysInside(t *testing.T) {
	for n := range 500 {
		d := 1000 + 613.7*float64(n)
		for _, x := range []float64{math.Nextafter(d, 0), 1e-12} {
			got := deltaBullington(Path{
				DistM: []float64{0, x, d}, GroundM: []float64{0, 50, 0}, AHeightM: 10, BHeightM: 10,
				EffectiveRadiusM: 8.5e6, FreqHz: 868e6,
			})
			if !(got.EdgeAtM > 0 && got.EdgeAtM < d) || !(got.Nu > 0) || math.IsInf(got.Nu, 0) {
				t.Errorf("point at %g of %g m: edge at %g m, ν %g", x, d, got.EdgeAtM, got.Nu)
			}
		}
	}
}

// The two points beside each maximum must hold what a look at every point finds.
func TestSmoothBullingtonAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dist := []float64{0}
		step := math.Pow(10, rapid.Float64Range(0, 4).Draw(t, "log step"))
		for _, part := range rapid.SliceOfN(rapid.Float64Range(0.01, 1), 2, 60).Draw(t, "parts") {
			dist = append(dist, dist[len(dist)-1]+step*part)
		}
		d := dist[len(dist)-1]
		hA := math.Pow(10, rapid.Float64Range(-1, 3).Draw(t, "log hA"))
		hB := math.Pow(10, rapid.Float64Range(-1, 3).Draw(t, "log hB"))
		const wavelengthM = 0.3454
		radiusM := rapid.SampledFrom([]float64{8.5e6, 4e6, math.Inf(1)}).Draw(t, "a")

		tanA, tanB, nu := math.Inf(-1), math.Inf(-1), math.Inf(-1)
		for _, x := range dist[1 : len(dist)-1] {
			y := d - x
			q := x*y/(2*radiusM) - (hA*y+hB*x)/d
			tanA, tanB = max(tanA, q/x), max(tanB, q/y)
			nu = max(nu, q*math.Sqrt(2*d/(wavelengthM*x*y)))
		}
		if tanA >= 0 {
			at := tanB * d / (tanA + tanB)
			nu = tanA * at * math.Sqrt(2*d/(wavelengthM*at*(d-at)))
			if tanA == 0 {
				nu = 0
			}
		}
		got := smoothBullington(dist, hA, hB, radiusM, wavelengthM)
		if !(math.Abs(got.nu-nu) <= 1e-9*(1+math.Abs(nu))) || got.lineOfSight != (tanA < 0) {
			t.Errorf("ν = %.12g, sight %v; every point gives %.12g, %v", got.nu, got.lineOfSight, nu, tanA < 0)
		}
	})
}
