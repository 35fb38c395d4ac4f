// Package official reads the validation data of the ITU-R for tests: the delta-Bullington
// examples of Study Group 3, the profiles and results of P.1812-6 and P.452-18, P.2108.
// They stay outside the repository; POLEREACH_REFERENCE_DIR names the folder that holds
// them in itu. And what others measured, below the folder that POLEREACH_FIELD_DIR names.
package official

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Folder returns the folder of one data set or skips the test.
func Folder(t *testing.T, set string) string {
	t.Helper()
	root := os.Getenv("POLEREACH_REFERENCE_DIR")
	if root == "" {
		t.Skip("ITU validation data not read: set POLEREACH_REFERENCE_DIR to the folder that holds itu/" + set)
	}
	return filepath.Join(root, "itu", set)
}

// Rows reads a CSV file of uneven rows, blanks trimmed.
func Rows(t *testing.T, path string) [][]string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.LazyQuotes = -1, true
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	for _, row := range rows {
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
	}
	return rows
}

// Number is the number of a field.
func Number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Profile reads rows of distance (km), height (m) and, where clutter is its column,
// clutter height (m); clutter < 0: none. All three in m.
func Profile(t *testing.T, rows [][]string, clutter int) (distM, groundM, clutterM []float64) {
	t.Helper()
	for _, row := range rows {
		distM = append(distM, 1e3*Number(t, row[0]))
		groundM = append(groundM, Number(t, row[1]))
		if clutter >= 0 {
			clutterM = append(clutterM, Number(t, row[clutter]))
		}
	}
	return distM, groundM, clutterM
}

// Begun are the rows of a profile of P.1812 that hold points.
func Begun(t *testing.T, path string) [][]string {
	t.Helper()
	rows := Rows(t, path)
	begin := slices.IndexFunc(rows, func(r []string) bool { return r[0] == "{Begin of Profile}" })
	if begin < 0 {
		t.Fatalf("%s: no profile", path)
	}
	return rows[begin+2 : begin+2+int(Number(t, rows[begin+1][1]))]
}

// Case is one file of the P.1812-6 results with its profile.
type Case struct {
	Name  string
	Value map[string]float64 // first occurrence of each name
	// ClutterM stands on the ground, R_i.
	DistM, GroundM, ClutterM []float64
}

// P1812 reads all 30 cases of P.1812-6, or skips the test.
func P1812(t *testing.T) []Case {
	t.Helper()
	dir := Folder(t, "p1812")
	files, err := filepath.Glob(filepath.Join(dir, "results", "*.csv"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 30 {
		t.Fatalf("%d result files in itu/p1812/results, want 30", len(files))
	}
	cases := make([]Case, 0, len(files))
	for _, file := range files {
		c := Case{Name: strings.TrimSuffix(filepath.Base(file), ".csv"), Value: map[string]float64{}}
		for _, row := range Rows(t, file) {
			if len(row) < 4 || row[3] == "" || row[3] == "Value" {
				continue
			}
			row[0] = strings.TrimSpace(row[0])
			if _, seen := c.Value[row[0]]; !seen {
				c.Value[row[0]] = Number(t, row[3])
			}
		}
		for _, name := range []string{
			"f (GHz)", "p (%)", "d (km)", "N0", "hts (m)", "hrs (m)", "hst (m)", "hsr (m)", "ae (km)",
			"th_t (mrad)", "th_r (mrad)", "th (mrad)", "Lbfs", "Lbs (dB)", "Lbam (dB)", "Lbc (dB)",
		} {
			if _, ok := c.Value[name]; !ok {
				t.Fatalf("%s: no value %q", c.Name, name)
			}
		}
		profile := c.Name[:strings.LastIndexByte(c.Name, '_')] + ".csv"
		c.DistM, c.GroundM, c.ClutterM = Profile(t, Begun(t, filepath.Join(dir, "profiles", profile)), 3)
		cases = append(cases, c)
	}
	return cases
}

// Worst keeps the largest difference of each quantity.
type Worst map[string]float64

// Check fails unless got is within tol of want.
func (w Worst) Check(t *testing.T, where, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s at %s = %.10g, want %.10g ± %g", what, where, got, want, tol)
	}
	w[what] = max(w[what], math.Abs(got-want))
}

// Log tells the worst; no case at all is a failure.
func (w Worst) Log(t *testing.T, set string, cases int) {
	t.Helper()
	if cases == 0 {
		t.Errorf("%s: no case found", set)
	}
	t.Logf("%s: %d cases, worst differences %v", set, cases, map[string]float64(w))
}
