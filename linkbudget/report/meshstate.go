package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// MeshState is what a comparison needs of a checked plan. It comes from a Mesh
// or from the GeoJSON of an earlier run.
type MeshState struct {
	summary meshSummary
	poles   []poleState
	links   []linkState
}

// linkState is one link as MeshGeoJSON writes it; margin and probability are nil
// where terrain is missing.
type linkState struct {
	From        string   `json:"from"`
	To          string   `json:"to"`
	Wanted      bool     `json:"wanted"`
	Required    bool     `json:"required"`
	Verdict     string   `json:"verdict"`
	MarginDB    *float64 `json:"margin_db,omitempty"`
	Probability *float64 `json:"probability,omitempty"`
}

// asked is 2 for a required link, 1 for one that is wanted, 0 for other pairs.
func (l *linkState) asked() int {
	switch {
	case l.Required:
		return 2
	case l.Wanted:
		return 1
	}
	return 0
}

// poleState is one pole as MeshGeoJSON writes it: no route without a gateway that it
// reaches, no load without packets.
type poleState struct {
	Name                 string   `json:"name"`
	Hops                 *int     `json:"hops,omitempty"`
	Route                string   `json:"route,omitempty"`
	RouteProbability     *float64 `json:"route_probability,omitempty"`
	DirectUtilisation    *float64 `json:"direct_busy,omitempty"`
	RepeatAllUtilisation *float64 `json:"repeat_all_busy,omitempty"`
}

// hops is more than any route has for a pole without one.
func (p *poleState) hops() int {
	if p.Hops == nil {
		return math.MaxInt32
	}
	return *p.Hops
}

func (p *poleState) otherRoute(now *poleState) bool {
	return p.hops() != now.hops() || p.Route != now.Route
}

// NewMeshState takes the state of a mesh, rounded as it is written.
// It panics over nil, and over a mesh put together by hand that contradicts itself.
func NewMeshState(m *mesh.Mesh) MeshState {
	s := MeshState{summary: newMeshSummary(m)}
	for v := range m.Stations {
		p := &m.Stations[v]
		one := poleState{Name: p.Station.Name}
		if r := p.Route; r != nil {
			one.Hops, one.Route, one.RouteProbability = ptr(p.Hops()), wayText(m, r), ptr(fixed(r.Probability, 4))
		}
		if l := p.Load; l != nil {
			one.DirectUtilisation = ptr(fixed(l.DirectUtilisation, 6))
			one.RepeatAllUtilisation = ptr(fixed(l.RepeatAllUtilisation, 6))
		}
		s.poles = append(s.poles, one)
	}
	links := newMeshLinks(m)
	for i := range m.Pairs {
		l := links.at(i)
		one := linkState{From: l.from, To: l.to, Wanted: l.Wanted(), Required: l.Required, Verdict: l.Verdict.String()}
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
			err = s.features(dec)
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

// features reads the list of features one at a time: they may be many. Poles that
// only links name are poles too.
func (s *MeshState) features(dec *json.Decoder) error {
	if token, err := dec.Token(); err != nil || token != json.Delim('[') {
		return fmt.Errorf("features: found %v, allowed a list", token)
	}
	named := map[string]bool{}
	for i := 0; dec.More(); i++ {
		var f featureState
		err := dec.Decode(&f)
		if err == nil && f.Properties.ours() {
			err = s.take(&f, named)
		}
		if err != nil {
			return fmt.Errorf("feature %d: %w", i, err)
		}
	}
	for i := range s.links {
		for _, name := range s.links[i].ends() {
			if !named[name] {
				named[name] = true
				s.poles = append(s.poles, poleState{Name: name})
			}
		}
	}
	_, err := dec.Token()
	return err
}

type featureState struct {
	Geometry   struct{ Type string }
	Properties rawObject
}

// take takes in a feature that bears our mark.
func (s *MeshState) take(f *featureState, named map[string]bool) error {
	switch f.Geometry.Type {
	case "Point":
		var p poleState
		err := f.read(field{"name", &p.Name}, field{"hops", &p.Hops}, field{"route", &p.Route},
			field{"route_probability", &p.RouteProbability}, field{"direct_busy", &p.DirectUtilisation},
			field{"repeat_all_busy", &p.RepeatAllUtilisation})
		if !named[p.Name] {
			named[p.Name] = true
			s.poles = append(s.poles, p)
		}
		return err
	case "LineString":
		l := linkState{Wanted: true, Required: true}
		err := f.read(field{"from", &l.From}, field{"to", &l.To}, field{"wanted", &l.Wanted}, field{"required", &l.Required},
			field{"verdict", &l.Verdict}, field{"margin_db", &l.MarginDB}, field{"probability", &l.Probability})
		if err == nil && verdictOrder(l.Verdict) < 0 {
			err = fmt.Errorf("verdict: found %q, allowed reaches, marginal, short or unknown", l.Verdict)
		}
		s.links = append(s.links, l)
		return err
	}
	return nil
}

// field is a property and where to put it.
type field struct {
	key string
	to  any
}

func (f *featureState) read(fields ...field) error {
	for _, field := range fields {
		raw, ok := f.Properties.find(field.key)
		if ok && json.Unmarshal(raw, field.to) != nil {
			return fmt.Errorf("%s: found %.60s", field.key, raw)
		}
	}
	return nil
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
