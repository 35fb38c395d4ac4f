package linkbudget

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/official"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Official ITU-R validation data: the delta-Bullington examples of Study Group 3,
// and the profiles and results of P.1812-6 and P.452-18. They stay outside the
// repository. Everything must agree within 0.01 dB; the worst difference of each
// set is logged.
const ituToleranceDB = 0.01

// officialSpeedMS is the speed of light behind the P.1812 and P.452 data.
const officialSpeedMS = 2.998e8

// ituProfile turns rows of d (km), h (m) and perhaps clutter height (m) in
// column clutter into a path; clutter < 0: none.
func ituProfile(t *testing.T, rows [][]string, clutter int) (p diffraction.Path) {
	t.Helper()
	p.DistM, p.GroundM, p.ClutterM = official.Profile(t, rows, clutter)
	return p
}

// byEngine is the diffraction over a path as Evaluate finds it once it has the profile.
func byEngine(p diffraction.Path) (d diffraction.Loss) {
	var r diffraction.Relief
	r.Gather(&p, diffraction.TerrainError{})
	r.DeltaBullington(&d, &p)
	p.Complete(&d)
	return d
}

// ituEvaluate is what Evaluate makes of the path, from the profile to the result: false
// for what it does not take: other frequencies, sea, antennas on the ground or over 300 m.
func ituEvaluate(t *testing.T, p diffraction.Path) (diffraction.Loss, bool) {
	t.Helper()
	freqHz := p.FreqHz * radio.SpeedOfLightMS / p.SpeedMS // of the same wavelength
	if freqHz < radio.MinFreqHz || freqHz > radio.MaxFreqHz || p.SeaFraction > 0 || math.Abs(freqHz/p.FreqHz-1) > 1e-3 {
		return diffraction.Loss{}, false
	}
	if lo, hi := min(p.AHeightM, p.BHeightM), max(p.AHeightM, p.BHeightM); lo <= 0 || hi > MaxAntennaHeightM {
		return diffraction.Loss{}, false
	}
	profile := terrain.Profile{DistM: p.DistM, HeightM: p.GroundM}
	for _, h := range p.ClutterM { // the heights are of all classes; within 50 m of an end there are none
		s := terrain.Standing{Class: terrain.CoverOpen}
		if h > 0 {
			s = terrain.Standing{Class: terrain.CoverUrban, HeightM: float32(h)}
		}
		profile.Standing = append(profile.Standing, s)
	}
	modem := Modem{SF: 9, BWHz: 125e3, CR: 1}
	env := Environment{FreqHz: freqHz, Modem: modem, K: p.EffectiveRadiusM / radio.MeanEarthRadiusM, BareEarth: true}
	free := Surroundings{Inside: clutter.Free}
	a := Station{Name: "a", HeightM: p.AHeightM, Polarisation: p.Polarisation, Surroundings: free}
	b := Station{Name: "b", HeightM: p.BHeightM, Polarisation: p.Polarisation, Surroundings: free}
	r, err := Evaluate(profile, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	return r.Diffraction, true
}

// Rows 5f-5j and their fellows. c = 3.0e8 m/s, land, H, a_e 8500 km.
func TestITUDeltaBullingtonExamples(t *testing.T) {
	dir := official.Folder(t, "delta_bullington")
	worst, whole, evaluated := official.Worst{}, official.Worst{}, 0
	rows := official.Rows(t, filepath.Join(dir, "cases.csv"))[1:]
	for _, row := range rows {
		profile := official.Rows(t, filepath.Join(dir, "path"+row[1]+"_profile.csv"))[1:]
		p := ituProfile(t, profile, -1)
		p.FreqHz = 1e9 * official.Number(t, row[2])
		p.AHeightM, p.BHeightM = official.Number(t, row[3]), official.Number(t, row[4])
		p.EffectiveRadiusM = 1e3 * official.Number(t, row[5])
		p.SpeedMS = official.Number(t, row[6])
		p.Polarisation = radio.Horizontal
		got := byEngine(p)
		where := "case " + row[0]
		worst.Check(t, where, "L_bulla", float64(got.BullingtonDB), official.Number(t, row[9]), ituToleranceDB)
		worst.Check(t, where, "L_bulls", float64(got.SmoothDB), official.Number(t, row[10]), ituToleranceDB)
		worst.Check(t, where, "L_dsph", float64(got.SphericalDB), official.Number(t, row[11]), ituToleranceDB)
		worst.Check(t, where, "L_d", float64(got.LossDB), official.Number(t, row[12]), ituToleranceDB)
		if got, ok := ituEvaluate(t, p); ok {
			evaluated++
			whole.Check(t, where+" by Evaluate", "L_bulla", float64(got.BullingtonDB), official.Number(t, row[9]),
				ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "L_bulls", float64(got.SmoothDB), official.Number(t, row[10]), ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "L_dsph", float64(got.SphericalDB), official.Number(t, row[11]), ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "L_d", float64(got.LossDB), official.Number(t, row[12]), ituToleranceDB)
		}
	}
	worst.Log(t, "delta-Bullington", len(rows))
	whole.Log(t, "delta-Bullington by Evaluate", evaluated)
}

// P.1812-6: row 5n, 5o and their fellows, heights of the smooth surface too.
func TestITUP1812(t *testing.T) {
	dir := official.Folder(t, "p1812")
	files, err := filepath.Glob(filepath.Join(dir, "results", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	worst, whole, evaluated := official.Worst{}, official.Worst{}, 0
	for _, file := range files {
		where := strings.TrimSuffix(filepath.Base(file), ".csv")
		name := where[:strings.LastIndex(where, "_")]
		p := ituProfile(t, official.Begun(t, filepath.Join(dir, "profiles", name+".csv")), 3)

		// Names occur twice with different equations: keep both keys.
		result := map[string]string{}
		for _, row := range official.Rows(t, file) {
			if len(row) > 3 {
				result[strings.TrimSpace(row[0]+" "+row[1])] = row[3]
			}
		}
		value := func(key string) float64 { return official.Number(t, result[key]) }
		p.FreqHz = 1e9 * value("f (GHz)")
		p.AHeightM, p.BHeightM = value("htg (m)"), value("hrg (m)")
		p.EffectiveRadiusM = 1e3 * value("ae (km) Eq (7a)")
		p.SeaFraction = value("w Table 5")
		p.SpeedMS = officialSpeedMS
		if value("pol") == 1 {
			p.Polarisation = radio.Horizontal
		}
		got := byEngine(p)
		worst.Check(t, where, "L_bulla", float64(got.BullingtonDB), value("Lbulla (dB) Eq (21)"), ituToleranceDB)
		worst.Check(t, where, "L_bulls", float64(got.SmoothDB), value("Lbulls (dB) Eq (21)"), ituToleranceDB)
		worst.Check(t, where, "L_dsph", float64(got.SphericalDB), value("Ldsph (dB) Eq (27)"), ituToleranceDB)
		worst.Check(t, where, "L_d50", float64(got.LossDB), value("Ld50 (dB) Eq (39)"), ituToleranceDB)
		worst.Check(t, where, "h_std", got.SmoothAM, value("hstd (m) Eq (89)"), ituToleranceDB)
		worst.Check(t, where, "h_srd", got.SmoothBM, value("hsrd (m) Eq (89)"), ituToleranceDB)
		worst.Check(t, where, "h_te", got.EffectiveAM, value("htc' (m) Eq (37a)"), ituToleranceDB)
		worst.Check(t, where, "h_re", got.EffectiveBM, value("hrc' (m) Eq (37b)"), ituToleranceDB)
		if got, ok := ituEvaluate(t, p); ok {
			evaluated++
			whole.Check(t, where+" by Evaluate", "L_bulla", float64(got.BullingtonDB), value("Lbulla (dB) Eq (21)"),
				ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "L_dsph", float64(got.SphericalDB), value("Ldsph (dB) Eq (27)"), ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "L_d50", float64(got.LossDB), value("Ld50 (dB) Eq (39)"), ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "h_te", got.EffectiveAM, value("htc' (m) Eq (37a)"), ituToleranceDB)
			whole.Check(t, where+" by Evaluate", "h_re", got.EffectiveBM, value("hrc' (m) Eq (37b)"), ituToleranceDB)
		}
	}
	worst.Log(t, "P.1812-6", len(files))
	whole.Log(t, "P.1812-6 by Evaluate", evaluated)
}

// P.452-18: all frequencies, rows 5k-5m among them. Its clutter rule clears
// points nearer than 50 m to an end.
func TestITUP452(t *testing.T) {
	dir := official.Folder(t, "p452")
	files, err := filepath.Glob(filepath.Join(dir, "results", "test_result_*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) == 0 {
		t.Fatalf("%s: no results", dir)
	}
	whole, evaluated := official.Worst{}, 0
	for _, file := range files {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(file), "test_result_"), ".csv")
		t.Run(name, func(t *testing.T) {
			p := ituProfile(t, official.Rows(t, filepath.Join(dir, "profiles", "test_profile_"+name+".csv"))[1:], 2)
			d := p.DistM[len(p.DistM)-1]
			for i, x := range p.DistM {
				if x < 50 || d-x < 50 {
					p.ClutterM[i] = 0
				}
			}
			rows := official.Rows(t, file)
			column := map[string]int{}
			for i, key := range rows[0] {
				column[key] = i
			}
			inBand, all := official.Worst{}, official.Worst{}
			cases := 0
			for _, row := range rows[1:] {
				value := func(key string) float64 {
					i, ok := column[key]
					if !ok {
						t.Fatalf("no column %q", key)
					}
					return official.Number(t, row[i])
				}
				p.FreqHz = 1e9 * value("f (GHz)")
				p.AHeightM, p.BHeightM = value("htg (m)"), value("hrg (m)")
				p.EffectiveRadiusM = 1e3 * value("ae")
				p.SeaFraction, p.SpeedMS = value("omega"), officialSpeedMS
				p.Polarisation = radio.Vertical
				if value("pol (1-h/2-v)") == 1 {
					p.Polarisation = radio.Horizontal
				}
				got := byEngine(p)
				where := row[column["f (GHz)"]] + " GHz"
				worst := all
				if p.FreqHz <= 2.5e9 {
					worst = inBand
					cases++
				}
				worst.Check(t, where, "L_dsph", float64(got.SphericalDB), value("Ldsph"), ituToleranceDB)
				worst.Check(t, where, "L_d50", float64(got.LossDB), value("Ld50"), ituToleranceDB)
				if got, ok := ituEvaluate(t, p); ok {
					evaluated++
					whole.Check(t, where+" by Evaluate", "L_dsph", float64(got.SphericalDB), value("Ldsph"), ituToleranceDB)
					whole.Check(t, where+" by Evaluate", "L_d50", float64(got.LossDB), value("Ld50"), ituToleranceDB)
				}
			}
			inBand.Log(t, name+" up to 2.5 GHz", cases)
			t.Logf("%s above 2.5 GHz: %d rows, worst differences %v", name, len(rows)-1-cases, map[string]float64(all))
		})
	}
	whole.Log(t, "P.452-18 by Evaluate", evaluated)
}
