// Package outfile writes the files of one run beside their names and moves them to their
// places when all are complete, so that a name holds the old bytes or all of the new ones.
package outfile

import (
	"errors"
	"io"
	"os"
	"slices"
)

// Set is what one run writes: files that belong together, a picture and its world file.
// All are written beside before any takes its place. No system call moves several files at
// once, so the old ones go before the first new one comes: a run that is killed in between
// leaves names without a file, never files of two runs. The last one added comes last: where
// it is, the set is whole.
type Set struct{ staged []*stagedFile }

// Add writes a file beside path.
func (s *Set) Add(path string, write func(io.Writer) error) error {
	f, err := stage(path, write)
	if err == nil {
		s.staged = append(s.staged, f)
	}
	return err
}

// Discard removes what was written beside and has not taken its place.
func (s *Set) Discard() {
	for _, f := range s.staged {
		f.discard()
	}
	s.staged = nil
}

// Move is [os.Rename]; tests end the program at it.
var Move = os.Rename

// Commit moves all files to their places. After an error the old ones are there again.
func (s *Set) Commit() (err error) {
	defer s.Discard()
	var into, files []*stagedFile
	for _, f := range s.staged {
		if f.into != nil {
			into = append(into, f)
		} else {
			files = append(files, f)
		}
	}
	if err := take(files); err != nil {
		return err
	}
	for _, f := range into {
		if err := f.pour(); err != nil {
			return err
		}
	}
	return nil
}

// take moves files to their places.
func take(files []*stagedFile) (err error) {
	moving.Lock()
	defer moving.Unlock()
	defer func() {
		if err != nil {
			for _, f := range files {
				f.takeBack()
			}
		}
	}()
	if len(files) > 1 {
		for _, f := range slices.Backward(files) {
			if err := f.setAside(); err != nil {
				return err
			}
		}
	}
	for _, f := range files {
		if err := f.place(); err != nil {
			return err
		}
	}
	for _, f := range files {
		f.forgetOld()
	}
	if len(files) > 0 {
		mu.Lock()
		whole++
		mu.Unlock()
	}
	return nil
}

// setAside gives the old file a hidden name.
func (f *stagedFile) setAside() error {
	if f.before == nil {
		return nil
	}
	old, err := createBeside(f.path)
	if err != nil {
		return err
	}
	if err := errors.Join(old.Close(), Move(f.path, old.Name())); err != nil {
		os.Remove(old.Name())
		gone(old.Name())
		return err
	}
	f.old = old.Name()
	return nil
}

// takeBack undoes setAside and place.
func (f *stagedFile) takeBack() {
	if f.placed && (f.old != "" || f.before == nil) {
		os.Remove(f.path)
	}
	if f.old != "" {
		_ = os.Rename(f.old, f.path) // the first error is told
		gone(f.old)
		f.old = ""
	}
}

func (f *stagedFile) forgetOld() {
	if f.old != "" {
		os.Remove(f.old)
		gone(f.old)
	}
}
