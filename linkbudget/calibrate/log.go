package calibrate

import (
	"context"
	"fmt"
	"io"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// LogOptions says how rows are read.
type LogOptions struct {
	// Columns maps keys of [Columns] to what the log calls them.
	Columns map[string]string
	// From and To stand for what rows do not name; "" for none.
	From, To string
	// Rule says what the RSSI is.
	Rule Rule
	// TxDBm is the output of each sender by the plan, to which levels are reckoned; NoiseDBm
	// the noise of each receiver in the modem's bandwidth.
	TxDBm, NoiseDBm map[string]float64
	// ThermalDBm is kT0B of the modem's bandwidth.
	ThermalDBm float64
	// Tracks are where nodes were, by their names.
	Tracks map[string]Track
	// CellM is the size of the cells to which places of an end that moves are rounded, m;
	// 0 means 50.
	CellM float64
}

// Log is what was heard, link by link. It keeps no rows.
type Log struct {
	opt LogOptions
	// Rows, Good and Faulty count rows; Faults lists the first MostFaults.
	Rows, Good, Faulty int
	Faults             []Fault

	names   []string
	index   map[string]int32
	links   map[linkKey]*tally
	order   []linkKey
	outside map[string]int // names that the plan does not have, and in how many rows
	last    *tally
	lastKey linkKey
}

// linkKey is a link one way, at a cell of an end that moves.
type linkKey struct {
	from, to int32
	cell     [2]int32
	moving   bool
}

// mostLinks bounds the memory: a tally takes some kilobyte.
const mostLinks = 50_000

// NewLog begins an empty one.
func NewLog(opt LogOptions) *Log {
	if !(opt.CellM > 0) {
		opt.CellM = 50
	}
	return &Log{opt: opt, index: map[string]int32{}, links: map[linkKey]*tally{}, outside: map[string]int{}}
}

// Read takes the rows of one file. Faulty rows are listed in Faults and left out; the error is
// that of r, of ctx, of a file without any good row, or of one that is no log
// ([fault.ErrInput]).
func (l *Log) Read(ctx context.Context, name string, r io.Reader) error {
	if l.links == nil {
		return fault.Input("a Log that NewLog has not made")
	}
	before := l.Good
	d := reader{name: name, mapped: l.opt.Columns, row: func(row Row) error {
		if l.Rows&0xfff == 0 && ctx.Err() != nil {
			return fmt.Errorf("%w: %w", errWhole, ctx.Err())
		}
		return l.add(&row)
	}}
	var first Fault
	faulty := 0
	d.fault = func(line int, err error) {
		f := Fault{name, line, err.Error()}
		if faulty++; faulty == 1 {
			first = f
		}
		l.Faulty++
		if len(l.Faults) < MostFaults {
			l.Faults = append(l.Faults, f)
		}
	}
	err := d.read(r)
	l.Rows += d.rows
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return fmt.Errorf("%s: %w", name, err)
	case l.Good == before && faulty > 0:
		return fault.Input("%s: none of %d rows can be used; the first fault, line %d: %s", name, d.rows, first.Line,
			first.What)
	case l.Good == before:
		return fault.Input("%s: found no row", name)
	}
	return nil
}

// id is the number of a name.
func (l *Log) id(name string) int32 {
	i, ok := l.index[name]
	if !ok {
		i = int32(len(l.names))
		l.names = append(l.names, name)
		l.index[name] = i
	}
	return i
}

// add takes a row.
func (l *Log) add(r *Row) error {
	if r.From == "" {
		r.From = l.opt.From
	}
	if r.To == "" {
		r.To = l.opt.To
	}
	switch {
	case r.From == "" || r.To == "":
		return fmt.Errorf("found from %q and to %q, allowed two names; --from and --to name what the log leaves out",
			r.From, r.To)
	case r.From == r.To:
		return fmt.Errorf("found %q as sender and receiver, allowed two nodes", r.From)
	}
	for _, name := range [2]string{r.From, r.To} {
		if _, ok := l.opt.TxDBm[name]; !ok {
			l.outside[name]++
			return fmt.Errorf("the plan has no station %q", name)
		}
	}
	if err := l.track(r); err != nil {
		return err
	}
	level, floor, err := math.NaN(), false, error(nil)
	if heard := !(r.Received == 0); heard {
		noise, ok := l.opt.NoiseDBm[r.To]
		if !ok {
			noise = math.NaN()
		}
		if level, floor, err = l.opt.Rule.level(r, l.opt.ThermalDBm, noise); err != nil {
			return err
		}
		if !math.IsNaN(r.TxDBm) {
			level += l.opt.TxDBm[r.From] - r.TxDBm
		}
	}
	t, err := l.tally(r)
	if err != nil {
		return err
	}
	t.add(r, level, floor)
	l.Good++
	return nil
}

// track places the end that moves where its track says that it was.
func (l *Log) track(r *Row) error {
	if r.HasAt || len(l.opt.Tracks) == 0 {
		return nil
	}
	for _, name := range [2]string{r.From, r.To} {
		t, ok := l.opt.Tracks[name]
		if !ok {
			continue
		}
		if math.IsNaN(r.TimeS) {
			return fmt.Errorf("time: found none, and the place of %q comes from its track", name)
		}
		var err error
		r.At, err = t.at(r.TimeS)
		r.HasAt = err == nil
		return err
	}
	return nil
}

// tally is that of the row's link.
func (l *Log) tally(r *Row) (*tally, error) {
	key := linkKey{from: l.id(r.From), to: l.id(r.To)}
	if r.HasAt {
		key.moving, key.cell = true, cellOf(r.At, l.opt.CellM)
	}
	if l.last != nil && key == l.lastKey {
		return l.last, nil
	}
	t, ok := l.links[key]
	if !ok {
		if len(l.order) == mostLinks {
			return nil, fmt.Errorf("more than %d links and places, which is what is kept: take larger cells", mostLinks)
		}
		t = &tally{key: key, at: r.At}
		l.links[key] = t
		l.order = append(l.order, key)
	}
	l.last, l.lastKey = t, key
	return t, nil
}

// cellOf rounds a place to cells of about so many metres; their width follows the latitude.
func cellOf(at orb.Point, cellM float64) [2]int32 {
	const metresPerDegree = 111_195 // of a sphere of 6371 km
	row := math.Floor(at.Lat() * metresPerDegree / cellM)
	wide := metresPerDegree * max(math.Cos(row*cellM/metresPerDegree*math.Pi/180), 1e-3)
	return [2]int32{int32(math.Floor(at.Lon() * wide / cellM)), int32(row)}
}
