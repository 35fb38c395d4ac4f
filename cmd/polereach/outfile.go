package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// besideEnd ends the hidden names of files that are being written.
const besideEnd = ".polereach-part"

// errHeld is that of a file that another run is writing.
var errHeld = errors.New("held by another run")

// streamFile writes beside and renames: path holds the old bytes or all of the new ones,
// whatever happens in between. A link stays one, what it leads to is replaced; the mode
// of a file that is there stays, a new one has what the umask leaves. Into a device or a
// pipe it writes, and does not replace it. What killed runs left beside path goes.
func streamFile(path string, write func(io.Writer) error) (err error) {
	if linked, err := filepath.EvalSymlinks(path); err == nil {
		path = linked
	} else if to, err := os.Readlink(path); err == nil { // to nothing yet
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	before, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
	case err != nil:
		return err
	case before.IsDir():
		return fmt.Errorf("%s is a folder", path)
	case !before.Mode().IsRegular():
		return writeInto(path, write)
	}
	removeLeftovers(path)
	f, err := createBeside(path)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	out := bufio.NewWriterSize(f, writeB)
	if err = write(out); err == nil {
		err = out.Flush()
	}
	if err == nil && before != nil {
		err = f.Chmod(before.Mode().Perm())
	}
	if err == nil {
		err = f.Sync()
	}
	if err == nil && !locks { // there an open file cannot be renamed; elsewhere it stays held until it is
		err = f.Close()
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err == nil && locks {
		err = f.Close()
	}
	return err
}

// writeInto fills a device or a pipe, once all is there.
func writeInto(path string, write func(io.Writer) error) error {
	var held pieces
	if err := write(&held); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return errors.Join(held.writeTo(f), f.Close())
}

// createBeside makes a hidden file in the folder of path, held by this run.
func createBeside(path string) (*os.File, error) {
	dir, base := filepath.Split(path)
	for try := 0; ; try++ {
		name := fmt.Sprintf("%s.%s.%d.%d%s", dir, base, os.Getpid(), try, besideEnd)
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err == nil {
			// Where no locks are known, nobody takes it for a leftover either.
			if !errors.Is(hold(f), errHeld) && isAt(f, name) {
				return f, nil
			}
			f.Close() // taken for a leftover by another run, before it was held
			err = fmt.Errorf("%s: %w", name, errHeld)
		}
		if !errors.Is(err, os.ErrExist) && !errors.Is(err, errHeld) || try == 100 {
			return nil, err
		}
	}
}

// isAt reports whether f is the file of that name.
func isAt(f *os.File, name string) bool {
	ours, err := f.Stat()
	there, errThere := os.Stat(name)
	return err == nil && errThere == nil && os.SameFile(ours, there)
}

// removeLeftovers removes what killed runs left beside path: hidden files that no run
// holds. What cannot be told stays.
func removeLeftovers(path string) {
	dir, base := filepath.Split(path)
	entries, _ := os.ReadDir(filepath.Clean(dir + "."))
	for _, e := range entries {
		name := e.Name()
		if !e.Type().IsRegular() || !strings.HasPrefix(name, "."+base+".") || !strings.HasSuffix(name, besideEnd) {
			continue
		}
		f, err := os.OpenFile(dir+name, os.O_WRONLY, 0)
		if err != nil {
			continue
		}
		if locks && hold(f) == nil {
			os.Remove(dir + name)
		}
		f.Close()
	}
}
