package main

import (
	"context"
	"errors"
	"fmt"
)

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
