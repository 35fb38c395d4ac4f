package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/siting"
)

// spotSun reads what would hang on the poles and under which sky, nil where
// nobody asks for the sun. The node is what the polygon around a spot states,
// and for what it does not, the station of --like.
func spotSun(c *cli.Context, p *plan.Plan, s plan.Settings, like *plan.Station, areas orb.MultiPolygon,
	rank siting.Rank) (*siting.Sun, error) {
	if !c.Bool("with-sun") && rank != siting.BySun {
		var errs []error
		for _, name := range []string{"panel-height-m", "weather", "weather-shift-h", "climate", "clearness"} {
			if c.IsSet(name) {
				errs = append(errs, fmt.Errorf("%s: found without --with-sun or --rank sun", name))
			}
		}
		return nil, errors.Join(errs...)
	}
	latDeg := areas.Bound().Center().Lat()
	weather, err := readSky(c, filepath.Dir(p.Source), latDeg)
	if c.IsSet("panel-height-m") {
		err = errors.Join(err, above0(c, "panel-height-m", linkbudget.MaxAntennaHeightM, "m"))
	}
	defaults, airErr := nodeDefaults(s.Environment, latDeg)
	err = errors.Join(err, airErr)
	type node struct {
		ground orb.Polygon // nil: everywhere
		pole   power.PoleOptions
	}
	var nodes []node
	// Faults are told of the feature that has them; the node takes both together.
	fault := func(get power.Getter, where plan.Station) {
		_, _, faults := power.Settings(get, defaults)
		err = errors.Join(err, placeFaults(faults, &where, p.Source))
	}
	add := func(ground orb.Polygon, get power.Getter) {
		opt := power.PoleOptions{Weather: weather.weather}
		opt.System, opt.Stated, _ = power.Settings(get, defaults)
		nodes = append(nodes, node{ground, opt})
	}
	if like == nil {
		like = &plan.Station{} // states nothing
	}
	fault(like.Property, *like)
	if c.String("around") == "" {
		for i := range p.Areas {
			a := &p.Areas[i]
			get := func(key string) (json.RawMessage, bool) {
				if raw, ok := a.Property(key); ok {
					return raw, true
				}
				return like.Property(key)
			}
			fault(a.Property, plan.Station{Name: a.Name, Feature: a.Feature})
			add(a.Polygon, get)
		}
	}
	add(nil, like.Property)
	return &siting.Sun{PanelUpM: c.Float64("panel-height-m"), Pole: func(at orb.Point) power.PoleOptions {
		for _, n := range nodes {
			if n.ground == nil || planar.PolygonContains(n.ground, at) {
				return n.pole
			}
		}
		return nodes[len(nodes)-1].pole
	}}, err
}
