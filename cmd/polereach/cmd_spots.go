package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/handheld"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain"
)

func spotsCommand() *cli.Command {
	flags := []cli.Flag{calibrationFlag(),
		&cli.StringSliceFlag{Name: "must", Usage: "`NAME` of a station that a spot must reach; repeatable"},
		&cli.IntFlag{Name: "at-least", Value: 1, Usage: "`NUMBER` of neighbours that a spot must reach"},
		&cli.StringFlag{Name: "rank", Value: "mast", Usage: "what puts a spot first, `WORD` mast (where the lowest would " +
			"do), neighbours (most), probability (of the weakest path wanted), sun (most in the worst month) or road (nearest)"},
		&cli.StringFlag{Name: "around", Usage: "search round `LON,LAT` instead of the searchable polygons of the plan"},
		&cli.StringFlag{Name: "reach", Usage: "places of neighbours beside those of a plan, `LON,LAT ...`, apart by blanks, " +
			"antennas as high as --height-m"},
		&cli.Float64Flag{Name: "search-km", Value: 2, Usage: "with --around: how far, `KM`"},
		&cli.IntFlag{Name: "top", Value: 5, Usage: "`NUMBER` of spots to show, 1 to 100"},
		&cli.Float64Flag{Name: "separation-m", Value: 300, Usage: "least distance between two spots, `M`"},
		&cli.Float64Flag{Name: "max-height-m", Value: linkbudget.DefaultMaxHeightM, Usage: "tallest mast, `M`"},
		&cli.Float64Flag{Name: "max-road-m", Usage: "leave out what lies farther than this from every road of the plan, " +
			"`M`; 0: nothing"},
		&cli.Float64Flag{Name: "range-km", Value: mesh.DefaultRangeM / 1000, Usage: "leave out neighbours farther than " +
			"this, `KM`"},
		&cli.Float64Flag{Name: "cell-m", Usage: "distance between cells, `M`; 0: one for every post of the terrain"},
		&cli.IntFlag{Name: "most-cells", Usage: "`NUMBER` of cells computed path by path at most; 0: 5000, or 1000 with " +
			"--rank sun"},
		&cli.StringFlag{Name: "like", Usage: "build the new pole as this station of the plan, `NAME`: its radio, antenna, " +
			"panel and cell"},
		&cli.BoolFlag{Name: "with-sun", Usage: "tell the sky and the sun over every spot, and whether the node lives " +
			"where the polygon or --like states a panel and a cell"},
		&cli.Float64Flag{Name: "panel-height-m", Usage: "with --with-sun: panel above ground, `M`",
			DefaultText: "the antenna's height"},
		&cli.StringFlag{Name: "plan-out", Usage: "write the plan with the spots as proposed stations to `FILE`, as " +
			"--format geojson does"},
		pictureFlag("the ground searched with the spots"),
		layerFlag(),
		&cli.IntFlag{Name: "workers", Usage: "goroutines, `NUMBER`; 0: one for every core"},
	}
	for _, f := range skyFlags() {
		if f.Names()[0] != "obstacle" { // stands at one place, not at all
			flags = append(flags, f)
		}
	}
	return &cli.Command{
		Name:      "spots",
		Usage:     "where could a pole stand?",
		UsageText: "polereach spots [--must NAME] PLAN | --around LON,LAT --reach 'LON,LAT ...' [flags]",
		Description: `Example:
   polereach spots --must "Tanager Knob" --at-least 3 --top 3 examples/cumberland/plan.geojson

Neighbours are the standing stations of the plan and those of --must.

A spot is judged with the mast asked for: --height-m, or the height_m of the
searchable polygon, else of --like, else 5 m. Spots that need another come after,
the lowest mast first. A road is a LineString of the plan with "road":
true or the OpenStreetMap key highway.

Exit code: 0 a spot serves, 1 failed, 2 usage or bad input, 3 none serves,
4 none serves and terrain is missing.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), outputFlags(planFormats)...),
		Action: runSpots,
	}
}

func runSpots(c *cli.Context) error {
	p, err := planOrNone(c, "around")
	if err != nil {
		return err
	}
	answer, err := spotsOptions(c, p)
	if err != nil {
		return err
	}
	stations := []linkbudget.Station{answer.Options.Candidate}
	for _, n := range answer.Options.Neighbours {
		stations = append(stations, n.Station)
	}
	rules, err := ruleCaution(c, answer.Settings.Environment, stations...)
	if err != nil {
		return usage(err)
	}
	answer.Warnings = append(answer.Warnings, rules)
	dem, err := openDEM(c, filepath.Dir(p.Source), p)
	if err != nil {
		return err
	}
	answer.Warnings = append(answer.Warnings, p.OutsideTerrain(dem)...)
	var done func()
	answer.Options.Progress, done = progress(c.App.ErrWriter, "cells")
	answer.Answer, err = siting.Search(c.Context, dem, answer.Options)
	done()
	missing, missingErr := missingForSpots(c, p.Source, dem, answer)
	switch {
	case missingErr != nil:
		return missingErr
	case err != nil && answer.Answer == nil && len(missing) > 0:
		err = errors.Join(err, errors.New(strings.Join(missing, "\n")))
		if errors.Is(err, coverage.ErrPoleUnknown) {
			return &exitError{code: exitUnjudged, err: err}
		}
	default:
		answer.Warnings = append(answer.Warnings, missing...)
	}
	if err != nil {
		return computeError(p.Source, err)
	}
	asPlan := func(w io.Writer) error { return report.SpotsGeoJSON(w, p, answer) }
	var files outfile.Set
	defer files.Discard()
	if path := c.String("plan-out"); path != "" {
		if err := files.Add(path, asPlan); err != nil {
			return failed(fmt.Errorf("plan-out: %w", err))
		}
	}
	err = addPicture(c, &files, func(w io.Writer, format string) error {
		return picture.Spots(w, format, picture.SpotsMap{Answer: answer.Answer, Options: answer.Options,
			Name: report.SpotName, Terrain: dem, Cover: p.Cover})
	})
	if err != nil {
		return err
	}
	err = emitWith(c, &files, func(w io.Writer) error {
		switch c.String("format") {
		case "json":
			return report.SpotsJSON(w, answer)
		case "csv":
			return report.SpotsCSV(w, answer)
		case "geojson":
			return inLayers(c, w, asPlan)
		case "kml", "gpx":
			sheet, err := handheld.Spots(answer.Answer, answer.Options, report.SpotName, answer.Date)
			if err != nil {
				return err
			}
			return sheet.Write(w, c.String("format"))
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

// missingForSpots names the tiles that are missing under the neighbours and in the
// middle of the ground to search.
func missingForSpots(c *cli.Context, source string, dem terrain.DEM, s *report.Spots) ([]string, error) {
	var places namedPlaces
	for _, n := range s.Options.Neighbours {
		if s.Answer == nil || slices.Contains(s.Unknown, n.Station.Name) {
			places = append(places, namedPlace{what: fmt.Sprintf("neighbour %q", n.Station.Name), at: n.At})
		}
	}
	for _, area := range s.Options.Areas {
		places = append(places, namedPlace{what: "the middle of the ground to search", at: area.Bound().Center()})
	}
	lacking(c, dem, source, places.at())
	return missingGround(dem, places)
}
