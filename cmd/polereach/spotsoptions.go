package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// spotsOptions reads the flags, all faults at once.
func spotsOptions(c *cli.Context, p *plan.Plan) (*report.Spots, error) {
	err := applyRadioFile(c, filepath.Dir(p.Source))
	s, settingsErr := settings(c)
	calErr := calibrated(c, filepath.Dir(p.Source), p, &s)
	s.Cover = p.CoverText(s.Cover)
	areas, areasErr := searchable(c, p)
	rank, rankErr := siting.ParseRank(c.String("rank"))
	var like *plan.Station
	var likeErr error
	if name := c.String("like"); name != "" {
		var built plan.Station
		if built, likeErr = stationNamed(p, "like", name); likeErr == nil {
			like = &built
		}
	}
	_, pictureErr := pictureFormat(c)
	neighbours, neighbourErr := spotNeighbours(c, p, s)
	err = errors.Join(err, settingsErr, calErr, areasErr, rankErr, likeErr, neighbourErr, pictureErr,
		count(c, "workers", 0, 1024))
	var candidate linkbudget.Station
	if settingsErr == nil && likeErr == nil {
		var candidateErr error
		candidate, candidateErr = spotCandidate(c, p, s, like)
		err = errors.Join(err, candidateErr)
	}
	opt := siting.Options{
		Neighbours: neighbours, Candidate: candidate, Areas: areas, Environment: s.Environment, Rank: rank,
		AtLeast: c.Int("at-least"), Top: c.Int("top"), SeparationM: c.Float64("separation-m"),
		MaxHeightM: c.Float64("max-height-m"), RangeM: c.Float64("range-km") * 1000, MaxRoadM: c.Float64("max-road-m"),
		CellM: c.Float64("cell-m"), FillVoidsM: s.Profile.FillVoidsM, Workers: c.Int("workers"),
		MostCells: c.Int("most-cells"),
	}
	for _, w := range p.Roads {
		opt.Roads = append(opt.Roads, w.Line)
	}
	if (rank == siting.ByRoad || opt.MaxRoadM > 0) && len(opt.Roads) == 0 {
		err = errors.Join(err, errors.New("the plan has no road to measure from: draw a LineString with \"road\": true, "+
			"or add lines with the OpenStreetMap key highway"))
	}
	for _, flag := range []struct {
		name string
		v    float64
	}{{"at-least", float64(opt.AtLeast)}, {"top", float64(opt.Top)}, {"separation-m", opt.SeparationM},
		{"max-height-m", opt.MaxHeightM}, {"range-km", opt.RangeM}} {
		if !(flag.v > 0) {
			err = errors.Join(err, fault.Found(flag.name, flag.v, "above 0"))
		}
	}
	if !(opt.MaxRoadM >= 0) {
		err = errors.Join(err, fault.Found("max-road-m", opt.MaxRoadM, "0 and above"))
	}
	if opt.MostCells < 0 {
		err = errors.Join(err, fault.Found("most-cells", opt.MostCells, "0 and above"))
	}
	if len(areas) > 0 {
		var sunErr error
		opt.Sun, sunErr = spotSun(c, p, s, like, areas, rank)
		err = errors.Join(err, sunErr)
	}
	return &report.Spots{Settings: s, Options: opt, Like: like, Warnings: p.Warnings, Date: now()}, usage(err)
}

// defaultMastM is the height of antennas of which nothing is said, metres.
const defaultMastM = 5.0

// spotCandidate is the new pole with the mast asked for.
func spotCandidate(c *cli.Context, p *plan.Plan, s plan.Settings, like *plan.Station) (linkbudget.Station, error) {
	heightM := s.Station.HeightM
	if !c.IsSet("height-m") {
		highest := 0.0
		for _, a := range p.Areas {
			if a.HeightM != nil && c.String("around") == "" {
				highest = max(highest, *a.HeightM)
			}
		}
		switch {
		case highest > 0:
			heightM = highest
		case like != nil && like.HeightM != nil:
			heightM = *like.HeightM
		}
	}
	heightM = cmp.Or(heightM, defaultMastM)
	candidate := s.Station
	var err error
	if like != nil {
		built := *like
		built.HeightM = &heightM
		candidate, err = s.Resolve(&built)
	}
	candidate.Name, candidate.HeightM = "the new pole", heightM
	return candidate, wrap("like", err)
}

// searchable returns the ground to search.
func searchable(c *cli.Context, p *plan.Plan) (areas orb.MultiPolygon, err error) {
	if text := c.String("around"); text != "" {
		at, err := coordinate("around", text)
		if err = errors.Join(err, above0(c, "search-km", 50, "km")); err != nil {
			return nil, err
		}
		return orb.MultiPolygon{{circle(at, c.Float64("search-km")*1000)}}, nil
	}
	for _, a := range p.Areas {
		areas = append(areas, a.Polygon)
	}
	if len(areas) == 0 {
		err = errors.New("the plan has no searchable polygon (a Polygon with status searchable); draw one, or give " +
			"--around LON,LAT")
	}
	return areas, err
}

// circle is a ring of 64 places round a point, in one piece across the
// antimeridian.
func circle(at orb.Point, radiusM float64) orb.Ring {
	var ring orb.Ring
	for i := range 64 {
		q := terrain.Destination(at, 360-float64(i)*360/64, radiusM)
		q[0] = at[0] + math.Remainder(q[0]-at[0], 360)
		ring = append(ring, q)
	}
	return append(ring, ring[0])
}

// apartPlaces makes blanks of semicolons, and takes away the one behind the comma of a place.
var apartPlaces = strings.NewReplacer(", ", ",", ";", " ")

// spotNeighbours are the standing stations and those that must be reached.
func spotNeighbours(c *cli.Context, p *plan.Plan, s plan.Settings) ([]siting.Neighbour, error) {
	must := map[string]bool{}
	var errs []error
	for _, name := range c.StringSlice("must") {
		if _, err := stationNamed(p, "must", name); err != nil {
			errs = append(errs, err)
		}
		must[name] = true
	}
	var out []siting.Neighbour
	for i := range p.Stations {
		st := &p.Stations[i]
		if st.Status != plan.Standing && !must[st.Name] {
			continue
		}
		station, err := s.Resolve(st)
		errs = append(errs, err)
		out = append(out, siting.Neighbour{Station: station, At: st.At, Must: must[st.Name]})
	}
	for i, text := range strings.Fields(apartPlaces.Replace(c.String("reach"))) {
		at, err := coordinate("reach", text)
		station := s.Station
		station.Name = fmt.Sprintf("neighbour %d", i+1)
		station.HeightM = cmp.Or(station.HeightM, defaultMastM)
		errs = append(errs, err)
		out = append(out, siting.Neighbour{Station: station, At: at})
	}
	if len(out) == 0 {
		missing := "no neighbours to reach: give --reach 'LON,LAT ...'"
		if len(p.Stations) > 0 {
			missing = "no station of the plan stands: name those to reach by --must NAME, say \"status\": \"standing\", or " +
				"give " +
				"--reach 'LON,LAT ...'; stations: " + stationNames(p)
		}
		errs = append(errs, errors.New(missing))
	}
	return out, errors.Join(errs...)
}

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
