package linkbudget

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The relief answers by blocks what DeltaBullington, Sightline and FitGround
// answer by a walk over all points: these are the plain forms held against it.

func gathered(p *DiffractionPath) *relief {
	r := new(relief)
	r.gather(p, false)
	return r
}

func sightlineOf(p *DiffractionPath) Sightline {
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
		want := DeltaBullington(p)
		got, _, _ := gathered(&p).diffractionOf(&p)
		p.complete(&got)
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

// Shifted ground and other air, one after the other over one relief, whose seeds
// then come from another question.
func TestReliefLossOfChangedPaths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r := gathered(&p)
		r.diffractionOf(&p)
		for range 4 {
			upM := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(-40, 40)).Draw(t, "up")
			radiusM := rapid.SampledFrom([]float64{p.EffectiveRadiusM, 4.2e6, math.Inf(1)}).Draw(t, "other a")
			changed := p
			changed.EffectiveRadiusM = radiusM
			// Lowering both ends raises all between them.
			changed.GroundM = slices.Clone(p.GroundM)
			changed.GroundM[0] -= upM
			changed.GroundM[len(p.GroundM)-1] -= upM
			want := DeltaBullington(changed)
			got, _, blocked := r.loss(&p, radiusM, upM)
			// At the touch of the ray, ν = 0, rounding may say either.
			touches := math.Abs(want.Nu) < 1e-4
			if !alike(float64(got), float64(want.LossDB)) || blocked == want.LineOfSight && !touches {
				t.Fatalf("ground %g m up, a = %g m: %.12g dB, blocked %v; by the walk %.12g dB, sight %v", upM, radiusM, got, blocked, want.LossDB, want.LineOfSight)
			}
		}
	})
}

// Ground that is free up to a shift costs nothing at that shift nor below it.
func TestReliefFreeUpTo(t *testing.T) {
	free := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.AHeightM += rapid.Float64Range(0, 300).Draw(t, "more A")
		p.BHeightM += rapid.Float64Range(0, 300).Draw(t, "more B")
		upM := rapid.Float64Range(-20, 40).Draw(t, "up")
		if !gathered(&p).freeUpTo(&p, upM) {
			return
		}
		free++
		for range 3 {
			lessM := upM - rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 60)).Draw(t, "less")
			changed := p
			changed.GroundM = slices.Clone(p.GroundM)
			changed.GroundM[0] -= lessM
			changed.GroundM[len(p.GroundM)-1] -= lessM
			if loss := DeltaBullington(changed).LossDB; loss != 0 {
				t.Fatalf("free up to %g m, and %g dB at %g m", upM, loss, lessM)
			}
		}
	})
	if free == 0 {
		t.Error("no free path was drawn")
	}
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
			other.EffectiveRadiusM = rapid.SampledFrom([]float64{s.EffectiveRadiusM, 4.2e6, 8.5e6, math.Inf(1)}).Draw(t, "other a")
			class := PathClear
			if least, ok := other.Worst(skipM); ok {
				class = Classify(least.Fraction)
				if math.Abs(least.Fraction) < 1e-9 || math.Abs(least.Fraction-clearFraction) < 1e-9 {
					continue // rounding may say either
				}
			}
			if got := r.class(&other, skipM); got != class {
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
		got, want := gathered(&p).obstacles(&s, skipM), s.Obstacles(skipM)
		most = max(most, len(want))
		for i := range min(len(got), len(want)) {
			if got[i].FromM != want[i].FromM || got[i].ToM != want[i].ToM || !alike(got[i].Worst.Fraction, want[i].Worst.Fraction) {
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

// Behind an obstacle on bare ground the points that decide the edge are the
// horizons.
func TestReliefHorizons(t *testing.T) {
	blocked := 0
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		p.ClutterM = nil
		s := sightlineOf(&p)
		d, a, b := gathered(&p).diffractionOf(&p)
		if d.LineOfSight || d.Nu == 0 {
			return // a point that just touches the ray is no horizon by more than rounding
		}
		blocked++
		check := func(s Sightline, a, b reliefPoint) {
			gotA, gotB := s.horizonRises(slopes{a.qM / a.xM, b.qM / b.yM})
			aRad, bRad, _, _ := s.HorizonAngles()
			if !alike(math.Atan(gotA), aRad) || !alike(math.Atan(gotB), bRad) {
				t.Fatalf("a = %g m: horizons rise %g and %g, by the walk %g and %g rad", s.EffectiveRadiusM, gotA, gotB, aRad, bRad)
			}
		}
		check(s, a, b)
		// Less radius, more bulge: blocked there too.
		r := gathered(&p)
		r.diffractionOf(&p)
		s.EffectiveRadiusM = 3.9e6
		a, b, _ = r.horizonsOf(s.reliefView())
		check(s, a, b)
	})
	if blocked == 0 {
		t.Error("no blocked path was drawn")
	}
}

// The fit to shifted ground is the line FitGround finds with both ends lowered,
// taken from the antennas, which go down with the ends.
func TestReliefFitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r := gathered(&p)
		upM := rapid.Float64Range(-40, 40).Draw(t, "up")
		ground := slices.Clone(p.GroundM)
		last := len(ground) - 1
		ground[0] -= upM
		ground[last] -= upM
		fit := FitGround(p.DistM, ground)
		hA, hB := r.fitted(upM)
		wantA, wantB := ground[0]+p.AHeightM-fit.StartM, ground[last]+p.BHeightM-fit.EndM
		scale := 1e-9 * (1 + math.Abs(p.GroundM[0]) + math.Abs(r.highestM))
		if len(ground) > 2 && (!(math.Abs(hA-wantA) <= scale) || !(math.Abs(hB-wantB) <= scale)) {
			t.Fatalf("antennas %.12g and %.12g m over the fit, want %.12g and %.12g", hA, hB, wantA, wantB)
		}
	})
}

// The stretch above a limit, point by point in Fresnel radii.
func TestReliefStretchAbove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		s := sightlineOf(&p)
		r := gathered(&p)
		upM, nu := rapid.Float64Range(0, 30).Draw(t, "up"), rapid.Float64Range(-5, 1).Draw(t, "ν")
		got := r.stretchAbove(reliefView{curve: halfCurvature(s.EffectiveRadiusM), upM: upM}, r.closenessOfNu(nu, s.WavelengthM))
		// A point within rounding of the limit may fall to either side.
		var least, most float64
		for i := 1; i < len(s.DistM)-1; i++ {
			c := s.At(i)
			above := math.Sqrt2*(upM-c.ClearanceM)/c.RadiusM - nu
			part := (s.DistM[i+1] - s.DistM[i-1]) / 2
			if above > 1e-6*(1+math.Abs(nu)) {
				least += part
			}
			if above > -1e-6*(1+math.Abs(nu)) {
				most += part
			}
		}
		if !(got >= least*(1-1e-9) && got <= most*(1+1e-9)) {
			t.Fatalf("%g m above, point by point %g to %g", got, least, most)
		}
	})
}

// A relief that served a long path serves a short one.
func TestReliefIsReused(t *testing.T) {
	r := new(relief)
	rapid.Check(t, func(t *rapid.T) {
		p := drawDiffractionPath(t)
		r.gather(&p, false)
		got, _, _ := r.diffractionOf(&p)
		fresh, _, _ := gathered(&p).diffractionOf(&p)
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
		if ok && math.Abs(worst.Fraction-clearFraction) < 1e-9 {
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

// The covariance of errors against the line between the ends, as the product of
// two rows of weights with the matrix of correlations.
func TestErrorCovariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := TerrainError{SigmaM: 1, CorrelationM: rapid.Float64Range(10, 5000).Draw(t, "correlation")}
		d := rapid.Float64Range(100, 50e3).Draw(t, "length")
		x, y := d*rapid.Float64Range(0, 1).Draw(t, "x"), d*rapid.Float64Range(0, 1).Draw(t, "y")
		at := [4]float64{x, y, 0, d}
		weights := [2][4]float64{{1, 0, -(1 - x/d), -x / d}, {0, 1, -(1 - y/d), -y / d}}
		want := 0.0
		for i := range at {
			for j := range at {
				want += weights[0][i] * weights[1][j] * math.Exp(-math.Abs(at[i]-at[j])/e.CorrelationM)
			}
		}
		atX, atY, xy := e.places(min(x, y), max(x, y), d)
		got := atX.covariance(atY, xy, e.correlation(d))
		if !(math.Abs(got-want) <= 1e-12) {
			t.Fatalf("covariance %g, want %g", got, want)
		}
	})
}

// The answers of a relief as values.

func (r *relief) diffractionOf(p *DiffractionPath) (d Diffraction, a, b reliefPoint) {
	r.diffraction(&d, &a, &b, p)
	return d, a, b
}

func (r *relief) horizonsOf(v reliefView) (a, b reliefPoint, blocked bool) {
	blocked = r.horizons(&a, &b, v)
	return a, b, blocked
}

func (r *relief) worstOf(s *Sightline, skipM float64) (c Clearance, ok bool) {
	ok = r.worst(&c, s, skipM)
	return c, ok
}
