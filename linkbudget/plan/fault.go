package plan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// MaxFaults is how many faults are told, the first in file order; the rest are counted.
const MaxFaults = 100

// FieldError is one fault of a plan, and a fault.ErrInput. Read and Validate join up to
// MaxFaults, in file order; errors.As finds the first, errors.Join's Unwrap lists them, and
// behind them, where there are more, how many.
type FieldError struct {
	Source  string // name of the file as given to Read
	Feature int    // index in "features", counted from 0; -1 is the file itself, or what was made by hand
	Name    string // station, area or link ("from - to"), or its place, such as Stations[3], or empty where not known
	Key     string // property or member at fault, empty where none is
	Problem string // what was found and what is allowed
	// Value is the same of a value that is not allowed, nil for other faults.
	Value *fault.FieldError
}

// Unwrap gives Value to errors.As; without one it is a fault.ErrInput all the same.
func (e *FieldError) Unwrap() error {
	if e.Value == nil {
		return fault.ErrInput
	}
	return e.Value
}

// Error returns the fault on one line:
//
//	plan.geojson: feature 3 ("Old Mill"): height_m: found -2, allowed above 0 to 300 m
func (e *FieldError) Error() string {
	var b strings.Builder
	b.WriteString(place(e.Source, e.Feature, e.Name))
	if e.Key != "" {
		fmt.Fprintf(&b, "%s: ", clip(e.Key))
	}
	b.WriteString(e.Problem)
	return b.String()
}

// Is makes it a [fault.ErrInput].
func (e *FieldError) Is(target error) bool { return target == fault.ErrInput }

// place is the part of a message that says where.
func place(source string, feature int, name string) string {
	var b strings.Builder
	if source != "" {
		fmt.Fprintf(&b, "%s: ", source)
	}
	if feature >= 0 {
		fmt.Fprintf(&b, "feature %d", feature)
		if name != "" {
			fmt.Fprintf(&b, " (%s)", quote(name))
		}
		b.WriteString(": ")
	} else if name != "" {
		fmt.Fprintf(&b, "%s: ", quote(name))
	}
	return b.String()
}

// faults collects the faults of one plan and knows which feature is at work.
type faults struct {
	source  string
	feature int
	name    string
	list    []*FieldError // some of them, the first MaxFaults in file order among these
	count   int           // of all
	said    map[spot]bool // of the text of a file: what its values say follows from that

	it    item // at work when values are looked at, in place of name, with its list and place there
	of    string
	place int
}

// spot is a key of a feature.
type spot struct {
	feature int
	key     string
}

// anyKey is told where anything of a feature is.
const anyKey = "\x00"

func (f *faults) add(key, format string, args ...any) {
	f.put(&FieldError{Key: key, Problem: fmt.Sprintf(format, args...)})
}

// put takes in a fault of what is at work.
func (f *faults) put(e *FieldError) {
	e.Source, e.Feature, e.Name = f.source, f.feature, f.name
	if f.it != nil {
		if e.Name = nameOf(f.it); e.Name == "" && f.feature < 0 && f.of != "" {
			e.Name = fmt.Sprintf("%s[%d]", f.of, f.place)
		}
	}
	f.take(e)
	f.tell(e.Key)
}

// take keeps a fault, or only counts it where so many are before it.
func (f *faults) take(e *FieldError) {
	f.count++
	if f.list = append(f.list, e); len(f.list) >= 2*MaxFaults {
		f.cut()
	}
}

// cut puts the faults in file order, those of the file as a whole first, and drops what
// is not told.
func (f *faults) cut() {
	slices.SortStableFunc(f.list, func(a, b *FieldError) int { return cmp.Compare(a.Feature, b.Feature) })
	if len(f.list) > MaxFaults {
		clear(f.list[MaxFaults:])
		f.list = f.list[:MaxFaults]
	}
}

// tell notes that a key of the feature at work needs no more faults.
func (f *faults) tell(key string) {
	if f.said != nil {
		f.said[spot{f.feature, key}], f.said[spot{f.feature, anyKey}] = true, true
	}
}

// missing reports a key that must be there, unless something is told of it.
func (f *faults) missing(absent bool, key, allowed string) {
	if absent && !f.said[spot{f.feature, key}] {
		f.add(key, "missing, %s", allowed)
	}
}

// err joins the faults in file order.
func (f *faults) err() error {
	f.cut()
	errs := make([]error, len(f.list))
	for i, e := range f.list {
		errs[i] = e
	}
	if more := f.count - len(errs); more > 0 {
		errs = append(errs, fault.Input("%sand %d more of %d faults", place(f.source, -1, ""), more, f.count))
	}
	return errors.Join(errs...)
}

// quoteLimit is how many characters of a found value a message repeats: enough
// to recognise it, not enough for a broken file to flood the screen.
const quoteLimit = 60

// quote shows text from the file; control characters come out escaped.
func quote(s string) string { return fmt.Sprintf("%q", shorten(s)) }

// clip shows a key or a number from the file, unquoted where that is harmless.
func clip(s string) string {
	if q := quote(s); q[1:len(q)-1] != s {
		return q
	}
	return s
}

func shorten(s string) string {
	n := 0
	for i := range s {
		if n == quoteLimit {
			return s[:i] + "…"
		}
		n++
	}
	return s
}
