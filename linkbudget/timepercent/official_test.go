package timepercent_test

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/timepercent"
)

// The official data of ITU-R P.1812-6 and P.452-18 used this speed of light, and 92.4 for
// the constant of free space.
const officialSpeedMS = 2.998e8

const toleranceDB = 0.01

// freeSpace is eq (8) with its rounded constant.
func freeSpace(fGHz, distM, aM, bM float64) radio.DB {
	return radio.DB(92.4 + 20*math.Log10(fGHz) + 20*math.Log10(radio.SlantM(distM, aM, bM)/1e3))
}

// gathered is a path whose ground the running engine has walked.
func gathered(p *diffraction.Path) (*diffraction.Relief, diffraction.Loss) {
	var (
		r diffraction.Relief
		d diffraction.Loss
	)
	r.Gather(p, diffraction.TerrainError{})
	r.DeltaBullington(&d, p)
	return &r, d
}

// Every case of the official P.1812-6 results, every column between the profile and the loss.
func TestOfficialP1812(t *testing.T) {
	worst := official.Worst{}
	cases := official.P1812(t)
	for _, c := range cases {
		v := func(name string) float64 {
			x, ok := c.Value[name]
			if !ok {
				t.Fatalf("%s: no value %q", c.Name, name)
			}
			return x
		}
		ground := diffraction.Path{
			DistM: c.DistM, GroundM: c.GroundM, ClutterM: c.ClutterM, AHeightM: v("htg (m)"), BHeightM: v("hrg (m)"),
			EffectiveRadiusM: radio.EffectiveRadiusM(157 / (157 - v("DN"))), FreqHz: 1e9 * v("f (GHz)"),
			SpeedMS: officialSpeedMS, SeaFraction: v("w"), Polarisation: radio.Vertical,
		}
		if v("pol") == 1 {
			ground.Polarisation = radio.Horizontal
		}
		relief, d := gathered(&ground)
		p := timepercent.Path{
			FreeSpaceDB: freeSpace(v("f (GHz)"), 1e3*v("d (km)"), v("hts (m)"), v("hrs (m)")),
			Region: timepercent.Region{
				LatDeg: v("phi (deg)"), LandM: 1e3 * v("dtm (km)"), InlandM: 1e3 * v("dlm (km)"), SeaFraction: v("w"),
				ACoastM: 1e3 * v("dct (km)"), BCoastM: 1e3 * v("dcr (km)"),
			},
		}
		p.Over(relief, &ground, d.LossDB)
		p.ScatterDB = diffraction.Troposcatter{
			DistM: p.DistM, FreqHz: p.FreqHz, EffectiveRadiusM: p.EffectiveRadiusM,
			AHorizonRad: p.Horizons.ARad, BHorizonRad: p.Horizons.BRad, SurfaceRefractivity: v("N0"),
		}.Loss()
		course := p.Course()
		got := course.At(v("p (%)"))
		check := func(name string, got float64) { worst.Check(t, c.Name, name, got, v(name), toleranceDB) }
		check("ae (km)", p.EffectiveRadiusM/1e3)
		check("dlt (km)", p.Horizons.AM/1e3)
		check("dlr (km)", p.Horizons.BM/1e3)
		check("th_t (mrad)", 1e3*p.Horizons.ARad)
		check("th_r (mrad)", 1e3*p.Horizons.BRad)
		check("th (mrad)", 1e3*p.Horizons.AngleRad(p.DistM, p.EffectiveRadiusM))
		check("b0 (%)", p.BetaPercent())
		check("hte (m)", p.SmoothAM)
		check("hre (m)", p.SmoothBM)
		check("hm (m)", p.RoughM)
		check("Fi", got.Interpolation)
		check("Fj", got.Slope)
		check("Fk", got.Distance)
		check("Lbfs", float64(p.FreeSpaceDB))
		check("Lb0p", float64(got.FreeP))
		check("Lb0b", float64(course.At(p.BetaPercent()).FreeP))
		check("Ld50 (dB)", float64(p.MedianDB))
		check("Ldb (dB)", float64(p.BetaDB))
		check("Ldp (dB)", float64(got.Diffraction))
		check("Lbd50 (dB)", float64(p.FreeSpaceDB+p.MedianDB))
		check("Lbd (dB)", float64(got.Diffracted))
		check("Lminb0p (dB)", float64(got.LeastP))
		check("Lba (dB)", float64(got.Ducting))
		check("Lminbap (dB)", float64(got.DuctingLeast))
		check("Lbda (dB)", float64(got.DuctingDiffracted))
		check("Lbam (dB)", float64(got.Modified))
		check("Lbs (dB)", float64(got.Scatter))
		check("Lbc (dB)", float64(got.Combined))
		check("Lb (dB)", float64(course.Loss(v("p (%)"), v("pL (%)"), radio.DB(v("sigmaL (dB)")))))
	}
	worst.Log(t, "P.1812-6 in time", len(cases))
}
