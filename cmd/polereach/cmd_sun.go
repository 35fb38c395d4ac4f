package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

func sunCommand() *cli.Command {
	flags := append([]cli.Flag{
		&cli.StringFlag{Name: "pole", Usage: "`NAME` of a station of the plan"},
		&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a pole that is not in the plan"},
		&cli.StringSliceFlag{Name: "node", Usage: "a property of the node, `KEY=VALUE` such as panel_w=3 or cell_wh=12; " +
			"repeatable, goes before that of the plan"},
		&cli.Float64Flag{Name: "panel-height-m", Usage: "panel above ground, `M`; 2 where no antenna's height is known",
			DefaultText: "the antenna's height"},
		pictureFlag("skyline and sun"),
		&cli.Float64Flag{Name: "search-m", Usage: "look up to this far for another spot where the node does not live, " +
			"`M`; 0: nowhere", Value: 300},
	}, skyFlags()...)
	return &cli.Command{
		Name:      "sun",
		Usage:     "does the sun get there, does the node live through the year?",
		UsageText: "polereach sun --pole NAME PLAN | --at LON,LAT [flags]",
		Description: `Example:
   polereach sun --pole "Sunny Shoulder" examples/cumberland/sun.geojson

The node is what the station's panel_*, cell_*, load_*, box_* and fan_*
properties say, or --node; without a panel and a cell only the sun is told.

Sun and air come from --weather or --climate, else from weather.epw or
climate.json beside the plan; "polereach sun get PLAN" fetches them. Without
them a default stands in, which decides nothing: the verdict is not known.

Exit code: 0 it lives, 1 failed, 2 usage or bad input, 3 it is thin or dies,
4 not known: climate or terrain missing, or no panel and cell stated.`,
		Flags: append(append(append(flags, radioFlags()...), terrainFlags()...), append(outputFlags(textOrJSON),
			cautionsFlag())...),
		Subcommands: []*cli.Command{sunGetCommand()},
		Action:      runSun,
	}
}

func runSun(c *cli.Context) error {
	p, err := planOrNone(c, "at")
	if err != nil {
		return err
	}
	pole, err := choosePole(c, p)
	opt, optErr := poleOptions(c, &pole, p.Source)
	_, pictureErr := pictureFormat(c)
	heightM, heightErr := panelHeight(c, &pole)
	if err := errors.Join(err, optErr, pictureErr, heightErr); err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, filepath.Dir(p.Source), p)
	if err != nil {
		return err
	}
	s, err := power.SurveyPole(c.Context, pole.At, heightM, dem, opt)
	if err != nil {
		return computeError(p.Source, err)
	}
	missing, err := plan.MissingGround(dem, "the pole", pole.At)
	if err != nil {
		return failed(err)
	}
	if missing != "" {
		lacking(c, dem, p.Source, []orb.Point{pole.At})
		p.Warnings = append([]string{missing}, p.Warnings...)
	}
	return writeSun(c, s, report.SunOptions{
		Name: pole.Name, PanelUpM: heightM, Date: now(), Warnings: p.Warnings, Cautioning: power.Cautions(),
		Next: nextFigures(p.Source, pole.At),
	})
}

func writeSun(c *cli.Context, s *power.PoleSurvey, how report.SunOptions) error {
	var files outfile.Set
	defer files.Discard()
	err := addPicture(c, &files, func(w io.Writer, format string) error {
		return picture.Sun(w, format, s, report.PoleName(how.Name))
	})
	if err != nil {
		return err
	}
	err = emitWith(c, &files, func(w io.Writer) error { return asked(c, report.SunText, report.SunJSON)(w, s, how) })
	if err != nil {
		return err
	}
	switch s.Result.Verdict {
	case power.Thin, power.Dies:
		return &exitError{code: exitNotHeld}
	case power.Unknown:
		return &exitError{code: exitUnjudged}
	}
	return nil
}

// panelHeight is that of --panel-height-m, else the antenna's, else 2 m.
func panelHeight(c *cli.Context, pole *plan.Station) (float64, error) {
	h := 2.0
	switch {
	case c.IsSet("panel-height-m"):
		h = c.Float64("panel-height-m")
	case pole.HeightM != nil:
		h = *pole.HeightM
	case c.Float64("height-m") > 0:
		h = c.Float64("height-m")
	}
	return h, fault.Limits{Max: linkbudget.MaxAntennaHeightM, Unit: "m", Above: true}.Check("panel-height-m", h)
}

// poleOptions reads the node from the station's properties, the airtime of its
// packets from the radio settings, and the sky from the flags.
func poleOptions(c *cli.Context, pole *plan.Station, planPath string) (power.PoleOptions, error) {
	beside := filepath.Dir(planPath)
	err := applyRadioFile(c, beside)
	set, settingsErr := settings(c)
	err = errors.Join(err, settingsErr)
	defaults, airErr := nodeDefaults(set.Environment, pole.At.Lat())
	var opt power.PoleOptions
	var faults error
	given, nodeErr := nodeProperties(c)
	asked := map[string]bool{}
	opt.System, opt.Stated, faults = power.Settings(func(key string) (json.RawMessage, bool) {
		asked[key] = true
		if raw, ok := given[key]; ok {
			return raw, true
		}
		return pole.Property(key)
	}, defaults)
	for _, key := range slices.Sorted(maps.Keys(given)) {
		if !asked[key] {
			nodeErr = errors.Join(nodeErr, fmt.Errorf("node: no property %s, or none that goes with the others; allowed "+
				"are those of plans, such as panel_w, panel_tilt_deg, cell_wh, load_ma, box_colour", key))
		}
	}
	err = errors.Join(err, airErr, nodeErr, placeFaults(faults, pole, planPath))
	sky, skyErr := readSky(c, beside, pole.At.Lat())
	opt.Weather, opt.Horizon = sky.weather, terrain.HorizonOptions{Obstacles: sky.obstacles}
	opt.SearchM = c.Float64("search-m")
	return opt, errors.Join(err, inRange(c, "search-m", 0, 5000, "m"), skyErr)
}

// nodeProperties are those of --node.
func nodeProperties(c *cli.Context) (given map[string]json.RawMessage, err error) {
	given = map[string]json.RawMessage{}
	for _, text := range c.StringSlice("node") {
		key, value, ok := strings.Cut(text, "=")
		if !json.Valid([]byte(value)) {
			value = strconv.Quote(value) // a word
		}
		switch {
		case !ok || key == "":
			err = errors.Join(err, fmt.Errorf("node: found %q, want KEY=VALUE such as panel_w=3.5", text))
			continue
		case given[key] != nil:
			err = errors.Join(err, fmt.Errorf("node: %s is given twice", key))
		}
		given[key] = json.RawMessage(value)
	}
	return given, err
}

// nodeDefaults are of the place and of the radio, whose faults are told elsewhere.
func nodeDefaults(env linkbudget.Environment, latDeg float64) (power.SettingDefaults, error) {
	defaults := power.SettingDefaults{LatDeg: latDeg}
	if env.Modem.Validate() != nil || env.Packet.Validate() != nil {
		return defaults, nil
	}
	air, err := lora.TimeOnAir(env.Modem, env.Packet, env.Family)
	defaults.AirtimeS = air.TotalS
	return defaults, err
}

// placeFaults says in which feature of which plan the faults stand.
func placeFaults(err error, pole *plan.Station, planPath string) error {
	var joined interface{ Unwrap() []error }
	if !errors.As(err, &joined) {
		return err
	}
	var out []error
	for _, e := range joined.Unwrap() {
		var one *power.SettingError
		if errors.As(e, &one) {
			e = &plan.FieldError{Source: planPath, Feature: pole.Feature, Name: pole.Name, Key: one.Key, Problem: one.Problem}
		}
		out = append(out, e)
	}
	return errors.Join(out...)
}

// sitePower is the verdict of the sun for the command "site", nil where the
// station does not say what hangs on the pole.
func sitePower(c *cli.Context, dem terrain.DEM, pole *plan.Station, planPath string) (*power.Result, error) {
	opt, err := poleOptions(c, pole, planPath)
	heightM, heightErr := panelHeight(c, pole)
	if err := errors.Join(err, heightErr); err != nil || !opt.Stated.Enough() {
		return nil, err
	}
	opt.VerdictOnly = true
	s, err := power.SurveyPole(c.Context, pole.At, heightM, dem, opt)
	if err != nil {
		return nil, err
	}
	return &s.Result, nil
}
