package timepercent_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/timepercent"
	"github.com/polereach/polereach/terrain"
)

// What P.452-18 has in common with P.1812-6: the horizons, the smooth surface, β0, focusing
// (L_b0p and L_b0β less free space), diffraction in time and ducting, the last without the
// gases. Its troposcatter has other constants (190 and 10.1) and the antennas' coupling,
// and its final loss the gases, so that neither is compared. Below 1 % of time P.1812 ends.
func TestOfficialP452(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(official.Folder(t, "p452"), "results", "test_result_*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	worst, cases := official.Worst{}, 0
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "test_result_"), ".csv")
		rows := official.Rows(t, filepath.Join(filepath.Dir(file), "..", "profiles", "test_profile_"+name+".csv"))[1:]
		var ground diffraction.Path
		ground.DistM, ground.GroundM, ground.ClutterM = official.Profile(t, rows, 2)
		length := ground.DistM[len(rows)-1]
		for i, x := range ground.DistM {
			if x < 50 || length-x < 50 {
				ground.ClutterM[i] = 0 // its own rule
			}
		}
		results := official.Rows(t, file)
		for _, row := range results[1:] {
			v := map[string]float64{}
			for i, key := range results[0] {
				if key != "profile" && key != "path" {
					v[key] = official.Number(t, row[i])
				}
			}
			if v["p (%)"] < 1 || v["f (GHz)"] > 6 {
				continue
			}
			cases++
			ground.AHeightM, ground.BHeightM = v["htg (m)"], v["hrg (m)"]
			ground.EffectiveRadiusM, ground.FreqHz = 1e3*v["ae"], 1e9*v["f (GHz)"]
			ground.SeaFraction, ground.SpeedMS, ground.Polarisation = v["omega"], officialSpeedMS, radio.Vertical
			if v["pol (1-h/2-v)"] == 1 {
				ground.Polarisation = radio.Horizontal
			}
			relief, d := gathered(&ground)
			p := timepercent.Path{
				FreeSpaceDB: freeSpace(v["f (GHz)"], length, v["hts"], v["hrs"]),
				Region: timepercent.Region{
					LatDeg: middleDeg(v), LandM: 1e3 * v["dtm"], InlandM: 1e3 * v["dlm"],
					SeaFraction: v["omega"], ACoastM: 1e3 * v["dct (km)"], BCoastM: 1e3 * v["dcr (km)"],
				},
			}
			p.Over(relief, &ground, d.LossDB)
			course := p.Course()
			got, gases := course.At(v["p (%)"]), v["Lbfsg"]-float64(p.FreeSpaceDB)
			where := name + " at " + row[1] + " GHz, " + row[2] + " %"
			check := func(name string, got float64) { worst.Check(t, where, name, got, v[name], toleranceDB) }
			check("dlt", p.Horizons.AM/1e3)
			check("dlr", p.Horizons.BM/1e3)
			check("theta_t", 1e3*p.Horizons.ARad)
			check("theta_r", 1e3*p.Horizons.BRad)
			check("theta", 1e3*p.Horizons.AngleRad(p.DistM, p.EffectiveRadiusM))
			check("hte", p.SmoothAM)
			check("hre", p.SmoothBM)
			check("hm", p.RoughM)
			check("b0", p.BetaPercent())
			check("Lb0p", float64(got.FreeP)+gases)
			check("Lb0b", float64(course.At(p.BetaPercent()).FreeP)+gases)
			check("Ldp", float64(got.Diffraction))
			check("Lba", float64(got.Ducting)+gases)
		}
	}
	worst.Log(t, "P.452-18 in common", cases)
}

// middleDeg is the latitude half the profile's length from A towards B: one set
// (cebreros_3995) has a B that lies 54 km away at the end of a profile of 4.5 km.
func middleDeg(v map[string]float64) float64 {
	a := orb.Point{v["phit_e (deg)"], v["phit_n (deg)"]}
	towards := terrain.Inverse(a, orb.Point{v["phir_e (deg)"], v["phir_n (deg)"]})
	return terrain.Destination(a, towards.AzimuthDeg, 1e3*v["dtot"]/2).Lat()
}
