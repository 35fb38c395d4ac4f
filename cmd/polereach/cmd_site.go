package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain/fault"
)

func siteCommand() *cli.Command {
	flags := append([]cli.Flag{
		&cli.StringFlag{Name: "pole", Usage: "`NAME` of a station of the plan"},
		&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a pole that is not in the plan"},
		&cli.Float64Flag{Name: "range-km", Value: mesh.DefaultRangeM / 1000, Usage: "examine neighbours up to this " +
			"distance, `KM`"},
		&cli.IntFlag{Name: "at-least", Value: 1, Usage: "wanted `NUMBER` of neighbours where the plan requires no link of " +
			"the pole"},
	}, append(adviceFlags(),
		calibrationFlag(), &cli.BoolFlag{Name: "profile", Usage: "add the sampled path of every link to JSON"},
		pictureFlag("the section of the path to --to"),
		&cli.StringFlag{Name: "to", Usage: "`NAME` of the neighbour of --picture"}, strictRulesFlag())...)
	return &cli.Command{
		Name:      "site",
		Usage:     "does this pole reach its neighbours?",
		UsageText: "polereach site --pole NAME | --at LON,LAT [flags] PLAN",
		Description: `Example:
   polereach site --pole "Tanager Knob" examples/cumberland/plan.geojson

--format csv gives a row for every path; site, link and plan have the same
columns.

Exit code: 0 everything wanted holds, 1 failed, 2 usage or bad input,
3 something wanted does not hold, 4 terrain missing for something.`,
		Flags: append(append(append(flags, radioFlags()...), terrainFlags()...), append(outputFlags(linkFormats),
			cautionsFlag())...),
		Action: runSite,
	}
}

func runSite(c *cli.Context) error {
	p, err := onePlan(c)
	if err != nil {
		return err
	}
	opt, err := pathOptions(c, filepath.Dir(p.Source))
	err = errors.Join(err, calibrated(c, filepath.Dir(p.Source), p, &opt.Settings))
	opt.AtLeast, opt.KeepProfiles = c.Int("at-least"), c.Bool("profile") || c.String("picture") != ""
	pole, poleErr := choosePole(c, p)
	pictureErr := checkSection(c, p, pole.Name)
	err = errors.Join(err, count(c, "at-least", 1, math.MaxInt), poleErr, pictureErr, p.OutsideBand(opt.Band))
	if err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, filepath.Dir(p.Source), p)
	if err != nil {
		return err
	}
	p.Warnings = append(p.Warnings, p.OutsideTerrain(dem)...)
	site, err := mesh.CheckSite(c.Context, p, pole, dem, opt)
	if err != nil {
		return computeError(p.Source, err)
	}
	var gaps []orb.Point
	for _, l := range site.Links {
		for _, g := range l.Gaps {
			gaps = append(gaps, g.Place)
		}
	}
	lacking(c, dem, p.Source, gaps)
	how := report.SiteOptions{Date: now(), Profiles: c.Bool("profile"), Warnings: p.Warnings}
	if how.Power, err = sitePower(c, dem, &site.At, p.Source); err != nil {
		how.Warnings = append(slices.Clip(how.Warnings), "power not judged: "+err.Error())
	}
	var files outfile.Set
	defer files.Discard()
	if err := addSection(c, &files, site); err != nil {
		return err
	}
	err = emitWith(c, &files, func(w io.Writer) error {
		return asked(c, report.SiteText, report.SiteJSON, report.SiteCSV)(w, site, how)
	})
	if err != nil {
		return err
	}
	return verdictError(site.Verdict, site.HasUnknown(), c.Bool("strict-rules") && len(site.BeyondRules()) > 0)
}

// onePlan reads the plan that is a command's only argument; its Source is the path.
func onePlan(c *cli.Context) (*plan.Plan, error) {
	if c.NArg() != 1 {
		return nil, usagef("%s%s", notOnePlan(c), swallowedPlan(c))
	}
	return readPlan(c, c.Args().First())
}

// planOrNone is the plan, or an empty one where the flag that stands for it is given.
func planOrNone(c *cli.Context, flag string) (*plan.Plan, error) {
	if c.NArg() == 0 && c.String(flag) != "" {
		return &plan.Plan{}, nil
	}
	if c.NArg() == 0 {
		return nil, usagef("%s: want one plan file, or --%s LON,LAT, found neither%s", commandName(c), flag, swallowedPlan(c))
	}
	return onePlan(c)
}

// commandName is that of a command, behind that which it belongs to.
func commandName(c *cli.Context) string {
	return strings.TrimPrefix(c.Command.HelpName, c.App.Name+" ")
}

func notOnePlan(c *cli.Context) string {
	text := fmt.Sprintf("%s: want one plan file, found %d arguments", commandName(c), c.NArg())
	if c.NArg() > 1 {
		text += fmt.Sprintf(" %q; what has blanks stands in quotes", c.Args().Slice())
	}
	return text
}

// swallowedPlan tells of a flag without a value in front of the plan.
func swallowedPlan(c *cli.Context) string {
	for _, name := range c.LocalFlagNames() {
		if value := c.String(name); strings.HasSuffix(value, ".geojson") && c.NArg() == 0 && name != "out" &&
			name != "plan-out" {
			return fmt.Sprintf("; --%s took %s for its value", name, value)
		}
	}
	return ""
}

func readPlan(c *cli.Context, path string) (*plan.Plan, error) {
	data, err := readPlanText(c, path)
	if err != nil {
		return nil, usagef("plan: %w", err)
	}
	p, err := plan.Read(path, data)
	return p, usage(err)
}

// pathOptions reads the flags that site and plan share.
func pathOptions(c *cli.Context, beside string) (mesh.SiteOptions, error) {
	err := applyRadioFile(c, beside)
	s, settingsErr := settings(c)
	b, _ := chooseBand(c) // settings told its faults
	return mesh.SiteOptions{
			Settings: s, RangeM: c.Float64("range-km") * 1000, Band: b, PacketsPerHour: c.Float64("packets-per-hour"),
			MaxHeightM: c.Float64("max-height-m"), MaxGainDBi: linkbudget.DB(c.Float64("max-gain-dbi")),
		}, errors.Join(err, settingsErr, above0(c, "range-km", 1000, "km"),
			above0(c, "max-height-m", linkbudget.MaxAntennaHeightM, "m"), inRange(c, "max-gain-dbi", 0, 8, "dBi"))
}

// adviceFlags bound what advice may propose.
func adviceFlags() []cli.Flag {
	return []cli.Flag{
		&cli.Float64Flag{Name: "max-height-m", Value: linkbudget.DefaultMaxHeightM,
			Usage: "tallest pole that advice may propose, `M`"},
		&cli.Float64Flag{Name: "max-gain-dbi", Usage: "strongest antenna that advice may propose, of those of 3, 5, 6 and " +
			"8, `DBI`", DefaultText: "6, 8 for a sector"},
	}
}

// choosePole finds --pole in the plan or makes a new pole of --at.
func choosePole(c *cli.Context, p *plan.Plan) (plan.Station, error) {
	var names []string
	if name := c.String("pole"); name != "" {
		names = []string{name}
	}
	poles, err := choosePoles(c, p, names)
	return poles[0], err
}

// choosePoles finds them in the plan or, without a name, makes one of --at; there is one at least.
func choosePoles(c *cli.Context, p *plan.Plan, names []string) (poles []plan.Station, err error) {
	at := c.String("at")
	switch {
	case len(names) == 0:
		pole, err := newPole(p, at)
		return []plan.Station{pole}, err
	case at != "":
		return make([]plan.Station, 1), errors.New("give --pole or --at, not both")
	}
	for _, name := range names {
		pole, nameErr := stationNamed(p, "pole", name)
		poles, err = append(poles, pole), errors.Join(err, nameErr)
	}
	return poles, err
}

// newPole is one that is not in the plan.
func newPole(p *plan.Plan, at string) (plan.Station, error) {
	if at == "" {
		return plan.Station{}, fmt.Errorf("give --pole NAME or --at LON,LAT; stations of the plan: %s", stationNames(p))
	}
	point, err := coordinate("at", at)
	return plan.Station{At: point, Status: plan.Proposed, Feature: -1}, err
}

// stationNamed is the station that a flag names.
func stationNamed(p *plan.Plan, flag, name string) (plan.Station, error) {
	if st, ok := p.Station(name); ok {
		return *st, nil
	}
	if near, ok := p.Nearest(name); ok {
		return plan.Station{}, fmt.Errorf("%s: the plan has no station %q; did you mean %q?", flag, name, near)
	}
	return plan.Station{}, fmt.Errorf("%s: the plan has no station %q; it has: %s", flag, name, stationNames(p))
}

func stationNames(p *plan.Plan) string {
	shown := min(len(p.Stations), 12)
	names := joined(p.Stations[:shown], ", ", func(st plan.Station) string { return strconv.Quote(st.Name) })
	if more := len(p.Stations) - shown; more > 0 {
		names += fmt.Sprintf(" and %d more", more)
	}
	return names
}

// computeError tells bad input, which names a feature of the plan or a place
// in a terrain file, from a file that could not be read, a panic and an interruption.
func computeError(what string, err error) error {
	var reading *fs.PathError
	var panicked *fault.PanicError
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case errors.As(err, &reading), errors.As(err, &panicked):
		return failed(err)
	}
	return usagef("%s: %w", what, err)
}

// verdictError is the exit code of a computed answer; beyond is for one that --strict-rules
// refuses.
func verdictError(v linkbudget.Verdict, unknown, beyond bool) error {
	switch {
	case beyond || v == linkbudget.Marginal || v == linkbudget.Short:
		return &exitError{code: exitNotHeld}
	case v == linkbudget.Unknown || unknown:
		return &exitError{code: exitUnjudged}
	}
	return nil
}
