package coverage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// The doubt that comes from the terrain is linkbudget's where one point decides: over a
// ridge of one point, in sight and behind it, on ground that rises everywhere.
func TestGroundDoubtOfOneEdge(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	a, b := linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10)
	area, err := linkbudget.NewArea(a, b, linkbudget.Environment{FreqHz: 868e6,
		Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}})
	if err != nil {
		t.Fatal(err)
	}
	s := newConstants(area, 110)
	behind, inSight := 0, 0
	for range 20000 {
		d := 500 * math.Pow(100, rng.Float64())
		x := d * (0.02 + 0.96*rng.Float64())
		q := -30 + 100*rng.Float64()                     // over the direct ray
		groundM := 110 + q - x*(d-x)*float64(s.curve[0]) // 1/(2 ae)
		p := terrain.Profile{DistM: []float64{0, x, d}, HeightM: []float64{100, groundM, 100}}
		if math.Abs(groundM-100) < diffraction.LevelGroundM {
			continue
		}
		e, err := linkbudget.Evaluate(p, a, b, area.Env)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, item := range e.Doubt.Items {
			if item.Name == "terrain" {
				want = float64(item.DB)
			}
		}
		var l lanes
		l.d[0], l.landA[0], l.landB[0] = float32(d), 1, 1
		l.xA[0], l.restA[0], l.xB[0], l.restB[0] = float32(x), float32(d-x), float32(x), float32(d-x)
		l.a[0], l.b[0] = 1, 1
		if l.nu[0] = max(float32(e.Diffraction.Nu), lowestNu); q > 0 {
			behind++
			l.a[0], l.b[0] = float32(q/x), float32(q/(d-x))
		} else {
			inSight++
		}
		if got := float64(s.groundDoubt(&l, 0, lengthDB(float32(d)))); !(math.Abs(got-want) <= 0.02+0.01*want) {
			t.Fatalf("%.0f m, ridge at %.0f m %.1f m over the ray, ν %.2f: %.3f dB, linkbudget has %.3f", d, x, q,
				e.Diffraction.Nu, got, want)
		}
	}
	if behind < 1000 || inSight < 1000 {
		t.Errorf("%d ridges behind, %d in sight: too few to say anything", behind, inSight)
	}
}

// The ceiling is troposcatter, P.1812-6 eq 44 and 63, for horizons up to 29 degrees up and
// down. Tolerance: the arctangents are good to 1.2e-5, which eq 44 takes 573 times.
func TestCeilingIsTroposcatter(t *testing.T) {
	area, err := linkbudget.NewArea(linkbudget.DefaultStation("a", 10), linkbudget.DefaultStation("b", 10),
		linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}})
	if err != nil {
		t.Fatal(err)
	}
	s, rng := newConstants(area, 110), rand.New(rand.NewPCG(4, 4))
	radiusM := radio.EffectiveRadiusM(area.Env.K)
	told := 0
	for range 20000 {
		d, loss := 1e3*math.Pow(300, rng.Float64()), 120+300*rng.Float64()
		a, b := 1.1*rng.Float64()-0.55, 1.1*rng.Float64()-0.55 // elevations as tangents
		scatter := diffraction.Troposcatter{
			DistM: d, FreqHz: area.Env.FreqHz, EffectiveRadiusM: radiusM, TimePercent: 50,
			SurfaceRefractivity: area.Env.SurfaceRefractivity, AHorizonRad: math.Atan(a), BHorizonRad: math.Atan(b),
		}.Loss()
		want := float64(diffraction.CombineTroposcatter(linkbudget.DB(loss), scatter))
		bend := d / radiusM
		got := float64(s.ceiling(float32(loss), log2(float32(d*d)), float32(bend), float32(a), float32(b+bend)))
		if !(math.Abs(got-want) <= 2*573*1.2e-5) {
			t.Fatalf("%.0f m, horizons %.4f and %.4f, %.2f dB without: %.4f dB, linkbudget has %.4f", d, a, b, loss, got, want)
		}
		if want < loss-1 {
			told++
		}
	}
	if told < 2000 {
		t.Errorf("only %d of them tell", told)
	}
}
