package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
)

// SpotsGeoJSON writes the plan with the spots added as proposed stations, with
// their figures as properties: a plan to go on with. A spot has what its polygon
// and the station it is built after state, such as the panel and the cell. Where
// the plan names its links, the spot gets a line to every neighbour it reaches
// or must reach, required only where it must. A name that is taken gets a number
// behind it. The error is that of plan.GeoJSON, plan.Read or w.
func SpotsGeoJSON(w io.Writer, p *plan.Plan, s *Spots) error {
	text, err := p.GeoJSON()
	if err != nil {
		return err
	}
	again, err := plan.Read(p.Source, text) // whose features are numbered as they are written
	if err != nil {
		return err
	}
	root, features, err := rawCollection(text)
	if err != nil {
		return err
	}
	var head rawObject
	for _, m := range root {
		if m.key != "features" && m.key != "bbox" && m.key != summaryKey {
			head = append(head, m)
		}
	}
	names := s.spotNames(again)
	features = append(features, s.spotFeatures(again, features, names)...)
	var out bytes.Buffer
	if err := writeCollection(&out, head, features, func(func([]byte) bool) {}); err != nil {
		return err
	}
	if _, err := plan.Read(p.Source, out.Bytes()); err != nil {
		return err
	}
	_, err = w.Write(out.Bytes())
	return err
}

// spotNames are the names of the spots in the plan.
func (s *Spots) spotNames(p *plan.Plan) []string {
	var names []string
	for i := range s.Spots {
		name := SpotName(i)
		for n := 2; ; n++ {
			if _, taken := p.Station(name); !taken {
				break
			}
			name = fmt.Sprintf("%s (%d)", SpotName(i), n)
		}
		names = append(names, name)
	}
	return names
}

// spotFeatures are the stations and then their lines.
func (s *Spots) spotFeatures(p *plan.Plan, features []rawObject, names []string) []rawObject {
	var out, lines []rawObject
	for i := range s.Spots {
		spot := &s.Spots[i]
		props := rawObject{{"name", rawJSON(names[i])}, {"status", rawJSON("proposed")}, {"height_m", rawJSON(metres(spot.HeightM))}}
		for k := range p.Areas {
			if planar.PolygonContains(p.Areas[k].Polygon, spot.At) {
				props = inherit(props, features, p.Areas[k].Feature)
				break
			}
		}
		if s.Like != nil {
			if like, ok := p.Station(s.Like.Name); ok {
				props = inherit(props, features, like.Feature)
			}
		}
		props = append(props, rawMember{schemaKey, rawJSON(1)})
		for _, c := range spotColumns {
			if v := c.value(spot); v != nil {
				props.set(c.key, rawJSON(v))
			}
		}
		out = append(out, feature("Point", [2]float64(spot.At), props))
		for _, l := range spot.Links {
			if len(p.Links) > 0 && (l.Must || l.Result.Verdict == linkbudget.Reaches) {
				lines = append(lines, s.spotLine(names[i], spot, l))
			}
		}
	}
	return append(out, lines...)
}

func (s *Spots) spotLine(name string, spot *siting.Spot, l siting.Link) rawObject {
	props := rawObject{{"from", rawJSON(name)}, {"to", rawJSON(l.Name)}, {"required", rawJSON(l.Must)}}
	var to orb.Point
	for _, n := range s.Options.Neighbours {
		if n.Station.Name == l.Name {
			to = n.At
		}
	}
	return feature("LineString", [2][2]float64{spot.At, to}, props)
}

func feature(kind string, coordinates any, props rawObject) rawObject {
	var b bytes.Buffer
	props.write(&b)
	geometry := rawObject{{"type", rawJSON(kind)}, {"coordinates", rawJSON(coordinates)}}
	var g bytes.Buffer
	geometry.write(&g)
	return rawObject{{"type", rawJSON("Feature")}, {"properties", b.Bytes()}, {"geometry", g.Bytes()}}
}

// inherit adds the properties of a feature of the plan that say what stands
// there; not its name, nor figures of an earlier run.
func inherit(props rawObject, features []rawObject, from int) rawObject {
	if from < 0 || from >= len(features) {
		return props
	}
	var theirs rawObject
	if raw, ok := features[from].find("properties"); ok {
		if err := json.Unmarshal(raw, &theirs); err != nil {
			return props
		}
	}
	mark, _ := theirs.find(schemaKey)
	for _, m := range theirs {
		_, has := props.find(m.key)
		if has || m.key == schemaKey || absent(m.value) || !absent(mark) && figureKey(m.key) {
			continue
		}
		props = append(props, m)
	}
	return props
}

// figureKey reports whether a key is a figure of ours.
func figureKey(key string) bool {
	for _, c := range poleColumns {
		if c.key == key {
			return true
		}
	}
	for _, c := range spotColumns {
		if c.key == key {
			return true
		}
	}
	return false
}
