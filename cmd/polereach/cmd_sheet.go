package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report/sheet"
	"github.com/polereach/polereach/terrain"
)

// mostPages is what a person takes along at most; each page may take 200 kB.
const mostPages = 200

func sheetCommand() *cli.Command {
	flags := append([]cli.Flag{
		&cli.StringFlag{Name: "pole", Usage: "`NAME` of a station of the plan; none: every station, a page each"},
		&cli.Float64Flag{Name: "range-km", Value: mesh.DefaultRangeM / 1000, Usage: "examine neighbours up to this " +
			"distance, `KM`"},
		&cli.IntFlag{Name: "at-least", Value: 1, Usage: "wanted `NUMBER` of neighbours where the plan requires no link of " +
			"the pole"},
		&cli.Float64Flag{Name: "panel-height-m", Usage: "panel above ground, `M`; 2 where no antenna's height is known",
			DefaultText: "the antenna's height"},
		calibrationFlag(),
		&cli.StringFlag{Name: "out", Usage: "write to `FILE` instead of standard output"},
	}, append(adviceFlags(), skyFlags()...)...)
	return &cli.Command{
		Name:      "sheet",
		Usage:     "what to take along up the hill?",
		UsageText: "polereach sheet [--pole NAME] --out FILE [flags] PLAN",
		Description: `Example:
   polereach sheet --pole "Sorrel Ridge" --out ridge.html examples/cumberland/plan.geojson

One HTML file for a phone without a network and for paper, A4 or Letter: the
verdict, a map, for each neighbour where to aim, what to expect each way and
the picture of the path, skyline and sun, the node, steps, a table for what is
heard, cautions. It runs no script and loads nothing.

Of several poles each page tells in full of the neighbours that links of the
plan name; a sheet of one pole, of all.

Exit code: 0 everything wanted of these poles holds, 1 failed, 2 usage or bad
input, 3 something wanted does not hold, 4 terrain missing for something.`,
		Flags:  append(append(flags, radioFlags()...), terrainFlags()...),
		Action: runSheet,
	}
}

func runSheet(c *cli.Context) error {
	p, err := onePlan(c)
	if err != nil {
		return err
	}
	beside := filepath.Dir(p.Source)
	opt, err := pathOptions(c, beside)
	err = errors.Join(err, calibrated(c, beside, p, &opt.Settings))
	opt.AtLeast, opt.KeepProfiles = c.Int("at-least"), true
	poles, polesErr := p.Stations, error(nil)
	switch name := c.String("pole"); {
	case name != "":
		poles, polesErr = choosePoles(c, p, []string{name})
	case len(poles) == 0:
		polesErr = errors.New("the plan has no station")
	case len(poles) > mostPages:
		polesErr = fmt.Errorf("pole: found %d stations, allowed up to %d in one file; choose one with --pole", len(poles),
			mostPages)
	}
	err = errors.Join(err, count(c, "at-least", 1, math.MaxInt), polesErr, p.OutsideBand(opt.Band))
	if err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, beside, p)
	if err != nil {
		return err
	}
	all := sheet.Sheet{Title: filepath.Base(p.Source), Areas: p.Areas, Cover: p.Cover, DEM: dem, Date: now(),
		Terrain: terrainText(c, beside), Warnings: append(p.Warnings, p.OutsideTerrain(dem)...)}
	var verdict, held error
	for i := range poles {
		site, err := mesh.CheckSite(c.Context, p, poles[i], dem, opt)
		if err != nil {
			return computeError(p.Source, err)
		}
		one := sheet.Pole{Site: site}
		if one.Sun, err = sheetSun(c, dem, &site.At, p.Source); err != nil {
			if c.Context.Err() != nil {
				return computeError(p.Source, err)
			}
			one.Sun, one.WhyNoSun = nil, err.Error()
		}
		all.Poles = append(all.Poles, one)
		verdict = verdictError(site.Verdict, site.HasUnknown(), false)
		if codeOf(held) != exitNotHeld && verdict != nil {
			held = verdict
		}
	}
	if err := emit(c, func(w io.Writer) error { return sheet.Write(writerUntil{c.Context, w}, all) }); err != nil {
		return err
	}
	return held
}

// sheetSun is the skyline of a pole with the sun and the year of what the plan says hangs there.
func sheetSun(c *cli.Context, dem terrain.DEM, pole *plan.Station, planPath string) (*power.PoleSurvey, error) {
	opt, err := poleOptions(c, pole, planPath)
	heightM, heightErr := panelHeight(c, pole)
	if err := errors.Join(err, heightErr); err != nil {
		return nil, err
	}
	return power.SurveyPole(c.Context, pole.At, heightM, dem, opt)
}

// terrainText names the files of the terrain, or how many there are.
func terrainText(c *cli.Context, beside string) string {
	files := strings.Split(terrainNames(c, beside), "\n")
	for i, file := range files { // without its size
		files[i] = file[:max(0, strings.LastIndexByte(file, ' '))]
	}
	const most = 4
	if len(files) > most {
		return fmt.Sprintf("%d files, such as %s", len(files), files[0])
	}
	return strings.Join(files, ", ")
}
