package report

import (
	"encoding/json"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// MeshState is what a comparison needs of a checked plan. It comes from a Mesh
// or from the GeoJSON of an earlier run.
type MeshState struct {
	summary meshSummary
	links   []linkState
}

// linkState is one link as MeshGeoJSON writes it; margin and probability are nil
// where terrain is missing.
type linkState struct {
	From        string   `json:"from"`
	To          string   `json:"to"`
	Required    bool     `json:"required"`
	Verdict     string   `json:"verdict"`
	MarginDB    *float64 `json:"margin_db,omitempty"`
	Probability *float64 `json:"probability,omitempty"`
}

// NewMeshState takes the state of a mesh, rounded as it is written.
func NewMeshState(m *plan.Mesh) MeshState {
	s := MeshState{summary: newMeshSummary(m)}
	links := meshLinks(m)
	for i := range links {
		l := &links[i]
		one := linkState{From: l.from, To: l.to, Required: l.Required, Verdict: string(l.Verdict)}
		if l.known() {
			one.MarginDB, one.Probability = ptr(db(l.MarginDB)), ptr(fixed(l.Probability, 4))
		}
		s.links = append(s.links, one)
	}
	return s
}

// ReadMeshState takes the state out of a file that MeshGeoJSON wrote. found is
// false for a plan without figures, and for one that an editor has saved since:
// the foreign member that vouches for the figures is then gone. The error says
// what stands where the figures should.
func ReadMeshState(data []byte) (s MeshState, found bool, err error) {
	var file struct {
		Summary  *json.RawMessage `json:"polereach"`
		Features []struct {
			Geometry   struct{ Type string }
			Properties rawObject
		}
	}
	if json.Unmarshal(data, &file) != nil || file.Summary == nil {
		return s, false, nil // whatever it is, plan.Read says it better
	}
	if err := json.Unmarshal(*file.Summary, &s.summary); err != nil || s.summary.Command != "plan" || s.summary.Schema != 1 {
		return s, false, fmt.Errorf("report: member %q: found %.60s, allowed the answer of command plan, schema 1", summaryKey, *file.Summary)
	}
	for i, f := range file.Features {
		if mark, _ := f.Properties.find(schemaKey); f.Geometry.Type != "LineString" || absent(mark) {
			continue
		}
		one := linkState{Required: true}
		for key, to := range map[string]any{"from": &one.From, "to": &one.To, "required": &one.Required,
			"verdict": &one.Verdict, "margin_db": &one.MarginDB, "probability": &one.Probability} {
			raw, ok := f.Properties.find(key)
			if ok && json.Unmarshal(raw, to) != nil {
				return s, false, fmt.Errorf("report: feature %d: %s: found %.60s", i, key, raw)
			}
		}
		if verdictOrder(one.Verdict) < 0 {
			return s, false, fmt.Errorf("report: feature %d: verdict: found %q, allowed reaches, marginal, short or unknown", i, one.Verdict)
		}
		s.links = append(s.links, one)
	}
	return s, true, nil
}

// verdictOrder sorts verdicts, best first; -1 is none. What cannot be judged
// comes last, as nobody should build on it.
func verdictOrder(word string) int {
	for i, v := range []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown} {
		if word == string(v) {
			return i
		}
	}
	return -1
}
