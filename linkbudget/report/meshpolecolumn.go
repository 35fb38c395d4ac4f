package report

import (
	"strings"

	"github.com/polereach/polereach/linkbudget/plan"
)

// poleColumn is one figure of a pole as a GeoJSON property; value as in column.
type poleColumn struct {
	key   string
	value func(m *plan.Mesh, v int) any
}

var poleColumns = append([]poleColumn{
	{"ground_m", func(m *plan.Mesh, v int) any {
		if s := &m.Stations[v]; s.GroundFlag.Known() {
			return metres(s.GroundM)
		}
		return nil
	}},
	{"ground", func(m *plan.Mesh, v int) any { // why ground_m is absent
		if s := &m.Stations[v]; !s.GroundFlag.Known() {
			return s.GroundFlag.String()
		}
		return nil
	}},
	{"part", func(m *plan.Mesh, v int) any { return m.Stations[v].Component + 1 }},
	{"neighbour_count", func(m *plan.Mesh, v int) any { return len(m.Stations[v].Neighbours) }},
	{"hops", func(m *plan.Mesh, v int) any {
		if h := m.Stations[v].Hops(); h >= 0 {
			return h
		}
		return nil
	}},
	routeColumn("route", func(m *plan.Mesh, r *plan.Route) any { return wayText(m, r) }),
	routeColumn("route_gateway", func(m *plan.Mesh, r *plan.Route) any { return m.Stations[r.Gateway].Station.Name }),
	routeColumn("route_probability", func(_ *plan.Mesh, r *plan.Route) any { return fixed(r.Probability, 4) }),
	routeColumn("route_delivery", func(_ *plan.Mesh, r *plan.Route) any { return fixed(r.Delivery, 4) }),
	routeColumn("route_transmissions", func(_ *plan.Mesh, r *plan.Route) any {
		if r.Transmissions > 0 {
			return fixed(r.Transmissions, 3)
		}
		return nil
	}),
	likelierColumn("likelier", func(m *plan.Mesh, r *plan.Route) any { return wayText(m, r) }),
	likelierColumn("likelier_solid", func(_ *plan.Mesh, r *plan.Route) any { return r.Solid }),
	likelierColumn("likelier_probability", func(_ *plan.Mesh, r *plan.Route) any { return fixed(r.Probability, 4) }),
	failureColumn("failure_cut_off", func(e plan.Effect) int { return e.CutOff }),
	failureColumn("failure_joined_pairs", func(e plan.Effect) int { return e.JoinedPairs }),
	failureColumn("failure_redundant_pairs", func(e plan.Effect) int { return e.RedundantPairs }),
	gainColumn("adds_cut_off", func(e plan.Effect) int { return e.CutOff }),
	gainColumn("adds_joined_pairs", func(e plan.Effect) int { return e.JoinedPairs }),
	gainColumn("adds_redundant_pairs", func(e plan.Effect) int { return e.RedundantPairs }),
	{"rules_status", func(m *plan.Mesh, v int) any {
		if r := m.Stations[v].Rules; r != nil {
			return string(r.Verdict())
		}
		return nil
	}},
}, loadColumns...)

func routeColumn(key string, of func(*plan.Mesh, *plan.Route) any) poleColumn {
	return poleColumn{key, func(m *plan.Mesh, v int) any { return ofRoute(m, m.Stations[v].Route, of) }}
}

func likelierColumn(key string, of func(*plan.Mesh, *plan.Route) any) poleColumn {
	return poleColumn{key, func(m *plan.Mesh, v int) any { return ofRoute(m, m.Stations[v].Likelier, of) }}
}

func ofRoute(m *plan.Mesh, r *plan.Route, of func(*plan.Mesh, *plan.Route) any) any {
	if r == nil {
		return nil
	}
	return of(m, r)
}

// wayText names the poles of a way in the order of the packet.
func wayText(m *plan.Mesh, r *plan.Route) string { return strings.Join(poleNames(m, r.Poles), " > ") }

func failureColumn(key string, of func(plan.Effect) int) poleColumn {
	return poleColumn{key, func(m *plan.Mesh, v int) any { return of(m.Stations[v].Loss) }}
}

func gainColumn(key string, of func(plan.Effect) int) poleColumn {
	return poleColumn{key, func(m *plan.Mesh, v int) any {
		if g := m.Stations[v].Gain; g != nil {
			return of(*g)
		}
		return nil
	}}
}

// loadColumns have the keys of loadJSON.
var loadColumns = []poleColumn{
	loadColumn("heard", 3, func(l *plan.Load) float64 { return l.Heard }),
	loadColumn("direct_s_per_hour", 3, func(l *plan.Load) float64 { return l.DirectS }),
	loadColumn("repeat_all_s_per_hour", 3, func(l *plan.Load) float64 { return l.RepeatAllS }),
	loadColumn("direct_busy", 6, func(l *plan.Load) float64 { return l.DirectUtilisation }),
	loadColumn("repeat_all_busy", 6, func(l *plan.Load) float64 { return l.RepeatAllUtilisation }),
	loadColumn("direct_collision", 6, func(l *plan.Load) float64 { return l.DirectCollision }),
	loadColumn("direct_duty", 6, func(l *plan.Load) float64 { return l.DirectDuty }),
	loadColumn("repeat_all_duty", 6, func(l *plan.Load) float64 { return l.RepeatAllDuty }),
	{"duty_limit", func(m *plan.Mesh, v int) any {
		if l := m.Stations[v].Load; l != nil && l.DutyLimit > 0 {
			return fixed(l.DutyLimit, 6)
		}
		return nil
	}},
}

func loadColumn(key string, decimals int, of func(*plan.Load) float64) poleColumn {
	return poleColumn{key, func(m *plan.Mesh, v int) any {
		if l := m.Stations[v].Load; l != nil {
			return fixed(of(l), decimals)
		}
		return nil
	}}
}
