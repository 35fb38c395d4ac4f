package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The bar is drawn now and then, not for every pair, and is gone at the end.
func TestProgressBarIsThrottled(t *testing.T) {
	var drawn bytes.Buffer
	update, done := bar(&drawn, "pairs")
	const total = 100_000
	for i := 1; i < total; i++ {
		update(i, total)
	}
	if n := strings.Count(drawn.String(), "\r"); n == 0 || n > 200 {
		t.Errorf("drawn %d times for %d updates", n, total)
	}
	if !strings.Contains(drawn.String(), "pairs") {
		t.Errorf("what is counted is not said: %q", drawn.String())
	}
	done()
	if text := drawn.String(); !strings.HasSuffix(strings.TrimRight(text, " "), "\r") {
		t.Errorf("the line is not clear at the end: %q", text[max(0, len(text)-80):])
	}
}

// No bar where nobody looks: into a buffer or a file.
func TestNoProgressBarOutsideATerminal(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "err"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, w := range []interface{ Write([]byte) (int, error) }{f, &bytes.Buffer{}} {
		if update, done := progress(w, "pairs"); update != nil || done == nil {
			t.Errorf("%T gets a bar", w)
		}
	}
}

// Terrain is named by its files and their sizes, wherever they lie.
func TestTerrainNamesHoldNoFolder(t *testing.T) {
	r := polereach(t, "plan", "--shard", "1/1", demoPlan)
	if want := `"Terrain":"N36W085.hgt.zip `; r.code != exitHolds || !strings.Contains(r.out, want) {
		t.Errorf("exit %d, no %s in the part", r.code, want)
	}
	if strings.Contains(r.out, "examples") || strings.Contains(r.out, "..") {
		t.Error("the part names a folder")
	}
}
