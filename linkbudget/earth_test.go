package linkbudget

import (
	"math"
	"testing"
)

func TestEffectiveRadiusPublished(t *testing.T) {
	// 3a ITU-R P.1812-6 validation (a_e of every file), 3b P.452-18 validation
	// flat_land_5km; published. DN is the lapse rate, minus the gradient.
	near(t, "3a DN 45", EffectiveRadiusM(KFactor(-45)), 8930776.786, 0.01)
	near(t, "3b DN 42.53126", EffectiveRadiusM(KFactor(-42.53126)), 8738167.287, 1)
	// P.452-18 validation flat_land_100km, column ae for its DN; published.
	near(t, "DN 42.496465", EffectiveRadiusM(KFactor(-42.496465)), 8735511.968, 0.1)
}

func TestKFactor(t *testing.T) {
	near(t, "3g dN/dh -39 (computed)", KFactor(-39), 1.3305, 1e-3)
	near(t, "super-refraction -100, k 2.75 (reference text)", KFactor(-100), 2.75, 0.005)
	near(t, "no gradient", KFactor(0), KConservative, 0)
	// 3g: the mean atmosphere 315 exp(-h/7.35 km) of P.453 (from memory) falls
	// by 40.07 N in the first km; that is the air KMedian stands for.
	fall := 315 * (1 - math.Exp(-1/7.35))
	near(t, "3g fall of the mean atmosphere", fall, 40.07, 0.005)
	near(t, "mean atmosphere", KFactor(-fall), KMedian, 0.01)
	near(t, "KSubRefraction gradient", KFactor(78.5), KSubRefraction, 1e-12)
	if k := KFactor(-157); !math.IsInf(k, 1) {
		t.Errorf("KFactor(-157) = %g, want +Inf: the ray follows the earth", k)
	}
	if k := KFactor(-200); !(k < 0) {
		t.Errorf("KFactor(-200) = %g, want negative: a duct", k)
	}
}

func TestBulge(t *testing.T) {
	// 3c, 3d: computed from d1 d2/(2 k a).
	for _, row := range []struct {
		name          string
		distM, radius float64
		want          float64
	}{
		{"3c 20 km, k 4/3", 20e3, EffectiveRadiusM(KMedian), 5.886},
		{"3c 20 km, k 1", 20e3, EffectiveRadiusM(KConservative), 7.848},
		{"3c 20 km, k 0.67", 20e3, EffectiveRadiusM(0.67), 11.714},
		{"3d 50 km, ae 8500 km", 50e3, 8500e3, 36.765},
		{"flat earth", 50e3, math.Inf(1), 0},
	} {
		near(t, row.name, BulgeM(row.distM/2, row.distM/2, row.radius), row.want, 0.001)
	}
	// The rule of thumb 0.0784 d1 d2/k (m, km) of the same reference.
	near(t, "rule of thumb", BulgeM(3e3, 7e3, EffectiveRadiusM(KMedian)), 0.0784*3*7/KMedian, 0.002)
}

func TestHorizon(t *testing.T) {
	// 3e, 3f: computed from sqrt(2 k a h).
	near(t, "3e k 4/3", HorizonM(10, EffectiveRadiusM(KMedian)), 13034, 1)
	near(t, "3e k 1", HorizonM(10, EffectiveRadiusM(KConservative)), 11288, 1)
	near(t, "3e k 0.67", HorizonM(10, EffectiveRadiusM(0.67)), 9240, 1)
	near(t, "3f line of sight 10 m + 10 m", LineOfSightM(10, 10, 8500e3), 26077, 1)
	near(t, "4.12 sqrt(h)", HorizonM(25, 8500e3), 4120*5, 20)
	near(t, "below ground", HorizonM(-1, 8500e3), 0, 0)
	// At the horizon the earth has risen under the chord so far that the
	// tangent from the antenna touches it: h = d^2/(2 ae), exactly.
	d := HorizonM(37, 8500e3)
	near(t, "tangent", d*d/(2*8500e3), 37, 1e-9)
}

func TestHalfCurvatureDefault(t *testing.T) {
	near(t, "0 means k = 4/3", halfCurvature(0), halfCurvature(EffectiveRadiusM(KMedian)), 0)
	near(t, "flat", halfCurvature(math.Inf(1)), 0, 0)
}
