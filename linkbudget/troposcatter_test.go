package linkbudget

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// officialCase is one file of the ITU-R P.1812-6 validation results with its
// profile, read with the helpers of itudata_test.go. Published.
type officialCase struct {
	name           string
	value          map[string]float64 // first occurrence of each name
	distM, groundM []float64
}

func (c officialCase) sightline() Sightline {
	return Sightline{
		DistM: c.distM, GroundM: c.groundM,
		AHeightM: c.value["hts (m)"], BHeightM: c.value["hrs (m)"],
		EffectiveRadiusM: c.value["ae (km)"] * 1e3,
		WavelengthM:      WavelengthM(c.value["f (GHz)"] * 1e9),
	}
}

// officialP1812 reads all 30 cases, or skips where the folder is not set.
func officialP1812(t *testing.T) []officialCase {
	t.Helper()
	dir := ituFolder(t, "p1812")
	files, err := filepath.Glob(filepath.Join(dir, "results", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 30 {
		t.Fatalf("%d result files in itu/p1812/results, want 30", len(files))
	}
	cases := make([]officialCase, 0, len(files))
	for _, file := range files {
		c := officialCase{name: strings.TrimSuffix(filepath.Base(file), ".csv"), value: map[string]float64{}}
		for _, row := range ituRows(t, file) {
			if len(row) < 4 || row[3] == "" || row[3] == "Value" {
				continue
			}
			if _, seen := c.value[row[0]]; !seen {
				c.value[row[0]] = ituNumber(t, row[3])
			}
		}
		for _, name := range []string{
			"f (GHz)", "p (%)", "d (km)", "N0", "hts (m)", "hrs (m)", "hst (m)", "hsr (m)", "ae (km)",
			"th_t (mrad)", "th_r (mrad)", "th (mrad)", "Lbfs", "Lbs (dB)", "Lbam (dB)", "Lbc (dB)",
		} {
			if _, ok := c.value[name]; !ok {
				t.Fatalf("%s: no value %q", c.name, name)
			}
		}
		profile := c.name[:strings.LastIndexByte(c.name, '_')] + ".csv"
		rows := ituRows(t, filepath.Join(dir, "profiles", profile))
		begin := slices.IndexFunc(rows, func(r []string) bool { return r[0] == "{Begin of Profile}" })
		if begin < 0 {
			t.Fatalf("%s: no profile", profile)
		}
		n := int(ituNumber(t, rows[begin+1][1]))
		path := ituProfile(t, rows[begin+2:begin+2+n], -1)
		c.distM, c.groundM = path.DistM, path.GroundM
		cases = append(cases, c)
	}
	return cases
}

// Every official case at its own percentage of time (1, 10, 20 and 50): theta
// (eq 82), L_bs (eq 44-45) from the profile on, and L_bc (eq 63).
func TestTroposcatterOfficial(t *testing.T) {
	for _, c := range officialP1812(t) {
		v := c.value
		aRad, bRad, _, _ := c.sightline().HorizonAngles()
		scatter := Troposcatter{
			DistM: v["d (km)"] * 1e3, FreqHz: v["f (GHz)"] * 1e9,
			EffectiveRadiusM: v["ae (km)"] * 1e3, AHorizonRad: aRad, BHorizonRad: bRad,
			SurfaceRefractivity: v["N0"], TimePercent: v["p (%)"],
		}
		near(t, c.name+" theta", scatter.AngularDistanceRad()*1e3, v["th (mrad)"], 1e-6)
		near(t, c.name+" L_bs", float64(scatter.Loss()), v["Lbs (dB)"], 1e-6)
		near(t, c.name+" L_bc", float64(CombineTroposcatter(DB(v["Lbam (dB)"]), DB(v["Lbs (dB)"]))), v["Lbc (dB)"], 1e-6)
	}
}

// Published: ITU-R P.1812-6 validation; the angle and L_bd50 as printed there.
func TestTroposcatterPublished(t *testing.T) {
	for _, row := range []struct {
		name           string
		freqHz         float64
		bd50, bs, want DB
	}{
		{"5t rburg_urban_with_clutter_3", 0.5e9, 210.7036665, 203.9510182, 203.8562392},
		{"5u rburg_rural_noclutter_3", 98.2e6, 172.4449411, 182.9025767, 172.4274236},
	} {
		scatter := Troposcatter{
			DistM: 96.2e3, FreqHz: row.freqHz, EffectiveRadiusM: 8930.776786e3,
			AHorizonRad: 45.93966178e-3, BHorizonRad: -2.241021636e-3,
			SurfaceRefractivity: 323.947135, TimePercent: 50,
		}
		near(t, row.name+" theta", scatter.AngularDistanceRad()*1e3, 54.47037953, 1e-6)
		near(t, row.name+" L_bs", float64(scatter.Loss()), float64(row.bs), 1e-4)
		near(t, row.name+" L_bc", float64(CombineTroposcatter(row.bd50, row.bs)), float64(row.want), 1e-4)
	}
}

func TestTroposcatterSmoothEarth(t *testing.T) {
	// Computed, reference section 5.7: 100 km, 10/10 m over smooth earth, 868
	// MHz, theta 8.42 mrad, 184.3 dB. The horizon of each antenna lies
	// sqrt(2 h/ae) below the horizontal. Its own defaults: N0 325, 50 %.
	const radiusM = 8500e3
	dip := -math.Sqrt(2 * 10 / radiusM)
	scatter := Troposcatter{
		DistM: 100e3, FreqHz: 868e6, EffectiveRadiusM: radiusM, AHorizonRad: dip, BHorizonRad: dip,
	}
	near(t, "L_bs for theta 8.42 mrad", float64(scatter.Loss())+0.573*(8.42-1e3*scatter.AngularDistanceRad()), 184.3, 0.05)
}

func TestTroposcatterLimits(t *testing.T) {
	base := Troposcatter{DistM: 80e3, FreqHz: 868e6, AHorizonRad: 0.01, BHorizonRad: 0.01}
	at := func(percent float64) DB { s := base; s.TimePercent = percent; return s.Loss() }
	near(t, "0 means 50 %", float64(at(0)), float64(at(50)), 0)
	near(t, "above 50 % as 50 %", float64(at(80)), float64(at(50)), 0)
	near(t, "below 1 % as 1 %", float64(at(0.01)), float64(at(1)), 0)
	if !(at(1) < at(10) && at(10) < at(50)) {
		t.Errorf("loss must rise with the share of time: %v, %v, %v", at(1), at(10), at(50))
	}
	down := Troposcatter{DistM: 1e3, AHorizonRad: -0.1, BHorizonRad: 0.05}
	near(t, "angle not below 0", down.AngularDistanceRad(), 0, 0)
}

func TestCombineTroposcatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := DB(rapid.Float64Range(60, 400).Draw(t, "a"))
		b := DB(rapid.Float64Range(60, 400).Draw(t, "b"))
		got := CombineTroposcatter(a, b)
		if got != CombineTroposcatter(b, a) {
			t.Fatal("the order counts")
		}
		// Two equal ways: 5 log 2 below.
		if low := min(a, b); !(got <= low && got >= low-DB(5*math.Log10(2))-1e-9) {
			t.Fatalf("%v and %v give %v", a, b, got)
		}
	})
	near(t, "a blocked way does not count", float64(CombineTroposcatter(DB(math.Inf(1)), 180)), 180, 0)
}
