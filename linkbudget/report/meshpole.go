package report

import (
	"fmt"
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// pole is one of a mesh.
type pole struct {
	*mesh.Pole
	m *mesh.Mesh
}

// members writes one pole. Hops and route are absent without a way to a gateway over links
// that reach, likelier where no way is more probable, adds for a standing pole, load without
// packets per hour.
func (p pole) members(o *object) {
	o.pole(p.Station.Name, p.Status.String(), &p.At, p.GroundM, p.GroundFlag, p.Station.HeightM)
	o.count("part", p.Component+1) // from 1, the largest
	o.value("neighbours", poleNames(p.m, p.Neighbours))
	if hops := p.Hops(); hops >= 0 {
		o.count("hops", hops)
	}
	o.route("route", p.m, p.Route)
	o.route("likelier", p.m, p.Likelier)
	o.effect("failure", p.m, &p.Loss)
	o.effect("adds", p.m, p.Gain)
	if p.Load != nil {
		o.object("load", func(o *object) { columnMembers(o, loadFigures, p.Load) })
	}
	o.rules("", p.Rules)
}

func (o *object) route(key string, m *mesh.Mesh, r *mesh.Route) {
	if r == nil {
		return
	}
	o.object(key, func(o *object) {
		o.text("gateway", m.Stations[r.Gateway].Station.Name)
		o.value("poles", poleNames(m, r.Poles))
		o.truth("solid", r.Solid)
		o.number("probability", r.Probability, 4)
		o.number("delivery", r.Delivery, 4)
		o.numberIf(r.Transmissions > 0, "transmissions", r.Transmissions, 3)
	})
}

func (o *object) effect(key string, m *mesh.Mesh, e *mesh.Effect) {
	if e == nil {
		return
	}
	o.object(key, func(o *object) {
		o.count("cut_off", e.CutOff)
		o.some("poles", poleNames(m, e.Vertices))
		o.count("joined_pairs", e.JoinedPairs)
		o.count("redundant_pairs", e.RedundantPairs)
	})
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
var loadFigures = append([]column[*mesh.Load]{
	{"heard", func(l *mesh.Load) any { return fixed(l.Heard, 3) }},
	{"direct_s_per_hour", func(l *mesh.Load) any { return fixed(l.DirectS, 3) }},
	{"repeat_all_s_per_hour", func(l *mesh.Load) any { return fixed(l.RepeatAllS, 3) }},
	{"direct_busy", func(l *mesh.Load) any { return fixed(l.DirectUtilisation, 6) }},
	{"repeat_all_busy", func(l *mesh.Load) any { return fixed(l.RepeatAllUtilisation, 6) }},
	{"direct_collision", func(l *mesh.Load) any { return fixed(l.DirectCollision, 6) }},
	{"direct_duty", func(l *mesh.Load) any { return fixed(l.DirectDuty, 6) }},
	{"repeat_all_duty", func(l *mesh.Load) any { return fixed(l.RepeatAllDuty, 6) }},
	{"duty_limit", func(l *mesh.Load) any { return positive(l.DutyLimit, 6) }},
}, farFigures()...)

// farFigures are those while the air carries far.
func farFigures() (columns []column[*mesh.Load]) {
	for i, percent := range mesh.FarPercents {
		add := func(key string, of func(f *mesh.FarLoad) any) {
			columns = append(columns, column[*mesh.Load]{fmt.Sprintf("%s_%g_percent", key, percent),
				func(l *mesh.Load) any { return of(&l.Far[i]) }})
		}
		add("heard", func(f *mesh.FarLoad) any { return fixed(f.Heard, 3) })
		add("direct_busy", func(f *mesh.FarLoad) any { return fixed(f.DirectUtilisation, 6) })
		add("repeat_all_busy", func(f *mesh.FarLoad) any { return fixed(f.RepeatAllUtilisation, 6) })
		add("direct_collision", func(f *mesh.FarLoad) any { return fixed(f.DirectCollision, 6) })
	}
	return columns
}

func loadColumns() (columns []column[pole]) {
	for _, f := range loadFigures {
		columns = append(columns, part(f.key, pole.load, func(_ pole, l *mesh.Load) any { return f.value(l) }))
	}
	return columns
}
