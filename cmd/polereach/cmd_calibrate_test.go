package main

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// inventedLog is invented: no radio was ever heard there.
const inventedLog = demo + "invented_log.csv"

func TestCalibrateGolden(t *testing.T) {
	for file, args := range map[string][]string{
		"calibrate.txt":      {"calibrate", inventedLog, demoPlan},
		"calibrate.json":     {"calibrate", "--format", "json", inventedLog, demoPlan},
		"calibrate.csv":      {"calibrate", "--format", "csv", inventedLog, demoPlan},
		"help_calibrate.txt": {"calibrate", "--help"},
	} {
		t.Run(file, func(t *testing.T) {
			r := polereach(t, args...)
			if r.code != exitHolds || r.err != "" {
				t.Errorf("exit %d, stderr %q", r.code, r.err)
			}
			golden(t, file, r.out)
		})
	}
}

// madeCalibration is that of the invented log.
func madeCalibration(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "calibration.json")
	if r := polereach(t, "calibrate", "--calibration-out", file, "--picture", file+".svg", inventedLog,
		demoPlan); r.code != exitHolds {
		t.Fatal(r.err)
	}
	if drawn, err := os.ReadFile(file + ".svg"); err != nil || !strings.Contains(string(drawn), "not heard: at most") {
		t.Error("picture:", err)
	}
	return file
}

// What was heard turns a link that should have reached into a marginal one, and one between a
// node that hears well and a pole that does not stand yet into one that reaches; both say why.
func TestCalibrationChangesVerdicts(t *testing.T) {
	file := madeCalibration(t)
	verdicts := func(args ...string) map[string]string {
		r := polereach(t, append(append([]string{"plan", "--format", "csv"}, args...), demoPlan)...)
		rows, err := csv.NewReader(strings.NewReader(r.out)).ReadAll()
		if err != nil {
			t.Fatal(err, r.err)
		}
		of := map[string]string{}
		at := -1
		for i, name := range rows[0] {
			if name == "verdict" {
				at = i
			}
		}
		for _, row := range rows[1:] {
			of[row[0]+" - "+row[1]] = row[at]
		}
		if len(args) > 0 != strings.Contains(r.err, "calibrated by "+file) {
			t.Errorf("%v: stderr %q", args, r.err)
		}
		return of
	}
	before, after := verdicts(), verdicts("--calibration", file)
	for link, want := range map[string][2]string{
		"Beacon Field - Hollow School": {"reaches", "marginal"}, "Cutler Rock - Sorrel Ridge": {"marginal", "reaches"},
	} {
		if got := [2]string{before[link], after[link]}; got != want {
			t.Errorf("%s: %v, wanted %v", link, got, want)
		}
	}
	for pole, why := range map[string]string{
		"Hollow School": "calibrated: heard 43 times, -12.1 dB there and -10.3 dB back",
		"Sorrel Ridge":  "calibrated: by what was heard of area and nodes",
	} {
		r := polereach(t, "site", "--pole", pole, "--calibration", file, demoPlan)
		if text := strings.Join(strings.Fields(r.out), " "); !strings.Contains(text, why) {
			t.Errorf("%s: no %q in %s", pole, why, r.out)
		}
	}
}

// Every answer says what was used; none says it without a calibration, and none is the same
// as there being no file.
func TestCalibrationIsTold(t *testing.T) {
	long(t)
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS(demo)); err != nil {
		t.Fatal(err)
	}
	plan, spots := filepath.Join(folder, "plan.geojson"), filepath.Join(folder, "spots.geojson")
	answers := [][]string{
		{"site", "--pole", "Sorrel Ridge", plan}, {"plan", plan},
		{"coverage", "--pole", "Tanager Knob", "--radius-km", "3", plan}, {"spots", "--top", "1", "--most-cells", "50",
			spots},
	}
	var without [][2]string
	for _, args := range answers {
		plain, json := polereach(t, args...), polereach(t, append(args, "--format", "json")...)
		if strings.Contains(plain.out+json.out, "calibrat") {
			t.Errorf("%v tells of a calibration that is not there", args)
		}
		without = append(without, [2]string{plain.out, json.out})
	}
	data, err := os.ReadFile(madeCalibration(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, calibrationFileName), data, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, args := range answers {
		plain, json := polereach(t, args...), polereach(t, append(args, "--format", "json")...)
		if !strings.Contains(plain.out, "calibrated by ") || !strings.Contains(json.out, `"calibration": {`) {
			t.Errorf("%v does not tell of the calibration: %s", args, plain.err)
		}
		if none := polereach(t, append(args, "--calibration", "none")...); none.out != without[i][0] {
			t.Errorf("%v: --calibration none is not the answer without", args)
		}
	}
	sheet := polereach(t, "sheet", "--pole", "Sorrel Ridge", plan)
	if !strings.Contains(sheet.out, "calibrated by ") || !strings.Contains(sheet.err, "calibrated by ") {
		t.Errorf("the sheet does not tell of the calibration: %s", sheet.err)
	}
}

func TestCalibrateRefuses(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.json")
	if err := os.WriteFile(bad, []byte(`{"schema":1,"kind":"calibration","spread":0}`), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		want string
		args []string
	}{
		{"want one or more logs and a plan", []string{"calibrate", demoPlan}},
		{"allowed KEY=NAME", []string{"calibrate", "--column", "rssi", inventedLog, demoPlan}},
		{`the log has no "power"`, []string{"calibrate", "--column", "rssi_dbm=power", inventedLog, demoPlan}},
		{"rssi rule", []string{"calibrate", "--rssi", "loud", inventedLog, demoPlan}},
		{"place-m: found 0", []string{"calibrate", "--place-m", "0", inventedLog, demoPlan}},
		{`no station "Nobody"`, []string{"calibrate", "--from", "Nobody", inventedLog, demoPlan}},
		{"is read by this run", []string{"calibrate", "--calibration-out", inventedLog, inventedLog, demoPlan}},
		{"spread: found 0", []string{"plan", "--calibration", bad, demoPlan}},
	} {
		if r := polereach(t, c.args...); r.code != exitUsage || !strings.Contains(r.err, c.want) {
			t.Errorf("%v: exit %d, %q; wanted %q", c.args, r.code, r.err, c.want)
		}
	}
}
