package report

import (
	"io"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/terrain/fault"
)

// meshSummary is the answer without poles and links: the head of the JSON, the
// member "polereach" of the GeoJSON, and one side of a difference.
type meshSummary struct {
	Schema      int         `json:"schema"`
	Command     string      `json:"command"`
	Verdict     string      `json:"verdict"`
	Connected   string      `json:"connected"`
	Reached     int         `json:"reached"`
	Of          int         `json:"of"`
	Wanted      *countJSON  `json:"wanted,omitempty"`
	Required    *countJSON  `json:"required,omitempty"`
	Gateways    []string    `json:"gateways,omitempty"`
	Poles       int         `json:"pole_count"`
	Parts       int         `json:"part_count"`
	Alone       []string    `json:"alone"`
	CutPoles    []string    `json:"cut_poles"`
	Bridges     [][2]string `json:"bridges"`
	SingleRoute singleJSON  `json:"single_route"`
	Band        string      `json:"band,omitempty"`
	BeyondRules []string    `json:"beyond_rules,omitempty"`
	WantPercent float64     `json:"want_percent"`
}

// singleJSON counts pairs of poles without two disjoint routes; listed are the
// first of those with one.
type singleJSON struct {
	Pairs    int         `json:"pairs"`
	Unjoined int         `json:"unjoined"`
	Single   int         `json:"single"`
	Listed   [][2]string `json:"listed,omitempty"`
}

func newMeshSummary(m *mesh.Mesh) meshSummary {
	s := meshSummary{
		Schema: 1, Command: "plan", Verdict: m.Verdict.String(), Connected: m.Connected.String(),
		Reached: m.Reached, Of: len(m.Pairs), Gateways: poleNames(m, m.Gateways),
		Poles: len(m.Stations), Parts: len(m.Components),
		Alone: poleNames(m, m.Alone), CutPoles: poleNames(m, m.CutPoles), Bridges: [][2]string{},
		SingleRoute: singleJSON{Pairs: m.SingleRoute.Pairs, Unjoined: m.SingleRoute.Unjoined, Single: m.SingleRoute.Single},
		Band:        string(m.Options.Band), BeyondRules: MeshBeyondRules(m),
		WantPercent: fixed(wantPercent(m.Options.Settings.Environment), 3),
	}
	if m.WantedCount > 0 {
		s.Wanted = &countJSON{m.WantedReached, m.WantedCount}
	}
	if m.RequiredCount > 0 {
		s.Required = &countJSON{m.RequiredReached, m.RequiredCount}
	}
	name := func(v int) string { return m.Stations[v].Station.Name }
	for _, i := range m.Bridges {
		s.Bridges = append(s.Bridges, [2]string{name(int(m.Pairs[i].A)), name(int(m.Pairs[i].B))})
	}
	for _, p := range m.SingleRoute.Listed {
		s.SingleRoute.Listed = append(s.SingleRoute.Listed, [2]string{name(p[0]), name(p[1])})
	}
	return s
}

// MeshJSON writes the object of the command "plan": the head, then poles in the
// order of the plan and links, those that matter most first, one a line each,
// so that two results can be compared line by line. The error is that of w.
func MeshJSON(w io.Writer, m *mesh.Mesh) (err error) {
	defer fault.Recovered(&err)
	head := func(o *object) {
		o.inline(newMeshSummary(m))
		o.settings(m.Options.Settings)
		o.number("range_m", m.Options.RangeM, 3)
		o.some("hopeless_pairs", m.Cost.Hopeless)
		parts := make([][]string, len(m.Components))
		for k, part := range m.Components {
			parts[k] = poleNames(m, part)
		}
		o.value("parts", parts)
		o.effect("proposed_together", m, m.Together)
		o.numberIf(m.AirtimeS > 0, "airtime_ms", m.AirtimeS*1e3, 3)
		o.some("packets_per_hour", m.Options.PacketsPerHour)
		o.some("warnings", meshWarnings(m))
		o.value("cautions", Cautions(strongest(m), m.Options.Settings.Environment.FreqHz))
	}
	links, order := newMeshLinks(m), byWeight(m)
	var l link
	return writeLines(w, head,
		lineList{"poles", len(m.Stations), func(o *object, i int) { o.braced(pole{&m.Stations[i], m}.members) }},
		lineList{"links", len(order), func(o *object, i int) {
			l = links.at(int(order[i]))
			l.write(o)
		}})
}

// strongest is the station with the highest radiated power, for the cautions.
func strongest(m *mesh.Mesh) linkbudget.Station {
	var best linkbudget.Station
	freqHz := m.Options.Settings.Environment.FreqHz
	for i := range m.Stations {
		if s := m.Stations[i].Station; i == 0 || s.PeakEIRP(freqHz) > best.PeakEIRP(freqHz) {
			best = s
		}
	}
	return best
}
