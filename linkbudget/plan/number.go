package plan

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// span is an allowed range, both ends included unless above says otherwise.
type span struct {
	lo, hi float64
	unit   string // with a leading space, or empty
	above  bool   // lo itself is not allowed
}

func (s span) holds(v float64) bool { return v >= s.lo && v <= s.hi && !(s.above && v == s.lo) }

func (s span) String() string {
	from := ""
	if s.above {
		from = "above "
	}
	return fmt.Sprintf("%s%g to %g%s", from, s.lo, s.hi, s.unit)
}

// parse reads a number; a value beyond float64 comes out infinite, which no
// range holds.
func parse(raw []byte) (v float64, isNumber bool) {
	if raw[0] != '-' && (raw[0] < '0' || raw[0] > '9') {
		return math.NaN(), false
	}
	v, _ = strconv.ParseFloat(string(raw), 64)
	return v, true
}

// number is a quantity with a unit and a range.
type number struct {
	p **float64
	span
}

func (n number) read(raw []byte) string {
	v, ok := parse(raw)
	if !ok {
		return fmt.Sprintf("found %s, allowed a number %s", describe(raw), n.span)
	}
	if !n.holds(v) {
		return fmt.Sprintf("found %s, allowed %s", describe(raw), n.span)
	}
	*n.p = &v
	return ""
}

func (n number) json() ([]byte, error) {
	if *n.p == nil {
		return nil, nil
	}
	return encode(**n.p)
}

// whole is a whole number; 9.0 is as good as 9, since table editors write it.
type whole struct {
	p **int
	span
}

func (w whole) read(raw []byte) string {
	v, ok := parse(raw)
	if !ok || v != math.Trunc(v) || !w.holds(v) {
		return fmt.Sprintf("found %s, allowed a whole number %s", describe(raw), w.span)
	}
	i := int(v)
	*w.p = &i
	return ""
}

func (w whole) json() ([]byte, error) {
	if *w.p == nil {
		return nil, nil
	}
	return encode(**w.p)
}

// choice is a number out of a list.
type choice struct {
	p    **float64
	list []float64
	unit string
}

func (c choice) read(raw []byte) string {
	v, ok := parse(raw)
	if !ok || !slices.Contains(c.list, v) {
		return fmt.Sprintf("found %s, allowed one of the numbers %s%s", describe(raw), strings.Trim(fmt.Sprint(c.list), "[]"), c.unit)
	}
	*c.p = &v
	return ""
}

func (c choice) json() ([]byte, error) {
	if *c.p == nil {
		return nil, nil
	}
	return encode(**c.p)
}
