package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// withInput runs f with a file as standard input.
func withInput(t *testing.T, in *os.File, f func()) {
	t.Helper()
	before := os.Stdin
	os.Stdin = in
	defer func() { os.Stdin = before }()
	f()
}

// A plan from standard input answers as its file does, with dem and radio.json of the
// working folder.
func TestPlanFromStandardInput(t *testing.T) {
	t.Chdir(demo)
	for _, args := range [][]string{{"site", "--pole", gateway}, {"plan", "--gateway", gateway},
		{"coverage", "--pole", gateway, "--radius-km", "2"}, {"sun", "--pole", gateway}} {
		in, err := os.Open(filepath.Base(demoPlan))
		if err != nil {
			t.Fatal(err)
		}
		var piped result
		withInput(t, in, func() { piped = polereach(t, append(args, "-")...) })
		in.Close()
		of := polereach(t, append(args, filepath.Base(demoPlan))...)
		// Lines break elsewhere with a shorter name.
		of.out = strings.Join(strings.Fields(strings.ReplaceAll(of.out, "plan.geojson", "-")), " ")
		piped.out = strings.Join(strings.Fields(piped.out), " ")
		if piped != of || of.out == "" {
			t.Errorf("%v: exit %d, %d with the file; stderr %q, %q\n%s\n%s", args, piped.code, of.code, piped.err, of.err, piped.out, of.out)
		}
	}
}

func TestStandardInputThatIsNoPlan(t *testing.T) {
	in, err := os.Open(write(t, "walk.gpx", []byte("<gpx/>")))
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	withInput(t, in, func() {
		refused(t, polereach(t, "site", "--pole", "A", "-"), "found GPX", "polereach begin --from FILE")
	})
}

// A pipe that never ends is left by Ctrl-C.
func TestStandardInputThatNeverEnds(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer w.Close() // ends the reader that is left behind
	withInput(t, r, func() {
		ctx, cancel := context.WithCancel(context.Background())
		time.AfterFunc(50*time.Millisecond, cancel)
		var out, errOut bytes.Buffer
		code := run(ctx, []string{"polereach", "plan", "-"}, &out, &errOut)
		if code != exitFailed || out.Len() > 0 || !strings.Contains(errOut.String(), "interrupted") {
			t.Errorf("exit %d, stdout %q, stderr %q", code, out.String(), errOut.String())
		}
	})
}
