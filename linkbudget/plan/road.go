package plan

import (
	"encoding/json"

	"github.com/paulmach/orb"
)

// Road is a LineString that is a way to get there and no link: one with the
// property "road": true, or with the key "highway" by which OpenStreetMap marks
// roads and tracks, so that an extract can be put into a plan as it is. It has
// no from and no to. All other keys are kept.
type Road struct {
	Name    string // may be empty
	Line    orb.LineString
	Feature int

	raw []byte
}

func (w *Road) keys() *keySet         { return &roadKeys.keySet }
func (w *Road) bind(i int) any        { return roadKeys.bind(i, w) }
func (w *Road) shape() orb.Geometry   { return w.Line }
func (w *Road) source() ([]byte, int) { return w.raw, w.Feature }

// isRoad tells a road from a link; "road": false says that it is none.
func isRoad(props []member) bool {
	road := find(props, "road")
	if isAbsent(road) {
		return !isAbsent(find(props, "highway"))
	}
	yes, known := truth(road)
	return yes || !known
}

// road takes a road in.
func (r *reader) road(w Road, props []member) {
	for _, m := range props {
		if isBlank(m.value) {
			continue
		}
		switch m.name {
		case "from", "to", "required":
			r.add(m.name, "found on a road, allowed on a link only: a line is one or the other")
		default: // keys that are unknown here are those of a map, no slips
			if k, field := known(&w, m.name); k != nil {
				if taken, e := k.take(field, m.value); e != nil {
					r.put(e)
				} else if taken != noLiberty {
					r.took(taken, "in %s, %s", m.name, describe(m.value))
				}
			}
		}
	}
	r.plan.Roads = append(r.plan.Roads, w)
}

// Property returns the JSON text of any property of the area as it was read, as
// Station.Property does.
func (a *Area) Property(key string) (json.RawMessage, bool) { return property(a.raw, key) }
