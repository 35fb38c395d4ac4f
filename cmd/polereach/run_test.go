package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// Golden files are of one month.
func init() { now = func() time.Time { return time.Date(2026, 11, 29, 12, 0, 0, 0, time.UTC) } }

var update = flag.Bool("update", false, "rewrite golden files")

const demo = "../../examples/cumberland/"

// result is one run of the program in this process.
type result struct {
	code     int
	out, err string
}

func polereach(t *testing.T, args ...string) result {
	t.Helper()
	var out, errOut bytes.Buffer
	code := run(context.Background(), append([]string{"polereach"}, args...), &out, &errOut)
	return result{code, out.String(), errOut.String()}
}

// long leaves a test out with -short, as CI runs under the race detector. It is for tests that take seconds there
// and share between goroutines nothing that others do not.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("long: runs without -short")
	}
}

// golden compares with a file under testdata, which -update rewrites. A golden
// file is our own past output: it shows changes, it proves nothing.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; run go test ./cmd/polereach -update and read the diff.\ngot:\n%s", path, got)
	}
}

func TestGolden(t *testing.T) {
	for _, c := range []struct {
		file string
		code int
		args []string
	}{
		{"site.txt", exitHolds, []string{"site", "--pole", "Sorrel Ridge", demo + "plan.geojson"}},
		{"site.json", exitHolds, []string{"site", demo + "plan.geojson", "--pole", "Sorrel Ridge", "--format", "json"}},
		{"site_short.txt", exitNotHeld, []string{"site", "--pole", "Hollow School", "--sf", "7", demo + "plan.geojson"}},
		{"site_at.txt", exitNotHeld, []string{"site", "--at", "-84.2727,36.56", "--height-m", "12", "--at-least", "2", demo + "plan.geojson"}},
		{"link.txt", exitNotHeld, []string{"link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "5", "--freq-mhz", "915", "--dem", demo + "dem"}},
		{"link_time.txt", exitHolds, []string{"link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "8", "--time-percent", "99", "--dem", demo + "dem"}},
		{"link.json", exitHolds, []string{"link", "--height-a-m", "8", "--height-b-m", "10", "--freq-mhz", "915", "--dem", demo + "dem", "-84.2405,36.5565", "-84.15,36.65", "--format=json"}},
		{"dem.txt", exitHolds, []string{"dem", demo + "dem"}},
		{"dem.json", exitHolds, []string{"dem", "--format", "json", demo + "dem"}},
		{"airtime.txt", exitHolds, []string{"airtime", "--sf", "10", "--payload-b", "24"}},
		{"airtime.json", exitHolds, []string{"airtime", "--sf", "10", "--payload-b", "24", "--format", "json"}},
		{"help.txt", exitHolds, []string{"--help"}},
		{"help_site.txt", exitHolds, []string{"site", "--help"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			r := polereach(t, c.args...)
			if r.code != c.code || r.err != "" {
				t.Errorf("exit %d, want %d; stderr %q", r.code, c.code, r.err)
			}
			golden(t, c.file, r.out)
		})
	}
}

// The example that --help shows is run as it stands there, beside the examples.
func TestHelpExamplesRun(t *testing.T) {
	long(t)
	examples, err := filepath.Abs("../../examples")
	dir := t.TempDir() // some write
	if err == nil {
		err = os.Symlink(examples, filepath.Join(dir, "examples"))
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	for _, cmd := range newApp(nil, nil).Commands {
		_, example, found := strings.Cut(cmd.Description, "Example:\n   polereach ")
		if !found {
			t.Errorf("%s --help has no example", cmd.Name)
			continue
		}
		example, _, _ = strings.Cut(example, "\n")
		words := shellWords(example)
		r := polereach(t, words...)
		if i := slices.Index(words, "--out"); i >= 0 {
			file, _ := os.ReadFile(words[i+1])
			r.out += string(file)
		}
		if r.code != exitHolds || r.out == "" || r.err != "" {
			t.Errorf("%s: exit %d, stderr %q", example, r.code, r.err)
		}
	}
}

// shellWords splits at spaces outside double quotes.
func shellWords(line string) []string {
	var words []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}

func TestOutFileIsWholeOrUntouched(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.json")
	r := polereach(t, "airtime", "--format", "json", "--out", path)
	if r.code != exitHolds || r.out != "" {
		t.Fatalf("exit %d, stdout %q, stderr %q", r.code, r.out, r.err)
	}
	written, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if direct := polereach(t, "airtime", "--format", "json"); direct.out != string(written) {
		t.Error("the file differs from standard output")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	r = polereach(t, "airtime", "--out", filepath.Join(dir, "none", "a.txt"))
	if r.code != exitFailed || !strings.Contains(r.err, "none") {
		t.Errorf("folder missing: exit %d, stderr %q", r.code, r.err)
	}
}

func TestInterruptedRunSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errOut bytes.Buffer
	code := run(ctx, []string{"polereach", "site", "--pole", "Sorrel Ridge", demo + "plan.geojson"}, &out, &errOut)
	if code != exitFailed || out.Len() != 0 || !strings.Contains(errOut.String(), "interrupted") {
		t.Errorf("exit %d, stdout %q, stderr %q", code, out.String(), errOut.String())
	}
}
