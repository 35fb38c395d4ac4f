package terrain

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Columns of a profile in a table; the third may be left out.
var profileColumns = []string{"dist_m", "ground_m", "top_m"}

// Limits of a profile read from a table, beside MaxProfilePoints.
const (
	profileCSVBytes  = 64 << 20
	profileCSVFaults = 50 // listed; the rest are counted
	leastStepM       = 0.001
	stepRoundingM    = 1e-9 // of distances written to the millimetre
	leastLengthM     = 1
	mostLengthM      = 1000e3
	leastHeightM     = -500
	mostHeightM      = 9000
)

// ReadProfile reads the ground along a path from a table with comma-separated
// values: one line for every point, under a header with the columns
//
//	dist_m    from the first end, m: 0 first, then rising, at most 1000 km
//	ground_m  the ground there, m above any datum, -500 to 9000
//	top_m     the top of what stands on it, m above the same datum, not below the
//	          ground; may be left out
//
// in any order, decimals with a point; lines that begin with # are left out. The
// profile has no places and no azimuths. The error lists every fault with its line.
func ReadProfile(r io.Reader) (Profile, error) {
	limited := &io.LimitedReader{R: r, N: profileCSVBytes + 1}
	text := bufio.NewReader(limited)
	if mark, err := text.Peek(3); err == nil && bytes.Equal(mark, []byte("\xef\xbb\xbf")) {
		_, _ = text.Discard(3) // a byte order mark, which spreadsheets write
	}
	t := profileTable{csv: csv.NewReader(text)}
	t.csv.Comment, t.csv.FieldsPerRecord, t.csv.ReuseRecord, t.csv.TrimLeadingSpace = '#', -1, true, true
	t.header()
	for len(t.at) > 0 && t.point() {
	}
	switch {
	case limited.N == 0:
		t.fault(0, "more than %d MiB, allowed up to that", profileCSVBytes>>20)
	case t.ended && len(t.at) > 0 && t.rows < 2:
		t.fault(0, "%d points, allowed 2 to %d", t.rows, MaxProfilePoints)
	case len(t.errs) == 0 && t.p.LengthM() < leastLengthM:
		t.fault(0, "the path is %g m long, allowed %d m to %g km", t.p.LengthM(), leastLengthM, mostLengthM/1000)
	}
	if t.faults > len(t.errs) {
		t.errs = append(t.errs, fmt.Errorf("and %d faults more", t.faults-len(t.errs)))
	}
	if err := errors.Join(t.errs...); err != nil {
		return Profile{}, err
	}
	return t.p, nil
}

// profileTable is a table being read.
type profileTable struct {
	csv    *csv.Reader
	at     []int // column -> field of a line, -1 for none; empty without a header
	fields int
	rows   int
	ended  bool // all of it was read
	p      Profile
	errs   []error
	faults int
}

func (t *profileTable) fault(line int, format string, args ...any) {
	if t.faults++; len(t.errs) == profileCSVFaults {
		return
	}
	err := fault.Input(format, args...)
	if line > 0 {
		err = fmt.Errorf("line %d: %w", line, err)
	}
	t.errs = append(t.errs, err)
}

// read returns the next line; nil at the end, or where what is there is no table.
func (t *profileTable) read() (fields []string, line int) {
	fields, err := t.csv.Read()
	var broken *csv.ParseError
	if errors.As(err, &broken) {
		t.fault(broken.Line, "%w", broken.Err)
	} else if t.ended = err == io.EOF; err != nil && !t.ended {
		t.fault(0, "%w", err)
	}
	if err != nil {
		return nil, 0
	}
	line, _ = t.csv.FieldPos(0)
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	return fields, line
}

// header finds the columns; one that is not known may be a slip of the pen in one
// that is.
func (t *profileTable) header() {
	const allowed = "allowed dist_m, ground_m and perhaps top_m"
	fields, line := t.read()
	if fields == nil {
		if t.faults == 0 {
			t.fault(0, "no header, %s", allowed)
		}
		return
	}
	at := []int{-1, -1, -1}
	for i, name := range fields {
		switch column := slices.Index(profileColumns, name); {
		case column < 0:
			t.fault(line, "column %.40q, %s", name, allowed)
		case at[column] >= 0:
			t.fault(line, "column %q twice, %s", name, allowed)
		default:
			at[column] = i
		}
	}
	for column, i := range at[:2] {
		if i < 0 {
			t.fault(line, "column %s is missing, %s", profileColumns[column], allowed)
		}
	}
	if t.faults == 0 {
		t.at, t.fields = at, len(fields)
	}
}

// point reads one line into the profile; false at the end.
func (t *profileTable) point() bool {
	fields, line := t.read()
	if fields == nil {
		return false
	}
	if t.rows++; t.rows > MaxProfilePoints {
		t.fault(line, "more than %d points, allowed 2 to that", MaxProfilePoints)
		return false
	}
	if len(fields) != t.fields {
		t.fault(line, "%d values, allowed %d as in the header, decimals with a point", len(fields), t.fields)
		return true
	}
	before := t.faults
	distM := t.number(fields, line, 0, 0, mostLengthM)
	groundM := t.number(fields, line, 1, leastHeightM, mostHeightM)
	topM := groundM
	if t.at[2] >= 0 {
		topM = t.number(fields, line, 2, leastHeightM, mostHeightM)
	}
	if t.faults > before {
		return true
	}
	n := len(t.p.DistM)
	switch {
	case n == 0 && distM != 0 && t.rows == 1:
		t.fault(line, "dist_m: found %g, the first must be 0", distM)
	case n > 0 && !(distM-t.p.DistM[n-1] >= leastStepM-stepRoundingM):
		t.fault(line, "dist_m: found %g after %g, allowed only rising, by 1 mm and more", distM, t.p.DistM[n-1])
	}
	if topM < groundM {
		t.fault(line, "top_m: found %g over ground_m %g, allowed not below it", topM, groundM)
	}
	t.p.DistM, t.p.HeightM = append(t.p.DistM, distM), append(t.p.HeightM, groundM)
	if t.at[2] >= 0 {
		t.p.TopM = append(t.p.TopM, topM)
	}
	return true
}

// number reads the value of a column.
func (t *profileTable) number(fields []string, line, column int, low, high float64) float64 {
	text := fields[t.at[column]]
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= low && v <= high) || strings.ContainsAny(text, "xX_") {
		t.fault(line, "%s: found %.40q, allowed %g to %.7g m", profileColumns[column], text, low, high)
	}
	return v
}
