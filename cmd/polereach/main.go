// Command polereach tells whether a small LoRa node on a pole reaches its
// neighbours. See the README, or run it with --help.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
)

func main() {
	collectLate()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	out, code := &watchedWriter{Writer: os.Stdout}, make(chan int, 1)
	go func() { code <- run(ctx, os.Args, out, os.Stderr) }()
	os.Exit(ended(ctx, code, out, os.Stderr, func() string { outfile.Abandon(); return left(0) }))
}

// patience is how long work that was interrupted may take to come to an end by itself.
const patience = 500 * time.Millisecond

// ended waits for the exit code, and not for work that does not look up when it is
// interrupted: a year of weather, a raster on a slow disk. What it was writing goes.
func ended(ctx context.Context, code <-chan int, out *watchedWriter, errOut io.Writer, abandon func() string) int {
	select {
	case c := <-code:
		return c
	case <-ctx.Done():
	}
	select {
	case c := <-code:
		return c
	case <-time.After(patience):
	}
	what := abandon()
	if out.began.Load() {
		what = "standard output is cut"
	}
	fmt.Fprintf(errOut, "polereach: interrupted, %s\n", what)
	return exitFailed
}

// left is what an interrupted run leaves, of which as many sets of files were whole before.
func left(before int) string {
	if outfile.Whole() > before {
		return "the files written are whole"
	}
	return "nothing written"
}

// watchedWriter knows whether anything was written to it.
type watchedWriter struct {
	io.Writer
	began atomic.Bool
}

// Columns are those of the terminal behind it, 0 for none.
func (w *watchedWriter) Columns() int { return commandline.Columns(w.Writer) }

func (w *watchedWriter) Write(data []byte) (int, error) {
	w.began.Store(true)
	return w.Writer.Write(data)
}

// collectFromB is the memory from which on the garbage collector works, bytes. Most runs
// end below it: 4 per cent less time for a plan with 80,000 pairs.
const collectFromB = 128 << 20

// collectLate puts the first collection off until that much memory is in use; from
// then on the collector works as it always does. Who has set GOGC or GOMEMLIMIT is
// left with it.
func collectLate() {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	percent := debug.SetGCPercent(-1)
	limit := debug.SetMemoryLimit(collectFromB)
	// Unreachable from the start, it is found to be so by the first collection.
	runtime.SetFinalizer(new(firstCollection), func(*firstCollection) {
		debug.SetMemoryLimit(limit)
		debug.SetGCPercent(percent)
	})
}

// firstCollection is large enough not to share its piece of memory with others.
type firstCollection [32]byte

// Exit codes, the same for every command.
const (
	exitHolds    = 0 // computed, and everything wanted holds
	exitFailed   = 1 // could not be computed: reading, writing, interrupted
	exitUsage    = 2 // usage or bad input
	exitNotHeld  = 3 // computed, something wanted does not hold
	exitUnjudged = 4 // computed, something could not be judged: terrain missing
)

// exitError carries an exit code with an error; err is nil for codes 3 and 4.
type exitError struct {
	code int
	err  error
}

func (e *exitError) Error() string {
	if e.err == nil {
		return fmt.Sprintf("exit code %d", e.code)
	}
	return e.err.Error()
}

func (e *exitError) Unwrap() error { return e.err }

// interrupted is an end by Ctrl-C that left something behind, on purpose.
type interrupted struct{ left string }

func (i interrupted) Error() string { return "interrupted, " + i.left }

func (interrupted) Unwrap() error { return context.Canceled }

// leftBy is what an interrupted run says that it left; "" if nothing.
func leftBy(err error) string {
	var i interrupted
	errors.As(err, &i)
	return i.left
}

// usage marks an error as the caller's: bad flags or bad input.
func usage(err error) error {
	if err == nil {
		return nil
	}
	return &exitError{exitUsage, err}
}

func usagef(format string, args ...any) error {
	return usage(fmt.Errorf(format, args...))
}

// failed marks an error as ours or the machine's.
func failed(err error) error { return &exitError{exitFailed, err} }

// codeOf returns the exit code of an error; unmarked ones are usage errors,
// which is what the flag parser returns.
func codeOf(err error) int {
	var e *exitError
	switch {
	case err == nil:
		return exitHolds
	case errors.Is(err, context.Canceled):
		return exitFailed
	case errors.As(err, &e):
		return e.code
	}
	return exitUsage
}
