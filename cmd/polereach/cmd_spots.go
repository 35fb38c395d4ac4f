package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
)

// spotsFormats are what spots writes.
var spotsFormats = []string{"text", "json", "csv", "geojson"}

func spotsCommand() *cli.Command {
	flags := []cli.Flag{
		&cli.StringSliceFlag{Name: "must", Usage: "`NAME` of a station that a spot must reach; repeatable"},
		&cli.IntFlag{Name: "at-least", Value: 1, Usage: "`NUMBER` of neighbours that a spot must reach"},
		&cli.StringFlag{Name: "rank", Value: "mast", Usage: "what puts a spot first, `WORD` mast (the lowest), neighbours (most), probability (of the weakest path wanted), sun (most in the worst month) or road (nearest)"},
		&cli.StringFlag{Name: "around", Usage: "search round `LON,LAT` instead of the searchable polygons of the plan"},
		&cli.Float64Flag{Name: "radius-km", Value: 2, Usage: "with --around: how far, `KM`"},
		&cli.IntFlag{Name: "top", Value: 5, Usage: "`NUMBER` of spots to show, 1 to 100"},
		&cli.Float64Flag{Name: "separation-m", Value: 300, Usage: "least distance between two spots, `M`"},
		&cli.Float64Flag{Name: "max-height-m", Value: linkbudget.DefaultMaxHeightM, Usage: "tallest mast, `M`"},
		&cli.Float64Flag{Name: "max-road-m", Usage: "leave out what lies farther than this from every road of the plan, `M`; 0: nothing"},
		&cli.Float64Flag{Name: "range-km", Value: plan.DefaultRangeM / 1000, Usage: "leave out neighbours farther than this, `KM`"},
		&cli.Float64Flag{Name: "cell-m", Usage: "distance between cells, `M`; 0: one for every post of the terrain"},
		&cli.IntFlag{Name: "most-cells", Usage: "`NUMBER` of cells computed path by path at most; 0: 5000, or 1000 with --rank sun"},
		&cli.StringFlag{Name: "like", Usage: "build the new pole as this station of the plan, `NAME`: its radio, antenna, panel and cell"},
		&cli.BoolFlag{Name: "with-sun", Usage: "tell the sky and the sun over every spot, and whether the node lives where the polygon or --like states panel_* and cell_*"},
		&cli.Float64Flag{Name: "panel-height-m", Usage: "with --with-sun: panel above ground, `M`", DefaultText: "the antenna's height"},
		&cli.StringFlag{Name: "plan-out", Usage: "write the plan with the spots as proposed stations to `FILE`, as --format geojson does"},
		&cli.IntFlag{Name: "workers", Usage: "goroutines, `NUMBER`; 0: one for every core"},
	}
	for _, f := range skyFlags() {
		if f.Names()[0] != "obstacle" { // stands at one place, not at all
			flags = append(flags, f)
		}
	}
	output := outputFlags()
	output[0].(*cli.StringFlag).Usage = "`FORMAT` " + strings.Join(spotsFormats, ", ")
	return &cli.Command{
		Name:      "spots",
		Usage:     "where could a pole stand?",
		UsageText: "polereach spots [--must NAME] [flags] PLAN",
		Description: `Example:
   polereach spots --must "Tanager Knob" --at-least 3 --top 3 examples/cumberland/plan.geojson

Neighbours are the standing stations of the plan and those of --must.

All ranks but mast judge with the mast asked for: --height-m, or the height_m
of the searchable polygon, else of --like, else 5 m. Spots that need a taller one
come after, the lowest mast first. A road is a LineString of the plan with "road":
true or the OpenStreetMap key highway.

Exit code: 0 a spot serves, 1 failed, 2 usage or bad input, 3 none serves,
4 none serves and terrain is missing.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), output...),
		Action: runSpots,
	}
}

func runSpots(c *cli.Context) error {
	kind := c.String("format")
	if !slices.Contains(spotsFormats, kind) {
		return usagef("format: found %q, allowed %s", kind, strings.Join(spotsFormats, ", "))
	}
	if c.NArg() != 1 {
		return usagef("spots: want one plan file, found %d arguments", c.NArg())
	}
	planPath := c.Args().First()
	p, err := readPlan(planPath)
	if err != nil {
		return err
	}
	answer, err := spotsOptions(c, p, planPath)
	if err != nil {
		return err
	}
	dem, err := openDEM(c, filepath.Dir(planPath))
	if err != nil {
		return err
	}
	update, done := progress(c.App.ErrWriter)
	answer.Options.Progress = update
	answer.Answer, err = siting.Search(c.Context, dem, answer.Options)
	done()
	if err != nil {
		return computeError(planPath, err)
	}
	asPlan := func(w io.Writer) error { return report.SpotsGeoJSON(w, p, answer) }
	if path := c.String("plan-out"); path != "" {
		if err := streamFile(path, asPlan); err != nil {
			return failed(fmt.Errorf("plan-out: %w", err))
		}
	}
	err = emit(c, func(w io.Writer) error {
		switch kind {
		case "json":
			return report.SpotsJSON(w, answer)
		case "csv":
			return report.SpotsCSV(w, answer)
		case "geojson":
			return asPlan(w)
		}
		return report.SpotsText(w, answer)
	})
	if err != nil || slices.ContainsFunc(answer.Spots, func(s siting.Spot) bool { return s.Serves }) {
		return err
	}
	if answer.Unjudged+answer.Open > 0 {
		return &exitError{code: exitUnjudged}
	}
	return &exitError{code: exitNotHeld}
}

// spotsOptions reads the flags, all faults at once.
func spotsOptions(c *cli.Context, p *plan.Plan, planPath string) (*report.Spots, error) {
	beside := filepath.Dir(planPath)
	err := applyRadioFile(c, beside)
	s, settingsErr := settings(c)
	areas, areasErr := searchable(c, p)
	rank, rankErr := siting.ParseRank(c.String("rank"))
	like, likeErr := spotLike(c, p)
	neighbours, neighbourErr := spotNeighbours(c, p, s)
	err = errors.Join(err, settingsErr, areasErr, rankErr, likeErr, neighbourErr)
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
		CellM: c.Float64("cell-m"), FillVoidsM: s.Profile.FillVoidsM, Workers: c.Int("workers"), MostCells: c.Int("most-cells"),
	}
	for _, w := range p.Roads {
		opt.Roads = append(opt.Roads, w.Line)
	}
	if (rank == siting.ByRoad || opt.MaxRoadM > 0) && len(opt.Roads) == 0 {
		err = errors.Join(err, errors.New("the plan has no road to measure from: draw a LineString with \"road\": true, or add lines with the OpenStreetMap key highway"))
	}
	for _, flag := range []struct {
		name string
		v    float64
	}{{"at-least", float64(opt.AtLeast)}, {"top", float64(opt.Top)}, {"separation-m", opt.SeparationM}, {"max-height-m", opt.MaxHeightM}, {"range-km", opt.RangeM}} {
		if !(flag.v > 0) {
			err = errors.Join(err, fmt.Errorf("%s: found %g, allowed above 0", flag.name, flag.v))
		}
	}
	if !(opt.MaxRoadM >= 0) {
		err = errors.Join(err, fmt.Errorf("max-road-m: found %g, allowed 0 and above", opt.MaxRoadM))
	}
	if opt.MostCells < 0 {
		err = errors.Join(err, fmt.Errorf("most-cells: found %d, allowed 0 and above", opt.MostCells))
	}
	if len(areas) > 0 {
		var sunErr error
		opt.Sun, sunErr = spotSun(c, p, s, planPath, like, areas, rank)
		err = errors.Join(err, sunErr)
	}
	return &report.Spots{Settings: s, Options: opt, Like: like, Warnings: p.Warnings}, usage(err)
}

// spotLike is the station of --like, nil without.
func spotLike(c *cli.Context, p *plan.Plan) (*plan.Station, error) {
	name := c.String("like")
	if name == "" {
		return nil, nil
	}
	st, err := findPole(p, name, "")
	if err != nil {
		return nil, fmt.Errorf("like: %w", err)
	}
	return &st, nil
}

// spotCandidate is the new pole with the mast asked for.
func spotCandidate(c *cli.Context, p *plan.Plan, s plan.Settings, like *plan.Station) (linkbudget.Station, error) {
	heightM := s.Station.HeightM
	if !given(c, "height-m") {
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
	if heightM == 0 {
		heightM = 5
	}
	candidate := s.Station
	if like != nil {
		built := *like
		built.HeightM = &heightM
		var err error
		if candidate, err = s.Resolve(&built); err != nil {
			return candidate, fmt.Errorf("like: %w", err)
		}
	}
	candidate.Name, candidate.HeightM = "the new pole", heightM
	return candidate, nil
}

// searchable returns the ground to search.
func searchable(c *cli.Context, p *plan.Plan) (areas orb.MultiPolygon, err error) {
	if text := c.String("around"); text != "" {
		at, err := coordinate("around", text)
		km := c.Float64("radius-km")
		if !(km > 0 && km <= 50) {
			err = errors.Join(err, fmt.Errorf("radius-km: found %g, allowed above 0 to 50 km", km))
		}
		if err != nil {
			return nil, err
		}
		return orb.MultiPolygon{{circle(at, km*1000)}}, nil
	}
	for _, a := range p.Areas {
		areas = append(areas, a.Polygon)
	}
	if len(areas) == 0 {
		err = errors.New("the plan has no searchable polygon (a Polygon with status searchable); draw one, or give --around LON,LAT")
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
