package diffraction

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The relief answers by blocks what skyline, Sightline and FitGround
// answer by a walk over all points: these are the plain forms held against it.

func gathered(p *Path) *Relief {
	r := new(Relief)
	r.Gather(p, TerrainError{SigmaM: 6, CorrelationM: 500})
	return r
}

// deltaBullington is the diffraction over a path, by the engine of Evaluate.
func deltaBullington(p Path) Loss {
	d, _ := gathered(&p).diffractionOf(&p)
	p.Complete(&d)
	return d
}

func sightlineOf(p *Path) Sightline {
	last := len(p.DistM) - 1
	return Sightline{
		DistM: p.DistM, GroundM: p.GroundM, ClutterM: p.ClutterM,
		AHeightM: p.GroundM[0] + p.AHeightM, BHeightM: p.GroundM[last] + p.BHeightM,
		EffectiveRadiusM: p.EffectiveRadiusM, WavelengthM: p.wavelengthM(),
	}
}

// alike compares within rounding: heights above a ray between points some
// kilometres up have 1e-12 m.
func alike(got, want float64) bool { return math.Abs(got-want) <= 1e-7*(1+math.Abs(want)) }

func TestReliefDiffraction(t *testing.T) {
	var inSight, blocked int
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		want, got := walkedDeltaBullington(p), deltaBullington(p)
		for _, v := range [...]struct {
			name      string
			got, want float64
		}{
			{"L_bulla", float64(got.BullingtonDB), float64(want.BullingtonDB)},
			{"L_bulls", float64(got.SmoothDB), float64(want.SmoothDB)},
			{"L_dsph", float64(got.SphericalDB), float64(want.SphericalDB)},
			{"L_d", float64(got.LossDB), float64(want.LossDB)},
			{"ν", got.Nu, want.Nu},
			{"h_te", got.EffectiveAM, want.EffectiveAM}, {"h_re", got.EffectiveBM, want.EffectiveBM},
			{"h_std", got.SmoothAM, want.SmoothAM}, {"h_srd", got.SmoothBM, want.SmoothBM},
		} {
			if !alike(v.got, v.want) {
				t.Errorf("%s = %.12g, by the walk %.12g", v.name, v.got, v.want)
			}
		}
		if got.LineOfSight != want.LineOfSight {
			t.Errorf("line of sight %v, by the walk %v", got.LineOfSight, want.LineOfSight)
		}
		if want.LineOfSight {
			inSight++
		} else {
			blocked++
		}
	})
	if inSight == 0 || blocked == 0 {
		t.Errorf("%d paths in sight and %d blocked: both must be drawn", inSight, blocked)
	}
}

// Other air, one after the other over one relief, whose seeds then come from another
// question.
func TestReliefLossInOtherAir(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r := gathered(&p)
		r.diffractionOf(&p)
		for range 4 {
			changed := p
			changed.EffectiveRadiusM = rapid.SampledFrom([]float64{p.EffectiveRadiusM, 4.2e6, math.Inf(1)}).Draw(t, "other a")
			want := walkedDeltaBullington(changed)
			got, _, blocked := r.LossOver(&p, changed.EffectiveRadiusM)
			// At the touch of the ray, ν = 0, rounding may say either.
			touches := math.Abs(want.Nu) < 1e-4
			if !alike(float64(got), float64(want.LossDB)) || blocked == want.LineOfSight && !touches {
				t.Fatalf("a = %g m: %.12g dB, blocked %v; by the walk %.12g dB, sight %v",
					changed.EffectiveRadiusM, got, blocked, want.LossDB, want.LineOfSight)
			}
		}
	})
}

// The least clearance, with any part of both ends left out.
func TestReliefWorst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		s := sightlineOf(&p)
		r := gathered(&p)
		if rapid.Bool().Draw(t, "after diffraction") {
			r.diffractionOf(&p)
		}
		for range 3 {
			skipM := rapid.Float64Range(0, 0.5).Draw(t, "skip") * r.lengthM
			want, wantOK := s.Worst(skipM)
			got, ok := r.worstOf(&s, skipM)
			if ok != wantOK || !alike(got.Fraction, want.Fraction) {
				t.Fatalf("skipping %g m: %+v, %v; by the walk %+v, %v", skipM, got, ok, want, wantOK)
			}
			other := s
			other.EffectiveRadiusM = rapid.SampledFrom([]float64{s.EffectiveRadiusM, 4.2e6, 8.5e6, math.Inf(1)}).Draw(t,
				"other a")
			class := PathClear
			if least, ok := other.Worst(skipM); ok {
				class = Classify(least.Fraction)
				if math.Abs(least.Fraction) < 1e-9 || math.Abs(least.Fraction-ClearFraction) < 1e-9 {
					continue // rounding may say either
				}
			}
			if got := r.Class(&other, skipM); got != class {
				t.Fatalf("skipping %g m, a = %g m: %s, by the walk %s", skipM, other.EffectiveRadiusM, got, class)
			}
		}
	})
}

// The same runs of points, with the same worst point each.
func TestReliefObstacles(t *testing.T) {
	most := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		s := sightlineOf(&p)
		skipM := rapid.Float64Range(0, 0.3).Draw(t, "skip") * p.DistM[len(p.DistM)-1]
		for i := 1; i < len(s.DistM)-1; i++ {
			if c := s.At(i); math.Abs(c.ClearanceM) < 1e-9*(1+math.Abs(c.GroundM)) {
				return // touches the ray: rounding may say either
			}
		}
		got, want := gathered(&p).Obstacles(&s, skipM), s.obstacles(skipM)
		most = max(most, len(want))
		for i := range min(len(got), len(want)) {
			if got[i].FromM != want[i].FromM || got[i].ToM != want[i].ToM ||
				!alike(got[i].Worst.Fraction, want[i].Worst.Fraction) {
				t.Fatalf("obstacle %d: %+v, by the walk %+v", i, got[i], want[i])
			}
		}
		if len(got) != len(want) {
			t.Fatalf("%d obstacles, by the walk %d", len(got), len(want))
		}
	})
	if most < 4 {
		t.Errorf("at most %d obstacles were drawn", most)
	}
}

// The fit is the line FitGround finds, taken from the antennas.
func TestReliefFitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r := gathered(&p)
		last := len(p.GroundM) - 1
		fit := FitGround(p.DistM, p.GroundM)
		hA, hB := r.Fitted()
		wantA, wantB := p.GroundM[0]+p.AHeightM-fit.StartM, p.GroundM[last]+p.BHeightM-fit.EndM
		scale := 1e-9 * (1 + math.Abs(p.GroundM[0]) + math.Abs(r.highestM))
		if last > 1 && (!(math.Abs(hA-wantA) <= scale) || !(math.Abs(hB-wantB) <= scale)) {
			t.Fatalf("antennas %.12g and %.12g m over the fit, want %.12g and %.12g", hA, hB, wantA, wantB)
		}
	})
}

// A relief that served a long path serves a short one.
func TestReliefIsReused(t *testing.T) {
	r := new(Relief)
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r.Gather(&p, TerrainError{})
		got, _ := r.diffractionOf(&p)
		fresh, _ := gathered(&p).diffractionOf(&p)
		if got != fresh {
			t.Fatalf("%+v, from new memory %+v", got, fresh)
		}
	})
}

// A leg of the reflected way is clear exactly where the least clearance of the
// same path, cut out as one of its own, is that of a clear path.
func TestLegClear(t *testing.T) {
	var clear, not int
	rapid.Check(t, func(t *rapid.T) {
		s := drawSightline(t)
		n := len(s.DistM)
		from := rapid.IntRange(0, n-2).Draw(t, "from")
		to := rapid.IntRange(from+1, n-1).Draw(t, "to")
		skipM := rapid.Float64Range(0, 500).Draw(t, "skip")
		l := leg{s.DistM[from : to+1], s.GroundM[from : to+1], s.AHeightM, s.BHeightM}
		own := s
		own.DistM, own.GroundM, own.ClutterM = slices.Clone(l.distM), l.groundM, nil
		for i := range own.DistM {
			own.DistM[i] -= l.distM[0]
		}
		worst, ok := own.Worst(skipM)
		if ok && math.Abs(worst.Fraction-ClearFraction) < 1e-9 {
			return
		}
		want := !ok || Classify(worst.Fraction) == PathClear
		if got := l.clear(&s, skipM); got != want {
			t.Fatalf("clear %v, least clearance %+v", got, worst)
		}
		if want {
			clear++
		} else {
			not++
		}
	})
	if clear == 0 || not == 0 {
		t.Errorf("%d clear legs and %d others: both must be drawn", clear, not)
	}
}

// The closed form of the ground's error against both antennas, held against the
// variance of a correlated field less the line between its values at the ends: the
// product of a row of weights with the matrix of correlations.
func TestGroundErrorAgainstTheField(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := TerrainError{SigmaM: 1, CorrelationM: rapid.Float64Range(10, 5000).Draw(t, "correlation")}
		d := e.CorrelationM * math.Exp(rapid.Float64Range(-3, 5).Draw(t, "length"))
		x := d * rapid.Float64Range(0.001, 0.999).Draw(t, "x")
		at, weights := [3]float64{x, 0, d}, [3]float64{1, -(1 - x/d), -x / d}
		variance := 0.0
		for i := range at {
			for j := range at {
				r := math.Sqrt(3) * math.Abs(at[i]-at[j]) / e.CorrelationM
				variance += weights[i] * weights[j] * (1 + r) * math.Exp(-r)
			}
		}
		var g groundErrors
		g.mostM, g.perM = e.Form()
		if got, want := g.bound(x, d-x), math.Sqrt(max(variance, 0)); !(math.Abs(got-want) <= 0.30) {
			t.Fatalf("%g m on %g m: %g of sigma, the field has %g", x, d, got, want)
		}
	})
}

// The answers of a relief as values.

func (r *Relief) diffractionOf(p *Path) (d Loss, s Slopes) {
	s = r.DeltaBullington(&d, p)
	return d, s
}

func (r *Relief) horizonsOf(v reliefView) (a, b reliefPoint, blocked bool) {
	blocked = r.horizons(&a, &b, &v)
	return a, b, blocked
}

func (r *Relief) worstOf(s *Sightline, skipM float64) (c Clearance, ok bool) {
	ok = r.Worst(&c, s, skipM)
	return c, ok
}
