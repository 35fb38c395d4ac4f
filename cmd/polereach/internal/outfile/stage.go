package outfile

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

// stagedFile is an output that is complete and not yet in its place.
type stagedFile struct {
	path   string
	before os.FileInfo // of the file that is there, nil for none
	f      *os.File    // the new one, beside; nil once it is gone or in its place
	into   *Pieces     // what goes into a device or a pipe
	old    string      // the hidden name of the old one
	placed bool
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// stage writes beside path. A link stays one, what it leads to is replaced; the mode of a
// file that is there stays, a new one has what the umask leaves. A device or a pipe is not
// replaced: what goes into it is held. What killed runs left beside path goes.
func stage(path string, write func(io.Writer) error) (staged *stagedFile, err error) {
	if linked, err := filepath.EvalSymlinks(path); err == nil {
		path = linked
	} else if to, err := os.Readlink(path); err == nil { // to nothing yet
		if !filepath.IsAbs(to) {
			to = filepath.Join(filepath.Dir(path), to)
		}
		path = to
	}
	s := &stagedFile{path: path}
	s.before, err = os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		s.before = nil
		if folder := filepath.Dir(path); !isFolder(folder) {
			return nil, fmt.Errorf("%s: no folder %s", path, folder)
		}
	case err != nil:
		return nil, err
	case s.before.IsDir():
		return nil, fmt.Errorf("%s is a folder", path)
	case !s.before.Mode().IsRegular():
		s.into = new(Pieces)
		return s, write(s.into)
	}
	removeLeftovers(path)
	if s.f, err = createBeside(path); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			s.discard()
		}
	}()
	out := bufio.NewWriterSize(s.f, writeB)
	if err = write(out); err == nil {
		err = out.Flush()
	}
	if err == nil && s.before != nil {
		err = s.f.Chmod(s.before.Mode().Perm())
	}
	if err == nil {
		err = s.f.Sync()
	}
	if err == nil && !locks { // there an open file cannot be renamed; elsewhere it stays held until it is
		err = s.f.Close()
	}
	return s, err
}

// place moves the new file to its place.
func (s *stagedFile) place() error {
	if err := Move(s.f.Name(), s.path); err != nil {
		return err
	}
	gone(s.f.Name())
	s.placed = true
	f := s.f
	s.f = nil
	if locks {
		return f.Close()
	}
	return nil
}

// discard removes the new file if it is not in its place.
func (s *stagedFile) discard() {
	if s.f != nil {
		s.f.Close()
		os.Remove(s.f.Name())
		gone(s.f.Name())
		s.f = nil
	}
}

// pour fills a device or a pipe, once all is there.
func (s *stagedFile) pour() error {
	f, err := os.OpenFile(s.path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = s.into.WriteTo(f)
	return errors.Join(err, f.Close())
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
				return f, keep(name)
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
