package report

import (
	"bytes"
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
	links := newMeshLinks(m)
	for i := range m.Pairs {
		l := links.at(i)
		one := linkState{From: l.from, To: l.to, Required: l.Required, Verdict: l.Verdict.String()}
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
	var summary json.RawMessage
	dec := json.NewDecoder(bytes.NewReader(data))
	if token, _ := dec.Token(); token != json.Delim('{') {
		return s, false, nil // whatever it is, plan.Read says it better
	}
	for dec.More() && err == nil {
		switch key, _ := dec.Token(); key {
		case summaryKey:
			err = dec.Decode(&summary)
		case "features":
			s.links, err = linkStates(dec)
		default:
			var other json.RawMessage
			err = dec.Decode(&other)
		}
	}
	if summary == nil {
		return MeshState{}, false, nil
	}
	if json.Unmarshal(summary, &s.summary) != nil || s.summary.Command != "plan" || s.summary.Schema != 1 {
		err = fmt.Errorf("member %q: found %.60s, allowed the answer of command plan, schema 1", summaryKey, summary)
	}
	if err != nil {
		return MeshState{}, false, fmt.Errorf("report: %w", err)
	}
	return s, true, nil
}

// linkStates reads the list of features one at a time: they may be many.
func linkStates(dec *json.Decoder) (links []linkState, err error) {
	if token, err := dec.Token(); err != nil || token != json.Delim('[') {
		return nil, fmt.Errorf("features: found %v, allowed a list", token)
	}
	for i := 0; dec.More(); i++ {
		var f featureState
		if err := dec.Decode(&f); err != nil {
			return nil, fmt.Errorf("feature %d: %w", i, err)
		}
		if mark, _ := f.Properties.find(schemaKey); f.Geometry.Type != "LineString" || absent(mark) {
			continue
		}
		one, err := f.link()
		if err != nil {
			return nil, fmt.Errorf("feature %d: %w", i, err)
		}
		links = append(links, one)
	}
	_, err = dec.Token()
	return links, err
}

type featureState struct {
	Geometry   struct{ Type string }
	Properties rawObject
}

func (f *featureState) link() (linkState, error) {
	l := linkState{Required: true}
	for _, field := range []struct {
		key string
		to  any
	}{{"from", &l.From}, {"to", &l.To}, {"required", &l.Required}, {"verdict", &l.Verdict}, {"margin_db", &l.MarginDB}, {"probability", &l.Probability}} {
		raw, ok := f.Properties.find(field.key)
		if ok && json.Unmarshal(raw, field.to) != nil {
			return l, fmt.Errorf("%s: found %.60s", field.key, raw)
		}
	}
	if verdictOrder(l.Verdict) < 0 {
		return l, fmt.Errorf("verdict: found %q, allowed reaches, marginal, short or unknown", l.Verdict)
	}
	return l, nil
}

// verdictOrder sorts verdicts, best first; -1 is none. What cannot be judged
// comes last, as nobody should build on it.
func verdictOrder(word string) int {
	for i, v := range []linkbudget.Verdict{linkbudget.Reaches, linkbudget.Marginal, linkbudget.Short, linkbudget.Unknown} {
		if word == v.String() {
			return i
		}
	}
	return -1
}
