package report

import (
	"github.com/polereach/polereach/linkbudget/plan"
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

func newMeshPoleJSON(m *plan.Mesh, v int) meshPoleJSON {
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

func newRouteJSON(m *plan.Mesh, r *plan.Route) *routeJSON {
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

func newEffectJSON(m *plan.Mesh, e plan.Effect) effectJSON {
	return effectJSON{e.CutOff, poleNames(m, e.Poles), e.JoinedPairs, e.RedundantPairs}
}

func newLoadJSON(l *plan.Load) *loadJSON {
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
