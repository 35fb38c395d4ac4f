package plan

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// FieldError is one fault of a plan file. Read joins all faults of a file, in
// file order; errors.As finds the first, errors.Join's Unwrap lists them all.
type FieldError struct {
	Source  string // name of the file as given to Read
	Feature int    // index in "features", counted from 0; -1 is the file itself
	Name    string // station, area or link ("from - to"), empty where not known
	Key     string // property or member at fault, empty where none is
	Problem string // what was found and what is allowed
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
	}
	return b.String()
}

// faults collects the faults of one file and knows which feature is at work.
type faults struct {
	source  string
	feature int
	name    string
	list    []*FieldError
}

func (f *faults) add(key, format string, args ...any) {
	f.list = append(f.list, &FieldError{f.source, f.feature, f.name, key, fmt.Sprintf(format, args...)})
}

// err joins the faults in file order; those of the file as a whole come first.
func (f *faults) err() error {
	slices.SortStableFunc(f.list, func(a, b *FieldError) int { return cmp.Compare(a.Feature, b.Feature) })
	errs := make([]error, len(f.list))
	for i, e := range f.list {
		errs[i] = e
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
