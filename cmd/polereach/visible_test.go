package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What strangers wrote into names, notes and file names does not reach a terminal as it is.
func TestStrangersTextIsVisible(t *testing.T) {
	dir := demoCopy(t)
	plan := filepath.Join(dir, "plan.geojson")
	data, err := os.ReadFile(plan)
	if err != nil {
		t.Fatal(err)
	}
	bad := strings.ReplaceAll(string(data), `"Cutler Rock"`, `"Cutler\u001b[31m\u202eRock"`)
	if err := os.WriteFile(plan, []byte(bad), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "dem", "\x1b]0;x\a.tif"), []byte("II*"), 0o644); err != nil {
		t.Skip("no such file names here:", err)
	}
	climate := `{"source":"\u001b[2J","global_kwh_m2_day":[1,2,3,4,5,6,6,5,4,3,2,1]}`
	if err := os.WriteFile(filepath.Join(dir, "climate.json"), []byte(climate), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"site", "--pole", "Sorrel Ridge", plan}, {"plan", plan}, {"sun", "--pole", "Sorrel Ridge", plan}, {"site", "--pole", "\x1b[1mNobody", plan},
		{"dem", filepath.Join(dir, "dem")},
	} {
		got := polereach(t, args...)
		if i := strings.IndexAny(got.out+got.err, "\x1b\a\u202e"); i >= 0 {
			t.Errorf("%v: %q", args, (got.out + got.err)[max(0, i-40):i+4])
		}
	}
}

// Help that cannot be written is a failure.
func TestHelpIntoAFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no full device here:", err)
	}
	defer full.Close()
	var errOut bytes.Buffer
	for _, args := range [][]string{{"polereach", "--help"}, {"polereach", "plan", "--help"}} {
		if code := run(context.Background(), args, full, &errOut); code != exitFailed {
			t.Errorf("%v: exit %d, %s", args, code, errOut.String())
		}
	}
}

func TestWorkersAreCounted(t *testing.T) {
	for _, args := range [][]string{
		{"plan", "--workers", "-1", demoPlan}, {"coverage", "--pole", "Sorrel Ridge", "--workers", "-1", demoPlan},
		{"spots", "--workers", "-1", filepath.Join(filepath.Dir(demoPlan), "spots.geojson")},
	} {
		if got := polereach(t, args...); got.code != exitUsage || !strings.Contains(got.err, "workers: found -1") {
			t.Errorf("%v: exit %d, %s", args, got.code, got.err)
		}
	}
}
