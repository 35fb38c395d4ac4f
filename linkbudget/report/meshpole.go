package report

import (
	"strings"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// meshPoleJSON is one pole of the mesh. Hops and route are absent without a way to
// a gateway over links that reach, likelier where no way is more probable, adds for
// a standing pole, load without packets per hour.
type meshPoleJSON struct {
	poleJSON
	Part       int         `json:"part"` // from 1, the largest
	Neighbours []string    `json:"neighbours"`
	Hops       *int        `json:"hops,omitempty"`
	Route      *routeJSON  `json:"route,omitempty"`
	Likelier   *routeJSON  `json:"likelier,omitempty"`
	Failure    effectJSON  `json:"failure"`
	Adds       *effectJSON `json:"adds,omitempty"`
	Load       *loadJSON   `json:"load,omitempty"`
	Rules      *rulesJSON  `json:"rules,omitempty"`
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

type loadJSON struct {
	Heard                float64  `json:"heard"`
	DirectS              float64  `json:"direct_s_per_hour"`
	RepeatAllS           float64  `json:"repeat_all_s_per_hour"`
	DirectUtilisation    float64  `json:"direct_busy"`
	RepeatAllUtilisation float64  `json:"repeat_all_busy"`
	DirectCollision      float64  `json:"direct_collision"`
	DirectDuty           float64  `json:"direct_duty"`
	RepeatAllDuty        float64  `json:"repeat_all_duty"`
	DutyLimit            *float64 `json:"duty_limit,omitempty"`
}

func newMeshPoleJSON(m *mesh.Mesh, v int) meshPoleJSON {
	s := &m.Stations[v]
	j := meshPoleJSON{
		poleJSON: poleJSON{Name: s.Station.Name, Status: s.Status.String(),
			LonDeg: placeDeg(s.At.Lon()), LatDeg: placeDeg(s.At.Lat()), HeightM: metres(s.Station.HeightM)},
		Part: s.Component + 1, Neighbours: poleNames(m, s.Neighbours), Failure: newEffectJSON(m, s.Loss),
	}
	if s.GroundFlag.Known() {
		j.GroundM = ptr(metres(s.GroundM))
	} else {
		j.Ground = s.GroundFlag.String()
	}
	if hops := s.Hops(); hops >= 0 {
		j.Hops = ptr(hops)
	}
	j.Route, j.Likelier = newRouteJSON(m, s.Route), newRouteJSON(m, s.Likelier)
	if s.Gain != nil {
		j.Adds = ptr(newEffectJSON(m, *s.Gain))
	}
	if s.Load != nil {
		j.Load = newLoadJSON(s.Load)
	}
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

func newLoadJSON(l *mesh.Load) *loadJSON {
	j := &loadJSON{
		Heard: fixed(l.Heard, 3), DirectS: fixed(l.DirectS, 3), RepeatAllS: fixed(l.RepeatAllS, 3),
		DirectUtilisation: fixed(l.DirectUtilisation, 6), RepeatAllUtilisation: fixed(l.RepeatAllUtilisation, 6),
		DirectCollision: fixed(l.DirectCollision, 6),
		DirectDuty:      fixed(l.DirectDuty, 6), RepeatAllDuty: fixed(l.RepeatAllDuty, 6),
	}
	if l.DutyLimit > 0 {
		j.DutyLimit = ptr(fixed(l.DutyLimit, 6))
	}
	return j
}

// poleColumn is one figure of a pole as a GeoJSON property; value as in column.
type poleColumn struct {
	key   string
	value func(m *mesh.Mesh, v int) any
}

var poleColumns = append([]poleColumn{
	{"ground_m", func(m *mesh.Mesh, v int) any {
		if s := &m.Stations[v]; s.GroundFlag.Known() {
			return metres(s.GroundM)
		}
		return nil
	}},
	{"ground", func(m *mesh.Mesh, v int) any { // why ground_m is absent
		if s := &m.Stations[v]; !s.GroundFlag.Known() {
			return s.GroundFlag.String()
		}
		return nil
	}},
	{"part", func(m *mesh.Mesh, v int) any { return m.Stations[v].Component + 1 }},
	{"neighbour_count", func(m *mesh.Mesh, v int) any { return len(m.Stations[v].Neighbours) }},
	{"hops", func(m *mesh.Mesh, v int) any {
		if h := m.Stations[v].Hops(); h >= 0 {
			return h
		}
		return nil
	}},
	routeColumn("route", func(m *mesh.Mesh, r *mesh.Route) any { return wayText(m, r) }),
	routeColumn("route_gateway", func(m *mesh.Mesh, r *mesh.Route) any { return m.Stations[r.Gateway].Station.Name }),
	routeColumn("route_probability", func(_ *mesh.Mesh, r *mesh.Route) any { return fixed(r.Probability, 4) }),
	routeColumn("route_delivery", func(_ *mesh.Mesh, r *mesh.Route) any { return fixed(r.Delivery, 4) }),
	routeColumn("route_transmissions", func(_ *mesh.Mesh, r *mesh.Route) any {
		if r.Transmissions > 0 {
			return fixed(r.Transmissions, 3)
		}
		return nil
	}),
	likelierColumn("likelier", func(m *mesh.Mesh, r *mesh.Route) any { return wayText(m, r) }),
	likelierColumn("likelier_solid", func(_ *mesh.Mesh, r *mesh.Route) any { return r.Solid }),
	likelierColumn("likelier_probability", func(_ *mesh.Mesh, r *mesh.Route) any { return fixed(r.Probability, 4) }),
	failureColumn("failure_cut_off", func(e mesh.Effect) int { return e.CutOff }),
	failureColumn("failure_joined_pairs", func(e mesh.Effect) int { return e.JoinedPairs }),
	failureColumn("failure_redundant_pairs", func(e mesh.Effect) int { return e.RedundantPairs }),
	gainColumn("adds_cut_off", func(e mesh.Effect) int { return e.CutOff }),
	gainColumn("adds_joined_pairs", func(e mesh.Effect) int { return e.JoinedPairs }),
	gainColumn("adds_redundant_pairs", func(e mesh.Effect) int { return e.RedundantPairs }),
	{"rules_status", func(m *mesh.Mesh, v int) any {
		if r := m.Stations[v].Rules; r != nil {
			return string(r.Verdict())
		}
		return nil
	}},
}, loadColumns...)

func routeColumn(key string, of func(*mesh.Mesh, *mesh.Route) any) poleColumn {
	return poleColumn{key, func(m *mesh.Mesh, v int) any { return ofRoute(m, m.Stations[v].Route, of) }}
}

func likelierColumn(key string, of func(*mesh.Mesh, *mesh.Route) any) poleColumn {
	return poleColumn{key, func(m *mesh.Mesh, v int) any { return ofRoute(m, m.Stations[v].Likelier, of) }}
}

func ofRoute(m *mesh.Mesh, r *mesh.Route, of func(*mesh.Mesh, *mesh.Route) any) any {
	if r == nil {
		return nil
	}
	return of(m, r)
}

// wayText names the poles of a way in the order of the packet.
func wayText(m *mesh.Mesh, r *mesh.Route) string { return strings.Join(poleNames(m, r.Poles), " > ") }

func failureColumn(key string, of func(mesh.Effect) int) poleColumn {
	return poleColumn{key, func(m *mesh.Mesh, v int) any { return of(m.Stations[v].Loss) }}
}

func gainColumn(key string, of func(mesh.Effect) int) poleColumn {
	return poleColumn{key, func(m *mesh.Mesh, v int) any {
		if g := m.Stations[v].Gain; g != nil {
			return of(*g)
		}
		return nil
	}}
}

// loadColumns have the keys of loadJSON.
var loadColumns = []poleColumn{
	loadColumn("heard", 3, func(l *mesh.Load) float64 { return l.Heard }),
	loadColumn("direct_s_per_hour", 3, func(l *mesh.Load) float64 { return l.DirectS }),
	loadColumn("repeat_all_s_per_hour", 3, func(l *mesh.Load) float64 { return l.RepeatAllS }),
	loadColumn("direct_busy", 6, func(l *mesh.Load) float64 { return l.DirectUtilisation }),
	loadColumn("repeat_all_busy", 6, func(l *mesh.Load) float64 { return l.RepeatAllUtilisation }),
	loadColumn("direct_collision", 6, func(l *mesh.Load) float64 { return l.DirectCollision }),
	loadColumn("direct_duty", 6, func(l *mesh.Load) float64 { return l.DirectDuty }),
	loadColumn("repeat_all_duty", 6, func(l *mesh.Load) float64 { return l.RepeatAllDuty }),
	{"duty_limit", func(m *mesh.Mesh, v int) any {
		if l := m.Stations[v].Load; l != nil && l.DutyLimit > 0 {
			return fixed(l.DutyLimit, 6)
		}
		return nil
	}},
}

func loadColumn(key string, decimals int, of func(*mesh.Load) float64) poleColumn {
	return poleColumn{key, func(m *mesh.Mesh, v int) any {
		if l := m.Stations[v].Load; l != nil {
			return fixed(of(l), decimals)
		}
		return nil
	}}
}
