package attack

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"syscall"
	"time"
)

// outcome is what a run of the program came to.
type outcome struct {
	code     int // -1 where a signal ended it
	signal   syscall.Signal
	out, err capped
	took     time.Duration
	cpu      time.Duration
	kib      int64
}

// capped keeps the first bytes written to it.
type capped struct{ bytes.Buffer }

const mostKept = 8 << 20

func (b *capped) Write(data []byte) (int, error) {
	b.Buffer.Write(data[:min(len(data), max(0, mostKept-b.Len()))])
	return len(data), nil
}

// run runs the program in the folder of the case; disturb, if any, runs beside it.
func (t *try) run(program string, disturb func(*os.Process), args ...string) *outcome {
	t.last = append([]string{program}, args...)
	ctx, cancel := context.WithTimeout(t.c.ctx, mostTime+2*time.Second)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir, cmd.WaitDelay = t.dir, 2*time.Second
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}                                // Ctrl-C is for the campaign
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGQUIT) } // tells where it hangs
	cmd.Env = append(os.Environ(), "TMPDIR="+t.dir)
	cmd.Env = append(cmd.Env, t.c.network.env()...)
	o := &outcome{}
	cmd.Stdout, cmd.Stderr = &o.out, &o.err
	began := time.Now()
	if err := cmd.Start(); err != nil {
		if t.c.ctx.Err() != nil {
			return &outcome{code: -1} // the campaign is at its end
		}
		panic(err)
	}
	if disturb != nil {
		disturb(cmd.Process)
	}
	err := cmd.Wait()
	o.took = time.Since(began)
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) && t.c.ctx.Err() == nil && ctx.Err() == nil {
		t.fault("it could not be run: %v", err)
	}
	status := cmd.ProcessState.Sys().(syscall.WaitStatus)
	o.code = status.ExitStatus()
	if status.Signaled() {
		o.code, o.signal = -1, status.Signal()
	}
	o.cpu = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	o.kib = int64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss) // an int32 with 32 bits
	t.c.mu.Lock()
	t.row.ran(o, t)
	t.c.mu.Unlock()
	return o
}

var (
	// nonFinite are figures that are none, as Go, C and JavaScript write them.
	nonFinite = regexp.MustCompile(`(?i)(^|[\s:,\[(=])[-+]?(nan|inf|infinity)($|[\s,\])}%])`)
	// crashed is what a Go program says as it falls.
	crashed = regexp.MustCompile(`(?m)^(panic: |fatal error: |runtime: |SIG[A-Z]+: )|\[recovered\]|runtime error:|goroutine \d+ \[`)
	// steering is what a terminal obeys or does not show.
	steering = regexp.MustCompile("[\\x00-\\x08\\x0b-\\x1f\\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
)

// rowEnd ends the rows of CSV (RFC 4180).
var rowEnd = []byte("\r\n")

// judge tells the faults that any run can have. A run that is sent a signal may end by it.
func (t *try) judge(o *outcome, sent ...syscall.Signal) {
	for _, s := range sent {
		if o.signal == s {
			return
		}
	}
	text := func(b *capped) string { return b.String()[:min(b.Len(), 600)] }
	switch {
	case o.took > mostTime:
		t.put("stacks.txt", o.err.Bytes())
		t.fault("it runs for longer than %v, of which %v on a processor", mostTime, o.cpu)
	case o.kib > mostKiB:
		t.fault("it takes %d MiB, allowed %d", o.kib>>10, mostKiB>>10)
	case crashed.Match(o.err.Bytes()) || crashed.Match(o.out.Bytes()):
		t.fault("it falls: %s", text(&o.err))
	case o.signal != 0:
		t.fault("ended by the signal %v: %s", o.signal, text(&o.err))
	case o.code < 0 || o.code > 4:
		t.fault("exit code %d: %s", o.code, text(&o.err))
	case (o.code == 1 || o.code == 2) && !strings.HasPrefix(o.err.String(), "polereach: "):
		t.fault("exit code %d without a reason: %s", o.code, text(&o.err))
	case nonFinite.Match(o.out.Bytes()):
		t.fault("it tells a figure that is none: %q", nonFinite.Find(o.out.Bytes()))
	case steering.Match(o.err.Bytes()):
		t.fault("characters that steer a terminal in the message: %q", text(&o.err))
	case !bytes.HasPrefix(o.out.Bytes(), []byte("{")) && steering.Match(bytes.ReplaceAll(o.out.Bytes(), rowEnd, nil)):
		t.fault("characters that steer a terminal in the output: %q", steering.FindAll(o.out.Bytes(), 5))
	}
}

// refused reports whether nothing was computed.
func (o *outcome) refused() bool { return o.code == 1 || o.code == 2 }
