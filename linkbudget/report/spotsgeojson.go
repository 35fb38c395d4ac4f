package report

import (
	"bytes"
	"fmt"
	"io"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
)

// SpotsGeoJSON writes the plan with the spots added as proposed stations, with
// their figures as properties: a plan to go on with. A spot has what its polygon
// and the station it is built after state, such as the panel and the cell. Where
// the plan names its links, the spot gets a line to every neighbour it reaches
// or must reach, required only where it must. A name that is taken gets a number
// behind it. The error is that of plan.GeoJSON, plan.Read or w.
func SpotsGeoJSON(w io.Writer, p *plan.Plan, s *Spots) (err error) {
	defer fault.Recovered(&err)
	again, root, features, err := planFeatures(p)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	spots := s.spotFeatures(again, features, s.spotNames(again))
	err = writeCollection(&out, root.without("features", "bbox", summaryKey), features,
		len(spots), func(o *object, i int) { spots[i](o) })
	if err != nil {
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
func (s *Spots) spotFeatures(p *plan.Plan, features []rawObject, names []string) []func(o *object) {
	var out, lines []func(o *object)
	for i := range s.Spots {
		spot := &s.Spots[i]
		own := []string{"name", "status", "height_m", schemaKey}
		for _, c := range spotColumns {
			if c.value(spot) != nil {
				own = append(own, c.key)
			}
		}
		var theirs rawObject
		for k := range p.Areas {
			if planar.PolygonContains(p.Areas[k].Polygon, spot.At) {
				theirs = inherit(theirs, features, p.Areas[k].Feature)
				break
			}
		}
		if s.Like != nil {
			if like, ok := p.Station(s.Like.Name); ok {
				theirs = inherit(theirs, features, like.Feature)
			}
		}
		out = append(out, feature("Point", [2]float64(spot.At), func(o *object) {
			o.text("name", names[i])
			o.text("status", "proposed")
			o.number("height_m", spot.HeightM, 3)
			o.members(theirs.without(own...))
			o.count(schemaKey, 1)
			columnMembers(o, spotColumns, spot)
		}))
		for _, l := range spot.Links {
			if len(p.Links) > 0 && (l.Must || l.Result.Verdict == linkbudget.Reaches) {
				lines = append(lines, s.spotLine(names[i], spot, l))
			}
		}
	}
	return append(out, lines...)
}

func (s *Spots) spotLine(name string, spot *siting.Spot, l siting.Link) func(o *object) {
	var to orb.Point
	for _, n := range s.Options.Neighbours {
		if n.Station.Name == l.Name {
			to = n.At
		}
	}
	return feature("LineString", [2][2]float64{spot.At, to}, func(o *object) {
		o.text("from", name)
		o.text("to", l.Name)
		o.truth("required", l.Must)
	})
}

// feature writes one.
func feature(kind string, coordinates any, properties func(o *object)) func(o *object) {
	return func(o *object) {
		o.braced(func(o *object) {
			o.text("type", "Feature")
			o.object("properties", properties)
			o.object("geometry", func(o *object) {
				o.text("type", kind)
				o.value("coordinates", coordinates)
			})
		})
	}
}

// inherit adds the properties of a feature of the plan that say what stands
// there; not its name, nor figures of an earlier run.
func inherit(props rawObject, features []rawObject, from int) rawObject {
	if from < 0 || from >= len(features) {
		return props
	}
	theirs, err := features[from].properties()
	if err != nil {
		return props
	}
	ours := append(columnKeys(poleColumns), columnKeys(spotColumns)...)
	for _, m := range theirs {
		_, has := props.find(m.key)
		if has || m.key == schemaKey || absent(m.value) || theirs.ours() && slices.Contains(ours, m.key) {
			continue
		}
		props = append(props, m)
	}
	return props
}
