package plan

import (
	"fmt"
	"slices"
	"strings"
)

// slips finds unknown keys that look like a known one: a fault where the feature lacks that
// one, a note where it has both. Each key is told once with its count.
type slips struct {
	source string
	seen   map[string]*slip // shape and key, or the text of a note
	order  []*slip
	table  editTable
}

type slip struct {
	at, message string // empty message: looked at and found harmless
	count       int
	key, meant  string // a key taken for a known one, empty for any other
	// instead is the feature that was computed without the known key, in faults of it.
	instead      FieldError
	insteadCount int
}

// unknown looks at a key that the item does not have.
func (s *slips) unknown(at *faults, key string, it item, shape string, props []member) {
	id := shape + " " + key
	n := s.seen[id]
	if n == nil {
		n = &slip{key: key}
		n.message, n.meant = s.judge(key, it, shape)
		s.seen[id] = n
		if n.message != "" {
			s.order = append(s.order, n)
		}
	}
	switch {
	case n.message == "":
	case n.meant != "" && isAbsent(find(props, n.meant)):
		at.tell(n.meant)
		if n.insteadCount++; n.insteadCount == 1 {
			n.instead = FieldError{Source: s.source, Feature: at.feature, Name: at.name, Key: key}
		}
	default:
		if n.count++; n.count == 1 {
			n.at = place(s.source, at.feature, at.name)
		}
	}
}

// isAbsent tells what is not given: nothing, null, empty text.
func isAbsent(raw []byte) bool { return raw == nil || isBlank(raw) }

// report makes faults of the keys that stand in place of known ones.
func (s *slips) report(f *faults) {
	for _, n := range s.order {
		if n.insteadCount == 0 {
			continue
		}
		n.instead.Problem = fmt.Sprintf("found a key that is not read, allowed %q%s; rename it, or give %q beside it",
			n.meant, unitHint(n.key, n.meant), n.meant)
		if n.insteadCount > 1 {
			n.instead.Problem += fmt.Sprintf(" (so in %d features)", n.insteadCount)
		}
		f.take(&n.instead)
	}
}

// unitHint tells how to convert where the key names another unit.
func unitHint(key, meant string) string {
	if i := strings.LastIndexByte(key, '_'); i > 0 && unitless(key) != key && unitless(meant) != meant {
		return conversions[strings.ToLower(key[i+1:])+" "+meant[strings.LastIndexByte(meant, '_')+1:]]
	}
	return ""
}

var conversions = map[string]string{
	"ft m": " (metres: 0.3048 times feet)", "feet m": " (metres: 0.3048 times feet)", "cm m": " (metres)",
	"w dbm": " (dBm: 1 W is 30)", "mw dbm": " (dBm: 1 mW is 0, 100 mW are 20)", "dbd dbi": " (dBi: 2.15 more than dBd)",
	"rad deg": " (degrees: 57.2958 times radians)", "hz mhz": " (MHz)", "khz mhz": " (MHz)", "ghz mhz": " (MHz)",
	"hz khz": " (kHz)", "mhz khz": " (kHz)",
}

// without notes a known key that has no effect for want of another.
func (s *slips) without(at *faults, key, other string) {
	s.told(at, "without "+key, fmt.Sprintf("key %q has no effect without %s", key, other))
}

// told notes what looks like half of a setting.
func (s *slips) told(at *faults, id, message string) {
	if known := s.seen[id]; known != nil {
		known.count++
		return
	}
	n := &slip{at: place(s.source, at.feature, at.name), count: 1, message: message}
	s.seen[id] = n
	s.order = append(s.order, n)
}

// judge returns what to say of an unknown key, "" where it is harmless, and the known
// key that was meant, where one was.
func (s *slips) judge(key string, it item, shape string) (message, meant string) {
	if shape == "Point" && (strings.HasPrefix(key, "panel_") || strings.HasPrefix(key, "cell_")) {
		return "", "" // read by the power survey
	}
	for _, keys := range [...]*keySet{&stationKeys.keySet, &linkKeys.keySet, &areaKeys.keySet,
		&coverKeys.keySet} {
		if i, ok := keys.index[key]; ok && keys.list[i].allowed != "" {
			return fmt.Sprintf("key %s is kept but not used on a %s", quote(key), shape), ""
		}
	}
	for _, known := range it.keys().list {
		if known.allowed != "" && s.table.near(key, known.Name) {
			return fmt.Sprintf("key %s is kept but not used beside %q", quote(key), known.Name), known.Name
		}
	}
	return "", ""
}

func (s *slips) warnings() []string {
	var list []string
	for _, n := range s.order {
		if n.count == 0 {
			continue // a fault everywhere
		}
		w := n.at + n.message
		if n.count > 1 {
			w += fmt.Sprintf(" (so in %d features)", n.count)
		}
		list = append(list, w)
	}
	return list
}

// near tells a slip: the same letters but for case and separators ("TxDBm"),
// the same quantity without its unit or in another one ("height", "height_ft"),
// or a typing error ("heigth_m"). Keys under four letters are too short to tell.
func (t *editTable) near(key, known string) bool {
	if len(key) > 2*len(known)+8 {
		return false
	}
	a, b := letters(key), letters(known)
	if a == b {
		return true
	}
	if stem := unitless(known); stem != known && strings.EqualFold(unitless(key), stem) {
		return true
	}
	slipsAllowed := 0
	if len(b) >= 7 {
		slipsAllowed = 2
	} else if len(b) >= 4 {
		slipsAllowed = 1
	}
	return t.distance(a, b, slipsAllowed+1) <= slipsAllowed
}

var separators = strings.NewReplacer("_", "", "-", "", " ", "", ".", "")

func letters(key string) string { return separators.Replace(strings.ToLower(key)) }

// unitless drops the last part of a key, where that is a unit of length,
// power, gain, angle, frequency; other keys stay whole.
func unitless(key string) string {
	i := strings.LastIndexByte(key, '_')
	if i > 0 && slices.Contains(units, strings.ToLower(key[i+1:])) {
		return key[:i]
	}
	return key
}

var units = []string{"m", "ft", "feet", "cm", "metres", "meters", "dbm", "w", "mw", "dbi", "dbd", "db", "deg", "rad",
	"degrees", "hz", "khz", "mhz", "ghz"}
