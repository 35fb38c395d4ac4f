package outfile

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// Who ends without waiting leaves no hidden file, and nobody gets a file in place afterwards.
func TestAbandon(t *testing.T) {
	if dir := os.Getenv("POLEREACH_TEST_ABANDON_IN"); dir != "" {
		abandonIn(dir)
		return
	}
	dir := t.TempDir()
	c := exec.Command(os.Args[0], "-test.run=^TestAbandon$")
	c.Env = append(os.Environ(), "POLEREACH_TEST_ABANDON_IN="+dir)
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 || entries[0].Name() != "first" {
		t.Errorf("left: %v, %v", entries, err)
	}
}

func abandonIn(dir string) {
	if err := replace(filepath.Join(dir, "first"), fill("whole")); err != nil || Whole() != 1 {
		panic("the first file is not whole")
	}
	var set Set
	if err := set.Add(filepath.Join(dir, "ready"), fill("ready")); err != nil {
		panic(err)
	}
	var second Set
	err := second.Add(filepath.Join(dir, "half"), func(w io.Writer) error {
		Abandon()
		_, err := io.WriteString(w, "half")
		return err
	})
	if err != nil {
		panic(err)
	}
	var late Set
	if err := late.Add(filepath.Join(dir, "late"), fill("late")); !errors.Is(err, errAbandoned) {
		panic("a file comes after the end")
	}
	os.Exit(0)
}
