package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// No run writes over what it reads, nor one output over another.
func TestOutputsStayApart(t *testing.T) {
	dir := demoCopy(t)
	plan := filepath.Join(dir, "plan.geojson")
	tile := filepath.Join(dir, "dem", "N36W085.hgt.zip")
	for _, row := range []struct {
		args []string
		want string
	}{
		{[]string{"plan", "--out", plan, plan}, "is read by this run"},
		{[]string{"plan", "--out", filepath.Join(dir, ".", "radio.json"), plan}, "is read by this run"},
		{[]string{"plan", "--out", tile, plan}, "is read by this run"},
		{[]string{"coverage", "--pole", "Sorrel Ridge", "--radius-km", "1", "--png", dir + "/w.png", "--out", dir + "/w.pgw", plan}, "is what out writes"},
		{[]string{"coverage", "--pole", "Sorrel Ridge", "--radius-km", "1", "--asc", dir + "/a.asc", "--out", dir + "/a.prj", plan}, "is what out writes"},
		{[]string{"spots", "--plan-out", plan, plan}, "is read by this run"},
	} {
		before, err := os.ReadFile(plan)
		if err != nil {
			t.Fatal(err)
		}
		got := polereach(t, row.args...)
		after, _ := os.ReadFile(plan)
		if got.code != exitUsage || !strings.Contains(got.err, row.want) || string(before) != string(after) {
			t.Errorf("%v: exit %d, %s", row.args, got.code, got.err)
		}
	}
	if got := polereach(t, "plan", "--out", filepath.Join(dir, "answer.txt"), plan); got.code == exitUsage {
		t.Errorf("a name of its own: %s", got.err)
	}
}

// demoCopy is the demo in a folder of its own.
func demoCopy(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../examples/cumberland")); err != nil {
		t.Fatal(err)
	}
	return dir
}

func fill(text string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	}
}
