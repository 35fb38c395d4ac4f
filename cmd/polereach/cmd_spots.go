package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
)

func spotsCommand() *cli.Command {
	flags := []cli.Flag{
		&cli.StringSliceFlag{Name: "must", Usage: "`NAME` of a station that a spot must reach; repeatable"},
		&cli.IntFlag{Name: "at-least", Value: 1, Usage: "`NUMBER` of neighbours that a spot must reach"},
		&cli.StringFlag{Name: "around", Usage: "search round `LON,LAT` instead of the searchable polygons of the plan"},
		&cli.Float64Flag{Name: "radius-km", Value: 2, Usage: "with --around: how far, `KM`"},
		&cli.IntFlag{Name: "top", Value: 5, Usage: "`NUMBER` of spots to show, 1 to 100"},
		&cli.Float64Flag{Name: "separation-m", Value: 300, Usage: "least distance between two spots, `M`"},
		&cli.Float64Flag{Name: "max-height-m", Value: linkbudget.DefaultMaxHeightM, Usage: "tallest mast, `M`"},
		&cli.Float64Flag{Name: "range-km", Value: plan.DefaultRangeM / 1000, Usage: "leave out neighbours farther than this, `KM`"},
		&cli.Float64Flag{Name: "cell-m", Usage: "distance between cells, `M`; 0: one for every post of the terrain"},
		&cli.StringFlag{Name: "plan-out", Usage: "write the plan with the spots as proposed stations to `FILE`"},
		&cli.IntFlag{Name: "workers", Usage: "goroutines, `NUMBER`; 0: one for every core"},
	}
	return &cli.Command{
		Name:      "spots",
		Usage:     "where could a pole stand?",
		UsageText: "polereach spots [--must NAME] [flags] PLAN",
		Description: `Example:
   polereach spots --must "Tanager Knob" --at-least 3 --top 3 examples/cumberland/plan.geojson

Neighbours are the standing stations of the plan and those of --must.

Exit code: 0 a spot serves, 1 failed, 2 usage or bad input, 3 none serves,
4 none serves and terrain is missing.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), outputFlags()...),
		Action: runSpots,
	}
}

func runSpots(c *cli.Context) error {
	kind, err := format(c)
	if err != nil {
		return err
	}
	if c.NArg() != 1 {
		return usagef("spots: want one plan file, found %d arguments", c.NArg())
	}
	planPath := c.Args().First()
	p, err := readPlan(planPath)
	if err != nil {
		return err
	}
	s, opt, err := spotsOptions(c, p, filepath.Dir(planPath))
	if err != nil {
		return err
	}
	dem, err := openDEM(c, filepath.Dir(planPath))
	if err != nil {
		return err
	}
	update, done := progress(c.App.ErrWriter)
	opt.Progress = update
	found, err := siting.Search(c.Context, dem, opt)
	done()
	if err != nil {
		return computeError(planPath, err)
	}
	answer := &report.Spots{Answer: found, Settings: s, Options: opt, Warnings: p.Warnings}
	if path := c.String("plan-out"); path != "" {
		text, err := report.SpotsPlan(p, answer).GeoJSON()
		if err == nil {
			err = replaceFile(path, text)
		}
		if err != nil {
			return failed(fmt.Errorf("plan-out: %w", err))
		}
	}
	err = emit(c, func(w io.Writer) error {
		if kind == "json" {
			return report.SpotsJSON(w, answer)
		}
		return report.SpotsText(w, answer)
	})
	if err != nil || slices.ContainsFunc(found.Spots, func(s siting.Spot) bool { return s.Serves }) {
		return err
	}
	if found.Unjudged > 0 {
		return &exitError{code: exitUnjudged}
	}
	return &exitError{code: exitNotHeld}
}

// spotsOptions reads the flags, all faults at once.
func spotsOptions(c *cli.Context, p *plan.Plan, beside string) (plan.Settings, siting.Options, error) {
	err := applyRadioFile(c, beside)
	s, settingsErr := settings(c)
	areas, heightM, areasErr := searchable(c, p)
	if heightM > 0 && !given(c, "height-m") {
		s.Station.HeightM = heightM
	}
	candidate := s.Station
	candidate.Name = "the new pole"
	if candidate.HeightM == 0 {
		candidate.HeightM = 5
	}
	neighbours, neighbourErr := spotNeighbours(c, p, s)
	opt := siting.Options{
		Neighbours: neighbours, Candidate: candidate, Areas: areas, Environment: s.Environment,
		AtLeast: c.Int("at-least"), Top: c.Int("top"), SeparationM: c.Float64("separation-m"),
		MaxHeightM: c.Float64("max-height-m"), RangeM: c.Float64("range-km") * 1000,
		CellM: c.Float64("cell-m"), FillVoidsM: s.Profile.FillVoidsM, Workers: c.Int("workers"),
	}
	for _, flag := range []struct {
		name string
		v    float64
	}{{"at-least", float64(opt.AtLeast)}, {"top", float64(opt.Top)}, {"separation-m", opt.SeparationM}, {"max-height-m", opt.MaxHeightM}, {"range-km", opt.RangeM}} {
		if !(flag.v > 0) {
			err = errors.Join(err, fmt.Errorf("%s: found %g, allowed above 0", flag.name, flag.v))
		}
	}
	return s, opt, usage(errors.Join(err, settingsErr, areasErr, neighbourErr))
}

// searchable returns the ground to search, and the height its polygons state.
func searchable(c *cli.Context, p *plan.Plan) (areas orb.MultiPolygon, heightM float64, err error) {
	if text := c.String("around"); text != "" {
		at, err := coordinate("around", text)
		km := c.Float64("radius-km")
		if !(km > 0 && km <= 50) {
			err = errors.Join(err, fmt.Errorf("radius-km: found %g, allowed above 0 to 50 km", km))
		}
		if err != nil {
			return nil, 0, err
		}
		return orb.MultiPolygon{{circle(at, km*1000)}}, 0, nil
	}
	for _, a := range p.Areas {
		areas = append(areas, a.Polygon)
		if a.HeightM != nil {
			heightM = max(heightM, *a.HeightM)
		}
	}
	if len(areas) == 0 {
		err = errors.New("the plan has no searchable polygon (a Polygon with status searchable); draw one, or give --around LON,LAT")
	}
	return areas, heightM, err
}

// circle is a ring of 64 places round a point.
func circle(at orb.Point, radiusM float64) orb.Ring {
	var ring orb.Ring
	for i := range 64 {
		ring = append(ring, terrain.Destination(at, 360-float64(i)*360/64, radiusM))
	}
	return append(ring, ring[0])
}

// spotNeighbours are the standing stations and those that must be reached.
func spotNeighbours(c *cli.Context, p *plan.Plan, s plan.Settings) ([]siting.Neighbour, error) {
	must := map[string]bool{}
	var errs []error
	for _, name := range c.StringSlice("must") {
		if _, err := findPole(p, name, ""); err != nil {
			errs = append(errs, fmt.Errorf("must: %w", err))
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
	return out, errors.Join(errs...)
}
