//go:build unix

package outfile

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// locks says whether hold tells a file of a living run from one of a dead one.
const locks = true

// hold makes f this run's until it is closed or the run ends: flock(2). The error is
// errHeld where another run has it, else that of a file system that knows no locks.
func hold(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return errHeld
	}
	return err
}
