package outfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func fill(text string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	}
}

// replace writes a single file.
func replace(path string, write func(io.Writer) error) error {
	var one Set
	defer one.Discard()
	if err := one.Add(path, write); err != nil {
		return err
	}
	return one.Commit()
}

// A file that is there keeps its mode, a new one gets what the umask leaves.
func TestOutputKeepsTheMode(t *testing.T) {
	dir := t.TempDir()
	private, fresh := filepath.Join(dir, "private"), filepath.Join(dir, "fresh")
	if err := os.WriteFile(private, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	like := filepath.Join(dir, "like")
	f, err := os.Create(like)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	for _, path := range []string{private, fresh} {
		if err := replace(path, fill("new")); err != nil {
			t.Fatal(err)
		}
	}
	mode := func(path string) os.FileMode {
		st, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		return st.Mode()
	}
	if got := mode(private); got != 0o600 {
		t.Errorf("a private file has become %v", got)
	}
	if got, want := mode(fresh), mode(like); got != want {
		t.Errorf("a new file is %v, os.Create makes %v", got, want)
	}
}

// A link stays a link, what it leads to is replaced, be it there or not; a device and a
// pipe stay what they are.
func TestOutputLeavesWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"there", "not-yet"} {
		target, link := filepath.Join(dir, name), filepath.Join(dir, "link-to-"+name)
		if name == "there" {
			if err := os.WriteFile(target, []byte("old"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if err := os.Symlink(name, link); err != nil {
			t.Skip("no links here:", err)
		}
		if err := replace(link, fill("new")); err != nil {
			t.Fatal(err)
		}
		st, err := os.Lstat(link)
		if err != nil || st.Mode()&os.ModeSymlink == 0 {
			t.Errorf("%s: the link has become %v, %v", name, st.Mode(), err)
		}
		if got, err := os.ReadFile(target); string(got) != "new" {
			t.Errorf("%s holds %q, %v", name, got, err)
		}
	}
	before, err := os.Stat(os.DevNull)
	if err != nil {
		t.Skip("no device here:", err)
	}
	if err := replace(os.DevNull, fill("gone")); err != nil {
		t.Error(err)
	}
	if after, err := os.Stat(os.DevNull); err != nil || after.Mode() != before.Mode() {
		t.Errorf("the device has become %v, %v", after.Mode(), err)
	}
	if err := replace(dir, fill("x")); err == nil || !strings.Contains(err.Error(), "folder") {
		t.Errorf("into a folder: %v", err)
	}
}

// What a killed run left goes with the next one; what a living one holds stays.
func TestLeftoversGo(t *testing.T) {
	if !locks {
		t.Skip("no locks here: what is left cannot be told from what is being written")
	}
	path := filepath.Join(t.TempDir(), "mesh.json")
	left := filepath.Join(filepath.Dir(path), ".mesh.json.99999.0"+besideEnd)
	other := filepath.Join(filepath.Dir(path), ".other.json.99999.0"+besideEnd)
	for _, name := range []string{left, other} {
		if err := os.WriteFile(name, []byte("half"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	held, err := createBeside(path)
	if err != nil {
		t.Fatal(err)
	}
	defer held.Close()
	if err := replace(path, fill("new")); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{left: false, other: true, held.Name(): true, path: true} {
		if _, err := os.Stat(name); (err == nil) != want {
			t.Errorf("%s is there: %t, want %t", filepath.Base(name), err == nil, want)
		}
	}
}

// Another run's file is told from one that cannot be locked, on which work goes on.
func TestHeldIsNotLockless(t *testing.T) {
	if !locks {
		t.Skip("no locks here: nothing is held")
	}
	mine, err := createBeside(filepath.Join(t.TempDir(), "mesh.json"))
	if err != nil {
		t.Fatal(err)
	}
	again, err := os.OpenFile(mine.Name(), os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	if err := hold(again); !errors.Is(err, errHeld) {
		t.Errorf("a file that is being written: %v", err)
	}
	again.Close()
	mine.Close()
	if err := hold(mine); err == nil || errors.Is(err, errHeld) {
		t.Errorf("a file that cannot be locked: %v", err)
	}
}
