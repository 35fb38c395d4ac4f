package reflection

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

func TestSpecularPointComputed(t *testing.T) {
	// 5p of the reference, computed: 10 km, 10/10 m, ae 8500 km. The clearance
	// in the middle, 8.529 m, is there the height over the tangent plane.
	s, ok := SpecularPath{DistM: 10e3, AHeightM: 10, BHeightM: 10, EffectiveRadiusM: 8500e3}.Point()
	if !ok {
		t.Fatal("no reflection point on a path with line of sight")
	}
	check.Near(t, "middle", s.D1M, 5000, 1e-6)
	check.Near(t, "5p clearance", (s.AHeightM*s.D2M+s.BHeightM*s.D1M)/10e3, 8.529, 0.0005)
	// 4h: D = 0.83 at 5 km, 2/2 m.
	s, ok = SpecularPath{DistM: 5e3, AHeightM: 2, BHeightM: 2, EffectiveRadiusM: 8500e3}.Point()
	if !ok {
		t.Fatal("no reflection point at 5 km, 2/2 m")
	}
	check.Near(t, "4h divergence", s.Divergence, 0.83, 0.005)
}

// 4h: near grazing D must be refused. Rows are those of reference table 4.6;
// the last one is where D is 14.6 dB wrong.
func TestRayOpticsRefusesGrazing(t *testing.T) {
	for _, row := range []struct {
		distM, aM, bM float64
		want          bool
	}{
		{1e3, 10, 2, true}, {5e3, 10, 2, true}, {10e3, 10, 10, true},
		{20e3, 30, 10, true}, {10e3, 30, 30, true}, {5e3, 2, 2, false},
	} {
		s, ok := SpecularPath{DistM: row.distM, AHeightM: row.aM, BHeightM: row.bM, EffectiveRadiusM: 8500e3}.Point()
		if !ok {
			t.Fatalf("%+v: no reflection point", row)
		}
		if got := s.RayOptics(radio.WavelengthM(868e6)); got != row.want {
			t.Errorf("%+v: RayOptics %v (D %.3f)", row, got, s.Divergence)
		}
	}
}

func drawSpecular(t *rapid.T) SpecularPath {
	p := SpecularPath{
		AHeightM:         rapid.Float64Range(0.5, 300).Draw(t, "aM"),
		BHeightM:         rapid.Float64Range(0.5, 300).Draw(t, "bM"),
		EffectiveRadiusM: radio.EffectiveRadiusM(rapid.Float64Range(0.6, 4).Draw(t, "k")),
	}
	horizon := math.Sqrt(2*p.EffectiveRadiusM*p.AHeightM) + math.Sqrt(2*p.EffectiveRadiusM*p.BHeightM)
	p.DistM = horizon * rapid.Float64Range(0.001, 0.995).Draw(t, "share of the horizon")
	return p
}

// What makes it a mirror: both rays meet the tangent plane at the same angle,
// h1'/d1 = h2'/d2, and swapping the ends mirrors the point.
func TestSpecularIsAMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSpecular(t)
		s, ok := p.Point()
		if !ok {
			t.Fatalf("%+v: no point inside line of sight", p)
		}
		in, out := s.AHeightM/s.D1M, s.BHeightM/s.D2M
		if !(math.Abs(in-out) <= 1e-6*(in+out)) {
			t.Fatalf("angles %g in, %g out", in, out)
		}
		if !(math.Abs(math.Tan(s.GrazingRad)-in) <= 1e-6*in) {
			t.Fatalf("grazing angle %g, rays rise %g", s.GrazingRad, in)
		}
		p.AHeightM, p.BHeightM = p.BHeightM, p.AHeightM
		back, _ := p.Point()
		if !(math.Abs(back.D1M-s.D2M) <= 1e-6*p.DistM && math.Abs(back.PathDiffM-s.PathDiffM) <= 1e-6*(s.PathDiffM+1e-9)) {
			t.Fatalf("%+v, ends swapped %+v", s, back)
		}
		if !(s.Divergence > 0 && s.Divergence <= 1) {
			t.Fatalf("divergence %g", s.Divergence)
		}
	})
}

func TestSpecularFlatLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSpecular(t)
		p.EffectiveRadiusM = math.Inf(1)
		s, ok := p.Point()
		// A plane mirror divides the path in the ratio of the heights.
		if want := p.DistM * p.AHeightM / (p.AHeightM + p.BHeightM); !ok || !(math.Abs(s.D1M-want) <= 1e-9*p.DistM) ||
			s.Divergence != 1 {
			t.Fatalf("flat: %+v, want the point at %g m and no divergence", s, want)
		}
	})
}

func TestSpecularNone(t *testing.T) {
	for _, p := range []SpecularPath{
		{DistM: 30e3, AHeightM: 10, BHeightM: 10, EffectiveRadiusM: 8500e3}, // horizon at 26 km, check 3f
		{DistM: 30e3, AHeightM: 10, BHeightM: 10},                           // k = 4/3
		{DistM: 1e3, AHeightM: 0, BHeightM: 10},
		{DistM: 1e3, AHeightM: 10, BHeightM: -1},
		{DistM: 0, AHeightM: 10, BHeightM: 10},
		{DistM: math.NaN(), AHeightM: 10, BHeightM: 10},
	} {
		if s, ok := p.Point(); ok {
			t.Errorf("%+v: reflection point %+v, want none", p, s)
		}
	}
}
