package diffraction

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/linkbudget/radio"
)

// ridge is a 10 km path over level ground at 100 m with one point of 60 m more.
func ridge() Sightline {
	return Sightline{
		DistM:    []float64{0, 1000, 4000, 5000, 9000, 10000},
		GroundM:  []float64{100, 100, 100, 160, 100, 100},
		AHeightM: 110, BHeightM: 110,
		EffectiveRadiusM: 8500e3, WavelengthM: radio.WavelengthM(868e6),
	}
}

func TestClearanceAt(t *testing.T) {
	// By hand: bulge 5000^2/(2*8.5e6) = 1.4706 m; line 110 m; F1 29.385 m
	// (check 2b); clearance 110-160-1.4706 = -51.4706 m.
	c := ridge().At(3)
	if c.Index != 3 || c.AtM != 5000 || c.GroundM != 160 {
		t.Errorf("place of the point: %+v", c)
	}
	check.Near(t, "bulge", c.BulgeM, 1.4706, 0.0001)
	check.Near(t, "line", c.LineM, 110, 1e-12)
	check.Near(t, "F1", c.RadiusM, 29.385, 0.001)
	check.Near(t, "clearance", c.ClearanceM, -51.4706, 0.0001)
	check.Near(t, "fraction", c.Fraction, -51.4706/29.385, 0.0001)

	// Clutter counts like ground, and the line slopes with the antennas.
	s := ridge()
	s.BHeightM = 210
	s.ClutterM = []float64{0, 0, 0, 7, 0, 0}
	c = s.At(3)
	check.Near(t, "sloping line", c.LineM, 160, 1e-12)
	check.Near(t, "clearance under clutter", c.ClearanceM, 160-167-1.4706, 0.0001)

	end := ridge().At(0)
	check.Near(t, "end: antenna height", end.ClearanceM, 10, 1e-12)
	check.Near(t, "end: fraction", end.Fraction, 0, 0)
}

func TestWorst(t *testing.T) {
	worst, ok := ridge().Worst(50)
	if !ok || worst.Index != 3 {
		t.Errorf("Worst = %+v, %v; want point 3", worst, ok)
	}
	// Skipping 5 km at both ends leaves nothing: farther than, not as far as.
	if c, ok := ridge().Worst(5000); ok {
		t.Errorf("Worst(5000) = %+v, want none", c)
	}
	for name, s := range map[string]Sightline{
		"empty":       {},
		"one point":   {DistM: []float64{0}, GroundM: []float64{0}},
		"ends only":   {DistM: []float64{0, 10}, GroundM: []float64{0, 0}},
		"no length":   {DistM: []float64{0, 0, 0}, GroundM: []float64{0, 0, 0}},
		"twice start": {DistM: []float64{0, 0, 10}, GroundM: []float64{0, 0, 0}},
	} {
		if c, ok := s.Worst(0); ok {
			t.Errorf("%s: Worst = %+v, want none", name, c)
		}
		if o := s.obstacles(-1); o != nil {
			t.Errorf("%s: Obstacles = %+v, want nil", name, o)
		}
	}
}

func TestSightlineLengthsPanic(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("slices of different lengths passed")
		}
	}()
	s := ridge()
	s.GroundM = s.GroundM[:4]
	s.Worst(0)
}

// drawSightline draws a path with irregular points and rough ground.
func drawSightline(t *rapid.T) Sightline {
	n := rapid.IntRange(3, 60).Draw(t, "points")
	// Mountains, and a plain where the curvature of the earth decides.
	relief := rapid.SampledFrom([]float64{900, 2}).Draw(t, "reliefM")
	s := Sightline{
		DistM: make([]float64, n), GroundM: make([]float64, n),
		EffectiveRadiusM: radio.EffectiveRadiusM(rapid.Float64Range(0.6, 4).Draw(t, "k")),
		WavelengthM:      radio.WavelengthM(rapid.Float64Range(100e6, 2.5e9).Draw(t, "freqHz")),
	}
	for i := range s.DistM {
		if i > 0 {
			s.DistM[i] = s.DistM[i-1] + rapid.Float64Range(1, 2000).Draw(t, "stepM")
		}
		s.GroundM[i] = rapid.Float64Range(-50, relief-50).Draw(t, "groundM")
	}
	if rapid.Bool().Draw(t, "clutter") {
		s.ClutterM = make([]float64, n)
		for i := range s.ClutterM {
			s.ClutterM[i] = rapid.Float64Range(0, 30).Draw(t, "clutterM")
		}
	}
	s.AHeightM = s.GroundM[0] + rapid.Float64Range(1, 500).Draw(t, "aM")
	s.BHeightM = s.GroundM[n-1] + rapid.Float64Range(1, 500).Draw(t, "bM")
	return s
}

// reversed is the same path seen from the other end.
func (s Sightline) reversed() Sightline {
	n := len(s.DistM)
	r := s
	r.DistM, r.GroundM = make([]float64, n), make([]float64, n)
	if s.ClutterM != nil {
		r.ClutterM = make([]float64, n)
	}
	for i := range n {
		r.DistM[i] = s.DistM[n-1] - s.DistM[n-1-i]
		r.GroundM[i] = s.GroundM[n-1-i]
		if s.ClutterM != nil {
			r.ClutterM[i] = s.ClutterM[n-1-i]
		}
	}
	r.AHeightM, r.BHeightM = s.BHeightM, s.AHeightM
	return r
}

// The pass without roots must find what looking at every point finds.
func TestWorstAgainstEveryPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSightline(t)
		skipM := rapid.Float64Range(0, 2000).Draw(t, "skipM")
		last := len(s.DistM) - 1
		least, any := math.Inf(1), false
		for i := 1; i < last; i++ {
			d1, d := s.DistM[i], s.DistM[last]
			if !(d1 > skipM && d-d1 > skipM) {
				continue
			}
			any = true
			// Written out once more from section 2 of the reference, in km.
			line := s.AHeightM + (s.BHeightM-s.AHeightM)*d1/d
			bulge := 500 * d1 / 1e3 * (d - d1) / 1e3 / (s.EffectiveRadiusM / 1e3)
			top := s.GroundM[i]
			if s.ClutterM != nil {
				top += s.ClutterM[i]
			}
			f1 := math.Sqrt(s.WavelengthM * d1 * (d - d1) / d)
			least = math.Min(least, (line-top-bulge)/f1)
		}
		worst, ok := s.Worst(skipM)
		if ok != any {
			t.Fatalf("Worst says %v, want %v", ok, any)
		}
		if ok && !(math.Abs(worst.Fraction-least) <= 1e-9*math.Max(1, math.Abs(least))) {
			t.Fatalf("worst fraction %g, want %g", worst.Fraction, least)
		}
		back, ok := s.reversed().Worst(skipM)
		if ok && !(math.Abs(worst.Fraction-back.Fraction) <= 1e-7*math.Max(1, math.Abs(least))) {
			t.Fatalf("worst fraction %g, seen from B %g", worst.Fraction, back.Fraction)
		}
	})
}

// longPath has as many points as a 30 km path at one arc second.
func longPath() Sightline {
	const n = 1500
	s := Sightline{
		DistM: make([]float64, n), GroundM: make([]float64, n),
		AHeightM: 420, BHeightM: 430, EffectiveRadiusM: 8500e3, WavelengthM: 0.345,
	}
	for i := range s.DistM {
		s.DistM[i] = 20 * float64(i)
		s.GroundM[i] = 200 + 80*math.Sin(float64(i)/70) + 20*math.Sin(float64(i)/7)
	}
	return s
}

func TestSightlineAllocatesNothing(t *testing.T) {
	s := longPath()
	if len(s.obstacles(50)) != 0 {
		t.Fatal("the path of this test must be clear")
	}
	if n := testing.AllocsPerRun(10, func() {
		s.Worst(50)
		s.obstacles(50)
		s.HorizonAngles()
	}); n != 0 {
		t.Errorf("%g allocations, want none", n)
	}
}

func BenchmarkWorst(b *testing.B) {
	s := longPath()
	for b.Loop() {
		s.Worst(50)
	}
}

func BenchmarkWorstClutter(b *testing.B) {
	s := longPath()
	s.ClutterM = make([]float64, len(s.DistM))
	for b.Loop() {
		s.Worst(50)
	}
}
