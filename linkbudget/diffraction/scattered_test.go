package diffraction_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// The loss of a path behind a horizon is what the formulas make of the whole path, in
// the air of the verdict and in the other: horizons by the walk over all points, and
// troposcatter combined always. It may be left out where it takes off less than half a
// thousandth of a decibel.
func TestTroposcatterIsLeftOutOnlyWhereNothingIsSeen(t *testing.T) {
	const leftOutDB, slack = 0.0005, 1e-9
	rng := rand.New(rand.NewPCG(44, 63))
	near, most := 0, 0
	for range 20000 {
		n := 3 + rng.IntN(40)
		stepM, even := math.Pow(10, 3+2.3*rng.Float64())/float64(n), rng.IntN(2) == 0
		reliefM := math.Pow(10, 1+2*rng.Float64())
		p := terrain.Profile{Flags: make([]terrain.Flag, n)}
		for i := range n {
			x := stepM * float64(i)
			if !even && i > 0 {
				x += stepM * 0.8 * rng.Float64()
			}
			p.DistM, p.HeightM = append(p.DistM, x), append(p.HeightM, reliefM*rng.Float64())
		}
		free := linkbudget.Surroundings{Inside: clutter.Free}
		a := linkbudget.Station{Name: "a", Surroundings: free, HeightM: 1 + 20*rng.Float64(), TxDBm: 14}
		b := linkbudget.Station{Name: "b", Surroundings: free, HeightM: 1 + 20*rng.Float64(), TxDBm: 14}
		env := linkbudget.Environment{FreqHz: 868e6, Modem: lora.Modem{SF: 9, BWHz: 125e3, CR: 1}, K: 4. / 3,
			PessimisticK: []float64{0.7, 4. / 3, 3}[rng.IntN(3)], SurfaceRefractivity: 325}
		r, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		lengthM := p.LengthM()
		s := diffraction.Sightline{DistM: p.DistM, GroundM: p.HeightM, AHeightM: p.HeightM[0] + a.HeightM,
			BHeightM: p.HeightM[n-1] + b.HeightM, WavelengthM: radio.WavelengthM(env.FreqHz)}
		for _, at := range []struct {
			k    float64
			loss radio.DB
		}{{env.K, r.LossDB}, {env.PessimisticK, r.PessimisticLossDB()}} {
			s.EffectiveRadiusM = at.k * radio.MeanEarthRadiusM
			d := diffraction.WalkedDeltaBullington(diffraction.Path{DistM: p.DistM, GroundM: p.HeightM, AHeightM: a.HeightM,
				BHeightM: b.HeightM, EffectiveRadiusM: s.EffectiveRadiusM, FreqHz: env.FreqHz})
			if d.LineOfSight {
				continue
			}
			by := diffraction.Troposcatter{DistM: lengthM, FreqHz: env.FreqHz, EffectiveRadiusM: s.EffectiveRadiusM}
			by.AHorizonRad, by.BHorizonRad, _, _ = s.HorizonAngles()
			without := radio.FreeSpace(radio.SlantM(lengthM, s.AHeightM, s.BHeightM), env.FreqHz) + d.LossDB
			want := diffraction.CombineTroposcatter(without, by.Loss())
			if off := without - want; off > 0.4*leftOutDB && off < 4*leftOutDB {
				near++
			} else if off >= 1 {
				most++
			}
			if left := at.loss - want; !(left >= -slack && left <= leftOutDB+slack) {
				t.Fatalf("%d points over %.0f m, k %.2f: %.6f dB, by formulas %.6f dB, %.6f dB without scatter", n, lengthM, at.k,
					at.loss, want, without)
			}
		}
	}
	if near < 100 || most < 100 {
		t.Errorf("%d paths on which it nearly tells, %d on which it decides: too few to say anything", near, most)
	}
}
