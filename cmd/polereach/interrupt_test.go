package main

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
)

// Work that never looks up is not waited for, and what it has done by then is told.
func TestInterruptedWorkIsNotWaitedFor(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	nothing := func() string { return left(outfile.Whole()) }
	for _, began := range []bool{false, true} {
		out, want := &watchedWriter{Writer: io.Discard}, "interrupted, nothing written"
		if began {
			want = "interrupted, standard output is cut"
			if _, err := io.WriteString(out, "half an ans"); err != nil {
				t.Fatal(err)
			}
		}
		var errOut bytes.Buffer
		if code := ended(ctx, make(chan int), out, &errOut, nothing); code != exitFailed || !strings.Contains(errOut.String(), want) {
			t.Errorf("exit %d, %q, want %q", code, errOut.String(), want)
		}
	}
	code := make(chan int, 1)
	code <- exitNotHeld // comes to an end by itself
	var errOut bytes.Buffer
	if got := ended(ctx, code, &watchedWriter{}, &errOut, nothing); got != exitNotHeld || errOut.Len() > 0 {
		t.Errorf("exit %d, %q", got, errOut.String())
	}
}

// Ctrl-C at any stage of a look at years of weather and at other spots: exit 1, a word and
// no output. How long it takes is told; only a hang fails.
func TestInterruptedSun(t *testing.T) {
	long(t)
	hours := write(t, "w.epw", []byte(greyYear()))
	args := []string{"sun", "--pole", "Sunny Shoulder", "--search-m", "5000", "--format", "json"}
	for range 30 {
		args = append(args, "--weather", hours)
	}
	met := 0
	for _, wait := range []time.Duration{100, 200, 400, 800, 1600, 3200} {
		cmd, errOut := program(t, false, append(args, sunPlan)...)
		var out bytes.Buffer
		cmd.Stdout = &out
		code, took, late, early := interruptedAfter(t, cmd, errOut, wait*time.Millisecond)
		if late || out.Len() > 0 || early {
			continue // it had ended, or had not begun to listen
		}
		met++
		if code != exitFailed || !strings.Contains(errOut.String(), "interrupted, nothing written") {
			t.Errorf("after %d ms: exit %d, %q", wait, code, errOut)
		}
		t.Logf("after %d ms: ended %d ms after the signal", wait, took.Milliseconds())
	}
	if met == 0 {
		t.Error("no signal met the program at work")
	}
}
