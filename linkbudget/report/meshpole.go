package report

import (
	"encoding/json"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// meshPoleJSON is one pole of the mesh. Hops and route are absent without a way to
// a gateway over links that reach, likelier where no way is more probable, adds for
// a standing pole, load without packets per hour.
type meshPoleJSON struct {
	poleJSON
	Part       int             `json:"part"` // from 1, the largest
	Neighbours []string        `json:"neighbours"`
	Hops       *int            `json:"hops,omitempty"`
	Route      *routeJSON      `json:"route,omitempty"`
	Likelier   *routeJSON      `json:"likelier,omitempty"`
	Failure    effectJSON      `json:"failure"`
	Adds       *effectJSON     `json:"adds,omitempty"`
	Load       json.RawMessage `json:"load,omitempty"`
	Rules      *rulesJSON      `json:"rules,omitempty"`
}

type routeJSON struct {
	Gateway       string   `json:"gateway"`
	Poles         []string `json:"poles"`
	Solid         bool     `json:"solid"`
	Probability   float64  `json:"probability"`
	Delivery      float64  `json:"delivery"`
	Transmissions *float64 `json:"transmissions,omitempty"`
}

type effectJSON struct {
	CutOff         int      `json:"cut_off"`
	Poles          []string `json:"poles,omitempty"`
	JoinedPairs    int      `json:"joined_pairs"`
	RedundantPairs int      `json:"redundant_pairs"`
}

func newMeshPoleJSON(m *mesh.Mesh, v int) meshPoleJSON {
	s := &m.Stations[v]
	j := meshPoleJSON{
		poleJSON: poleJSON{Name: s.Station.Name, Status: s.Status.String(), HeightM: metres(s.Station.HeightM)},
		Part:     s.Component + 1, Neighbours: poleNames(m, s.Neighbours), Failure: newEffectJSON(m, s.Loss),
	}
	j.stands(s.At)
	j.ground(s.GroundM, s.GroundFlag)
	if hops := s.Hops(); hops >= 0 {
		j.Hops = ptr(hops)
	}
	j.Route, j.Likelier = newRouteJSON(m, s.Route), newRouteJSON(m, s.Likelier)
	if s.Gain != nil {
		j.Adds = ptr(newEffectJSON(m, *s.Gain))
	}
	j.Load = loadMembers(s.Load)
	if s.Rules != nil {
		j.Rules = ptr(newRulesJSON("", s.Rules))
	}
	return j
}

func newRouteJSON(m *mesh.Mesh, r *mesh.Route) *routeJSON {
	if r == nil {
		return nil
	}
	j := &routeJSON{Gateway: m.Stations[r.Gateway].Station.Name, Poles: poleNames(m, r.Poles), Solid: r.Solid,
		Probability: fixed(r.Probability, 4), Delivery: fixed(r.Delivery, 4)}
	if r.Transmissions > 0 {
		j.Transmissions = ptr(fixed(r.Transmissions, 3))
	}
	return j
}

func newEffectJSON(m *mesh.Mesh, e mesh.Effect) effectJSON {
	return effectJSON{e.CutOff, poleNames(m, e.Poles), e.JoinedPairs, e.RedundantPairs}
}

// pole is one of a mesh.
type pole struct {
	*mesh.Pole
	m *mesh.Mesh
}

// What a pole may lack.
func (p pole) load() *mesh.Load      { return p.Load }
func (p pole) route() *mesh.Route    { return p.Route }
func (p pole) likelier() *mesh.Route { return p.Likelier }
func (p pole) failure() *mesh.Effect { return &p.Loss }
func (p pole) gain() *mesh.Effect    { return p.Gain }

// poleColumns are the figures of a pole that GeoJSON has.
var poleColumns = append([]column[pole]{
	{"ground_m", func(p pole) any {
		if p.GroundFlag.Known() {
			return metres(p.GroundM)
		}
		return nil
	}},
	{"ground", func(p pole) any { // why ground_m is absent
		if p.GroundFlag.Known() {
			return nil
		}
		return p.GroundFlag.String()
	}},
	{"part", func(p pole) any { return p.Component + 1 }},
	{"neighbour_count", func(p pole) any { return len(p.Neighbours) }},
	{"hops", func(p pole) any {
		if h := p.Hops(); h >= 0 {
			return h
		}
		return nil
	}},
	part("route", pole.route, func(p pole, r *mesh.Route) any { return wayText(p.m, r) }),
	part("route_gateway", pole.route, func(p pole, r *mesh.Route) any { return p.m.Stations[r.Gateway].Station.Name }),
	part("route_probability", pole.route, func(_ pole, r *mesh.Route) any { return fixed(r.Probability, 4) }),
	part("route_delivery", pole.route, func(_ pole, r *mesh.Route) any { return fixed(r.Delivery, 4) }),
	part("route_transmissions", pole.route, func(_ pole, r *mesh.Route) any { return positive(r.Transmissions, 3) }),
	part("likelier", pole.likelier, func(p pole, r *mesh.Route) any { return wayText(p.m, r) }),
	part("likelier_solid", pole.likelier, func(_ pole, r *mesh.Route) any { return r.Solid }),
	part("likelier_probability", pole.likelier, func(_ pole, r *mesh.Route) any { return fixed(r.Probability, 4) }),
	part("failure_cut_off", pole.failure, func(_ pole, e *mesh.Effect) any { return e.CutOff }),
	part("failure_joined_pairs", pole.failure, func(_ pole, e *mesh.Effect) any { return e.JoinedPairs }),
	part("failure_redundant_pairs", pole.failure, func(_ pole, e *mesh.Effect) any { return e.RedundantPairs }),
	part("adds_cut_off", pole.gain, func(_ pole, e *mesh.Effect) any { return e.CutOff }),
	part("adds_joined_pairs", pole.gain, func(_ pole, e *mesh.Effect) any { return e.JoinedPairs }),
	part("adds_redundant_pairs", pole.gain, func(_ pole, e *mesh.Effect) any { return e.RedundantPairs }),
	{"rules_status", func(p pole) any {
		if p.Rules == nil {
			return nil
		}
		return string(p.Rules.Verdict())
	}},
}, loadColumns()...)

// wayText names the poles of a way in the order of the packet.
func wayText(m *mesh.Mesh, r *mesh.Route) string { return strings.Join(poleNames(m, r.Poles), " > ") }

// loadFigures are what a pole has to carry.
var loadFigures = []column[*mesh.Load]{
	{"heard", func(l *mesh.Load) any { return fixed(l.Heard, 3) }},
	{"direct_s_per_hour", func(l *mesh.Load) any { return fixed(l.DirectS, 3) }},
	{"repeat_all_s_per_hour", func(l *mesh.Load) any { return fixed(l.RepeatAllS, 3) }},
	{"direct_busy", func(l *mesh.Load) any { return fixed(l.DirectUtilisation, 6) }},
	{"repeat_all_busy", func(l *mesh.Load) any { return fixed(l.RepeatAllUtilisation, 6) }},
	{"direct_collision", func(l *mesh.Load) any { return fixed(l.DirectCollision, 6) }},
	{"direct_duty", func(l *mesh.Load) any { return fixed(l.DirectDuty, 6) }},
	{"repeat_all_duty", func(l *mesh.Load) any { return fixed(l.RepeatAllDuty, 6) }},
	{"duty_limit", func(l *mesh.Load) any { return positive(l.DutyLimit, 6) }},
}

func loadColumns() (columns []column[pole]) {
	for _, f := range loadFigures {
		columns = append(columns, part(f.key, pole.load, func(_ pole, l *mesh.Load) any { return f.value(l) }))
	}
	return columns
}

// loadMembers is the object of a load, nil for none.
func loadMembers(l *mesh.Load) json.RawMessage {
	if l == nil {
		return nil
	}
	var o object
	o.open('{')
	columnMembers(&o, loadFigures, l)
	o.close('}')
	return o.b
}
