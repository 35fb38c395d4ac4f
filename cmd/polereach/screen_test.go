package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// On a terminal a text ends with what it begins with, into a pipe it does not; what lies
// between is the same but for the cautions.
func TestVerdictIsLastOnTheScreen(t *testing.T) {
	long(t)
	hazards := []string{"height", "power lines", "lithium cells", "lightning", "radio exposure", "antenna before power",
		"rights and rules, checked locally", "trees, houses and wires"}
	for name, c := range map[string]struct {
		args, verdict []string // of the last paragraph
		hazards       []string
	}{
		"site": {[]string{"site", "--pole", "Sorrel Ridge", demoPlan}, []string{"Sorrel Ridge: REACHES"}, hazards},
		"link": {[]string{"link", "-84.2405,36.5565", "-84.15,36.65", "--height-m", "5", "--dem", demo + "dem"},
			[]string{"SHORT"}, hazards},
		"plan": {[]string{"plan", demoPlan}, []string{"REACHES", "required links"}, hazards},
		"difference": {[]string{"plan", "--without", "Sorrel Ridge", "--without", "Mill Bottom", demoPlan},
			[]string{`Without "Sorrel Ridge": `, `Without "Mill Bottom": `}, nil},
		"coverage": {[]string{"coverage", "--pole", "Tanager Knob", "--radius-km", "2", demoPlan},
			[]string{"Tanager Knob: 90 % and more on", "km2 judged"}, nil},
		"spots": {[]string{"spots", "--must", "Tanager Knob", "--top", "1", demoPlan}, []string{"SERVES: Spot 1 at"}, nil},
		"no spot": {[]string{"spots", "--must", "Hollow School", "--sf", "7", "--max-height-m", "3", "--top", "1", demoPlan},
			[]string{"NO SPOT SERVES, masts up to 3 m"}, nil},
		"sun": {[]string{"sun", "--pole", "Sunny Shoulder", demo + "sun.geojson"}, []string{"Sunny Shoulder: LIVES"},
			[]string{"lithium cells", "frost", "snow, rime, leaves, trees and theft", "a hard winter"}},
	} {
		t.Run(name, func(t *testing.T) {
			piped, seen := polereach(t, c.args...), onScreen(t, 80, c.args...)
			whole := onScreen(t, 80, append(c.args, "--cautions")...)
			if name == "coverage" || strings.HasSuffix(name, "spot") || name == "spots" {
				whole = seen // they have no such flag
			}
			if piped.code != seen.code || seen.code != whole.code {
				t.Errorf("exits %d, %d, %d: %s", piped.code, seen.code, whole.code, whole.err)
			}
			paragraphs := strings.Split(strings.TrimRight(seen.out, "\n"), "\n\n")
			last := oneLine(paragraphs[len(paragraphs)-1])
			for _, want := range c.verdict {
				if !strings.Contains(last, want) || !strings.Contains(oneLine(piped.out), want) {
					t.Errorf("the last paragraph lacks %q: %q", want, last)
				}
			}
			if first, _, _ := strings.Cut(piped.out, "\n"); !strings.HasPrefix(last, oneLine(first)) ||
				!strings.HasPrefix(seen.out, first) {
				t.Errorf("begins with %q, ends with %q", first, last)
			}
			if !strings.HasPrefix(whole.out, piped.out) {
				t.Error("with --cautions something is missing that a file has")
			}
			before, short, found := strings.Cut(seen.out, "\nCautions: ")
			if found != (c.hazards != nil) {
				t.Fatalf("cautions in short: %v", found)
			}
			if !found {
				return
			}
			if !strings.HasPrefix(piped.out, before) {
				t.Error("what stands before the cautions differs")
			}
			short, _, _ = strings.Cut(short, "\n\n")
			if lines := strings.Count(short, "\n") + 1; lines > 5 {
				t.Errorf("%d lines of cautions: %s", lines, short)
			}
			_, all, _ := strings.Cut(piped.out, "\nCautions\n")
			if n := strings.Count(all, "  - "); n != len(c.hazards) {
				t.Errorf("%d cautions, %d in short", n, len(c.hazards))
			}
			for _, hazard := range append(c.hazards, "Whole with --cautions.") {
				if !strings.Contains(oneLine(short), hazard) {
					t.Errorf("lacks %q: %s", hazard, short)
				}
			}
		})
	}
}

// A file is no screen, nor is JSON, whatever standard output is.
func TestFilesAndFormatsAreNoScreen(t *testing.T) {
	args := []string{"site", "--pole", "Sorrel Ridge", demoPlan}
	path := filepath.Join(t.TempDir(), "a.txt")
	onScreen(t, 80, append(args, "--out", path)...)
	written, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := string(written), polereach(t, args...).out; got != want {
		t.Errorf("the file differs:\n%s", got)
	}
	for _, format := range []string{"json", "csv"} {
		args := append(args, "--format", format)
		if onScreen(t, 80, args...).out != polereach(t, args...).out {
			t.Errorf("%s differs on a screen", format)
		}
	}
	shard := []string{"plan", "--shard", "1/3", demoPlan}
	if onScreen(t, 80, shard...).out != polereach(t, shard...).out {
		t.Error("a shard differs on a screen")
	}
}
