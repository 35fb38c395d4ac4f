package main

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
)

// moveToDieAt names the environment variable with the number of the move of a file at which
// a program of the tests is killed.
const moveToDieAt = "POLEREACH_TEST_MOVE_TO_DIE_AT"

func dieAtMove(number string) {
	n, err := strconv.Atoi(number)
	if err != nil {
		return
	}
	moved := 0
	outfile.Move = func(from, to string) error {
		if moved++; moved == n {
			if self, err := os.FindProcess(os.Getpid()); err == nil {
				_ = self.Kill()
			}
			select {}
		}
		return os.Rename(from, to)
	}
}

// filesIn holds what lies in a folder, hidden files under one name.
func filesIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(dir, name))
		if strings.HasPrefix(name, ".") {
			name = "hidden"
		}
		all[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// A run killed before any of its moves leaves files of one run, or names without a file, and
// the report only where the set is whole. The next run makes it so and leaves nothing beside.
func TestKilledSetIsOfOneRun(t *testing.T) {
	long(t)
	dir := t.TempDir()
	of := func(radius string) []string {
		args := []string{"coverage", "--pole", "Tanager Knob", "--radius-km", radius}
		return append(args, "--png", dir+"/a.png", "--asc", dir+"/b.asc", "--geojson-contours", dir+"/c.json", "--out",
			dir+"/d.txt", demoPlan)
	}
	whole := func(radius string) map[string]string {
		if r := polereach(t, of(radius)...); r.code != exitHolds || r.err != "" {
			t.Fatalf("exit %d: %s", r.code, r.err)
		}
		return filesIn(t, dir)
	}
	want := map[string]map[string]string{"1": whole("1"), "1.5": whole("1.5")}
	for _, name := range []string{"a.png", "a.pgw", "b.asc", "c.json", "d.txt"} {
		if want["1"][name] == want["1.5"][name] || want["1"][name] == "" || len(want["1"]) != 6 {
			t.Fatalf("%s of both runs is alike, or lacks: %v", name, slices.Sorted(maps.Keys(want["1"])))
		}
	}
	kills := 0
	for n := 1; ; n++ {
		whole("1")
		cmd, errOut := program(t, false, of("1.5")...)
		cmd.Env = append(cmd.Env, moveToDieAt+"="+strconv.Itoa(n))
		if err := cmd.Run(); err == nil {
			break
		} else if cmd.ProcessState.ExitCode() != -1 {
			t.Fatalf("%v: %s", err, errOut)
		}
		kills++
		got := filesIn(t, dir)
		runs := map[string]bool{}
		for name, data := range got {
			for radius, files := range want {
				if name != "b.prj" && name != "hidden" && data == files[name] { // the .prj is the same for both
					runs[radius] = true
				} else if name != "hidden" && data != want["1"][name] && data != want["1.5"][name] {
					t.Errorf("killed at move %d: %s is of neither run", n, name)
				}
			}
		}
		if _, told := got["d.txt"]; len(runs) > 1 || told && len(got) < 6 {
			t.Errorf("killed at move %d: files of the runs %v, report there %t: %v", n, runs, told,
				slices.Sorted(maps.Keys(got)))
		}
		if after := whole("1.5"); !maps.Equal(after, want["1.5"]) {
			t.Errorf("after a kill at move %d and another run: %v", n, slices.Sorted(maps.Keys(after)))
		}
	}
	if kills != 12 { // each of six files aside, each to its place
		t.Errorf("%d kills, want 12", kills)
	}
}

// A move that fails leaves all old files, and none of the new ones.
func TestFailedSetIsTakenBack(t *testing.T) {
	defer func() { outfile.Move = os.Rename }()
	for n := 1; n <= 5; n++ {
		dir := t.TempDir()
		var set outfile.Set
		for _, name := range []string{"side", "main", "new"} {
			if name != "new" {
				if err := os.WriteFile(filepath.Join(dir, name), []byte("old"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if err := set.Add(filepath.Join(dir, name), fill("new")); err != nil {
				t.Fatal(err)
			}
		}
		moved := 0
		outfile.Move = func(from, to string) error {
			if moved++; moved == n {
				return errors.New("no room")
			}
			return os.Rename(from, to)
		}
		if err := set.Commit(); err == nil || moved != n {
			t.Fatalf("move %d of %d: %v", n, moved, err)
		}
		if got := filesIn(t, dir); !maps.Equal(got, map[string]string{"side": "old", "main": "old"}) {
			t.Errorf("after a failure of move %d: %v", n, got)
		}
	}
}

// Files that are written before one that fails stay out of their places.
func TestFailedRunWritesNoFileOfTheSet(t *testing.T) {
	dir := t.TempDir()
	r := polereach(t, "coverage", "--pole", "Tanager Knob", "--radius-km", "1", "--png", filepath.Join(dir, "a.png"),
		"--out", filepath.Join(dir, "none", "report.txt"), demoPlan)
	if left, err := os.ReadDir(dir); r.code != exitFailed || err != nil || len(left) > 0 {
		t.Errorf("exit %d, %s, left %v", r.code, bytes.TrimSpace([]byte(r.err)), left)
	}
}
