package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
)

// asProgram makes the test program be polereach, to send it signals.
const asProgram = "POLEREACH_TEST_AS_PROGRAM"

// againAndAgain makes it run without end, to be killed while it writes.
const againAndAgain = "POLEREACH_TEST_AGAIN"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) == "" {
		os.Exit(m.Run())
	}
	dieAtMove(os.Getenv(moveToDieAt))
	for os.Getenv(againAndAgain) != "" {
		for _, sf := range []string{"10", "11"} {
			args := append([]string{os.Args[0]}, os.Args[1:]...)
			if code := run(context.Background(), append(args, "--sf", sf), os.Stdout, os.Stderr); code != exitHolds {
				os.Exit(code)
			}
		}
	}
	main()
}

func program(t *testing.T, again bool, args ...string) (cmd *exec.Cmd, errOut *bytes.Buffer) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd = exec.Command(self, args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	if again {
		cmd.Env = append(cmd.Env, againAndAgain+"=1")
	}
	errOut = &bytes.Buffer{}
	cmd.Stderr = errOut
	return cmd, errOut
}

// interruptedAfter starts a program, sends it Ctrl-C after a while and waits, for 20 s at most. It returns the exit
// code, how long the program took after the signal, and whether it came too late or before the program
// listened.
func interruptedAfter(t *testing.T, cmd *exec.Cmd, errOut *bytes.Buffer, after time.Duration) (code int,
	took time.Duration,
	late, early bool) {
	t.Helper()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(after)
	late = cmd.Process.Signal(os.Interrupt) != nil
	begin := time.Now()
	hang := time.AfterFunc(20*time.Second, func() { cmd.Process.Kill() })
	_ = cmd.Wait()
	stopped := hang.Stop()
	code = cmd.ProcessState.ExitCode()
	return code, time.Since(begin), late, code == -1 && stopped && errOut.Len() == 0
}

// Ctrl-C in the middle of a run: exit 1, a word, and neither the file nor a
// piece of it. How long it takes is told; only a hang fails. Where the signal comes
// before the program listens, or after it has ended, it is tried again, later or sooner.
func TestInterruptedPlanLeavesNothing(t *testing.T) {
	path := scattered(t, 850, 0.15, 0.13)
	wait := 500 * time.Millisecond
	for range 12 {
		dir := t.TempDir()
		cmd, errOut := program(t, false, "plan", "--dem", demo+"dem", "--max-pairs", "500000", "--format", "json", "--out",
			filepath.Join(dir, "mesh.json"), path)
		code, took, late, early := interruptedAfter(t, cmd, errOut, wait)
		left, leftErr := os.ReadDir(dir)
		switch {
		case late || code != exitFailed && len(left) == 1 && left[0].Name() == "mesh.json":
			wait /= 2
			continue
		case early:
			wait += wait / 2
			continue
		case code != exitFailed || !strings.Contains(errOut.String(), "interrupted, nothing written"):
			t.Errorf("exit %d, stderr %q", code, errOut)
		}
		t.Logf("ended %d ms after the signal: %q", took.Milliseconds(), errOut)
		if leftErr != nil || len(left) != 0 {
			t.Errorf("left behind: %v %v", left, leftErr)
		}
		return
	}
	t.Error("no signal met the program at work")
}

// Ctrl-C while the answer is being written: the file of before stays.
func TestInterruptedWritingLeavesTheOldFile(t *testing.T) {
	path := write(t, "mesh.json", []byte("old"))
	ctx, cancel := context.WithCancel(context.Background())
	var one outfile.Set
	defer one.Discard()
	err := one.Add(path, func(w io.Writer) error {
		out := writerUntil{ctx, w}
		if _, err := out.Write(make([]byte, 1<<20)); err != nil {
			return err
		}
		cancel()
		_, err := out.Write([]byte("more"))
		return err
	})
	if !errors.Is(err, context.Canceled) || codeOf(failed(err)) != exitFailed {
		t.Errorf("error %v", err)
	}
	if data, err := os.ReadFile(path); string(data) != "old" || len(beside(path)) > 0 {
		t.Errorf("%d bytes, %v, left behind %v", len(data), err, beside(path))
	}
}

// kill -9 at any time, while it writes too: the file holds the whole of the one
// answer or the whole of the other.
func TestKilledPlanLeavesTheOldOutputWhole(t *testing.T) {
	long(t)
	out := filepath.Join(t.TempDir(), "mesh.json")
	args := []string{"plan", "--format", "json", demoPlan}
	whole := map[string]bool{}
	for _, sf := range []string{"10", "11"} {
		r := polereach(t, append(args, "--sf", sf)...)
		if r.code != exitHolds {
			t.Fatal(r.err)
		}
		whole[r.out] = true
	}
	writing := 0
	for i := range 12 {
		cmd, errOut := program(t, true, append(args, "--out", out)...)
		before := len(beside(out))
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if waitForWriting(t, out, before) {
			writing++
		}
		if err := cmd.Process.Signal(syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		_ = cmd.Wait() // killed
		data, err := os.ReadFile(out)
		if err != nil || !whole[string(data)] {
			t.Fatalf("kill %d: the output is neither answer, %d bytes, %v; stderr %q", i, len(data), err, errOut)
		}
	}
	t.Logf("%d of 12 kills while a new file was being written", writing)
	if writing == 0 {
		t.Error("no kill met a file being written")
	}
}

// waitForWriting returns once an output exists and, before the time is over, a
// new one is being written beside it; before is how many earlier kills left.
func waitForWriting(t *testing.T, out string, before int) bool {
	t.Helper()
	end := time.Now().Add(10 * time.Second)
	begun := time.Time{}
	for time.Now().Before(end) {
		if _, err := os.Stat(out); err == nil {
			if begun.IsZero() {
				begun = time.Now()
			}
			if len(beside(out)) > before {
				return true
			}
			if time.Since(begun) > 3*time.Second {
				return false
			}
		}
	}
	t.Fatal("no output within 10 s")
	return false
}

// beside are the files begun and not yet renamed.
func beside(out string) []string {
	list, _ := filepath.Glob(filepath.Join(filepath.Dir(out), "."+filepath.Base(out)+".*"))
	return list
}
