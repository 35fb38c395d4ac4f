//go:build unix

package main

import (
	"os"

	"golang.org/x/sys/unix"
)

// locks says whether hold tells a file of a living run from one of a dead one.
const locks = true

// hold makes f this run's until it is closed or the run ends, and reports whether no
// other run has it: flock(2).
func hold(f *os.File) bool { return unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB) == nil }
