package plan

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// Unknown keys are kept, so a mistyped one would be without effect and without
// a word. slips finds those that look like a known key; a column of a table
// editor stands in every feature, so each key is told once with its count.
type slips struct {
	source string
	seen   map[string]*slip // shape and key, or the text of a note
	order  []*slip
	table  editTable
}

type slip struct {
	at, message string // empty message: looked at and found harmless
	count       int
}

// note records a warning about the file as a whole.
func (s *slips) note(id, message string) {
	n := &slip{at: place(s.source, -1, ""), message: message, count: 1}
	s.seen[id] = n
	s.order = append(s.order, n)
}

// unknown looks at a key that the item does not have.
func (s *slips) unknown(at *faults, key string, it item, shape string) {
	id := shape + " " + key
	if known := s.seen[id]; known != nil {
		known.count++
		return
	}
	n := &slip{count: 1}
	s.seen[id] = n
	if n.message = s.judge(key, it, shape); n.message != "" {
		n.at = place(s.source, at.feature, at.name)
		s.order = append(s.order, n)
	}
}

// without notes a known key that has no effect for want of another.
func (s *slips) without(at *faults, key, other string) {
	if id := "without " + key; !s.again(id) {
		s.told(at, id, fmt.Sprintf("key %q has no effect without %s", key, other))
	}
}

// told notes what looks like half of a setting.
func (s *slips) told(at *faults, id, message string) {
	if s.again(id) {
		return
	}
	n := &slip{at: place(s.source, at.feature, at.name), count: 1, message: message}
	s.seen[id] = n
	s.order = append(s.order, n)
}

// again counts a note made before.
func (s *slips) again(id string) bool {
	known := s.seen[id]
	if known != nil {
		known.count++
	}
	return known != nil
}

func (s *slips) judge(key string, it item, shape string) string {
	if shape == "Point" && (strings.HasPrefix(key, "panel_") || strings.HasPrefix(key, "cell_")) ||
		shape == "LineString" && key == "name" {
		return "" // read by the power survey; the label of a link
	}
	for _, keys := range [...][]string{stationKeys, linkKeys, areaKeys} {
		if slices.Contains(keys, key) {
			return fmt.Sprintf("key %s is kept but not used on a %s", quote(key), shape)
		}
	}
	for _, known := range it.keys() {
		if s.table.near(key, known) {
			return fmt.Sprintf("key %s is kept but not used; did you mean %q?", quote(key), known)
		}
	}
	return ""
}

func (s *slips) warnings() []string {
	var list []string
	for _, n := range s.order {
		w := n.at + n.message
		if n.count > 1 {
			w += fmt.Sprintf(" (so in %d features)", n.count)
		}
		list = append(list, w)
	}
	return list
}

func nearKey(key, known string) bool { return new(editTable).near(key, known) }

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

var units = []string{"m", "ft", "feet", "cm", "metres", "meters", "dbm", "w", "mw", "dbi", "dbd", "db", "deg", "rad", "degrees", "hz", "khz", "mhz", "ghz"}

// sameSpot warns of stations at one position: allowed, since two radios may
// share a pole, but often a copy that was never moved.
func (r *reader) sameSpot() []string {
	var list []string
	first := map[orb.Point]int{}
	for i := range r.plan.Stations {
		s := &r.plan.Stations[i]
		if j, taken := first[s.At]; taken {
			list = append(list, fmt.Sprintf("%sat the same coordinates as feature %d (%s)", place(r.plan.Source, s.Feature, s.Name),
				r.plan.Stations[j].Feature, quote(r.plan.Stations[j].Name)))
		} else {
			first[s.At] = i
		}
	}
	return list
}
