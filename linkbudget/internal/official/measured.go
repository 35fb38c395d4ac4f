package official

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"testing"
)

// Measured reads a table below the folder of open measurement sets, or skips the test.
func Measured(t *testing.T, separator rune, path ...string) [][]string {
	t.Helper()
	dir := os.Getenv("POLEREACH_FIELD_DIR")
	if dir == "" {
		t.Skip("POLEREACH_FIELD_DIR is not set: it names the folder with open measurement sets")
	}
	f, err := os.Open(filepath.Join(append([]string{dir}, path...)...))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comma = separator
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}
