package calibrate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// File is a calibration as it stands beside a plan, with the settings it was made with:
// differences hold against predictions made alike.
type File struct {
	Schema      int     `json:"schema"` // 1
	Kind        string  `json:"kind"`   // "calibration"
	FreqMHz     float64 `json:"freq_mhz"`
	HardwareDB  float64 `json:"hardware_db"`
	Inside      string  `json:"inside"`
	TownPercent float64 `json:"town_percent"`
	linkbudget.Calibration
}

const fileKind = "calibration"

// NewFile puts what was found beside the settings.
func NewFile(c linkbudget.Calibration, s plan.Settings) File {
	return File{1, fileKind, s.Environment.FreqHz / 1e6, float64(s.Station.HardwareDB), s.Station.Surroundings.Word(),
		s.Environment.TownPercent, c}
}

// Write writes the file as JSON. The error is that of w.
func (f File) Write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(f)
}

// ReadFile reads a file that Write has written, under the name source. The error names a
// key or value that is not allowed ([fault.ErrInput]).
func ReadFile(source string, data []byte) (*File, error) {
	dec := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	dec.DisallowUnknownFields()
	var f File
	if err := dec.Decode(&f); err != nil {
		return nil, fault.Input("%s: %w", source, err)
	}
	var err error
	if _, more := dec.Token(); !errors.Is(more, io.EOF) {
		err = fault.Input("found more behind the object's end")
	}
	if f.Schema != 1 || f.Kind != fileKind {
		err = errors.Join(err, fault.Input("found schema %d of %q, allowed 1 of %q", f.Schema, f.Kind, fileKind))
	}
	if err = errors.Join(err, f.Prepare()); err != nil {
		return nil, fmt.Errorf("%s: %w", source, err)
	}
	f.Source = source
	return &f, nil
}

// mostMovedM is how far a node may stand from where it was heard and be the same: less
// than what is told of places by hand.
const mostMovedM = 30

// For is what holds of the calibration for a plan, and what was left out or does not fit: nodes
// that the plan does not have or has elsewhere, settings that differ.
func (f *File) For(p *plan.Plan, s plan.Settings) (*linkbudget.Calibration, []string) {
	out := f.Calibration
	out.Nodes, out.Paths = nil, nil
	if p == nil {
		return &out, nil
	}
	gone := map[string]bool{}
	var notes, moved, missing []string
	for _, n := range f.Nodes {
		st, ok := p.Station(n.Name)
		switch {
		case !ok:
			gone[n.Name], missing = true, append(missing, n.Name)
		case terrain.Inverse(st.At, orb.Point{n.LonDeg, n.LatDeg}).DistM > mostMovedM:
			gone[n.Name], moved = true, append(moved, n.Name)
		default:
			out.Nodes = append(out.Nodes, n)
		}
	}
	for _, path := range f.Paths {
		if !gone[path.From] && !gone[path.To] {
			out.Paths = append(out.Paths, path)
		}
	}
	if len(missing) > 0 {
		notes = append(notes, "not in the plan: "+strings.Join(missing, ", "))
	}
	if len(moved) > 0 {
		notes = append(notes, fmt.Sprintf("stand more than %d m from where they were heard and are left out: %s", mostMovedM,
			strings.Join(moved, ", ")))
	}
	now := NewFile(f.Calibration, s)
	differ := func(key string, was, is any) {
		if was != is {
			notes = append(notes, fmt.Sprintf("made with %s %v, now %v: make it anew", key, was, is))
		}
	}
	differ("freq_mhz", f.FreqMHz, now.FreqMHz)
	differ("hardware_db", f.HardwareDB, now.HardwareDB)
	differ("inside", f.Inside, now.Inside)
	differ("town_percent", f.TownPercent, now.TownPercent)
	return &out, notes
}
