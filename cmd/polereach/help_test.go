package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

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
