package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

func linkCommand() *cli.Command {
	flags := []cli.Flag{
		&cli.Float64Flag{Name: "height-a-m", Usage: "antenna above ground at the first end, `M`; default --height-m"},
		&cli.Float64Flag{Name: "height-b-m", Usage: "antenna above ground at the second end, `M`; default --height-m"},
		&cli.BoolFlag{Name: "profile", Usage: "add the sampled path to JSON"},
		strictRulesFlag(),
	}
	return &cli.Command{
		Name:      "link",
		Usage:     "does one path between two coordinates close?",
		UsageText: "polereach link LON,LAT LON,LAT --height-m M [flags]",
		Description: `Example:
   polereach link -84.2405,36.5565 -84.1500,36.6500 --height-m 8 --freq-mhz 915 --dem examples/cumberland/dem

Exit code: 0 it reaches, 1 failed, 2 usage or bad input, 3 it does not reach,
4 terrain missing.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), outputFlags()...),
		Action: runLink,
	}
}

func runLink(c *cli.Context) error {
	kind, err := format(c)
	if err != nil {
		return err
	}
	if c.NArg() != 2 {
		return usagef("link: want two coordinates LON,LAT LON,LAT, found %d arguments", c.NArg())
	}
	atA, errA := coordinate("first end", c.Args().Get(0))
	atB, errB := coordinate("second end", c.Args().Get(1))
	if errA == nil && errB == nil && atA == atB {
		errB = fmt.Errorf("both ends are at %g,%g", atA.Lon(), atA.Lat())
	}
	radioErr := applyRadioFile(c, "")
	s, settingsErr := settings(c)
	a, b, heightErr := linkEnds(c, s)
	chosen, _ := chooseBand(c) // settings told its faults
	if err := errors.Join(errA, errB, radioErr, settingsErr, heightErr); err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, ".")
	if err != nil {
		return err
	}
	opt := plan.SiteOptions{Settings: s, Band: chosen, PacketsPerHour: c.Float64("packets-per-hour")}
	checked, err := plan.CheckPath(dem, a, b, atA, atB, opt)
	if err != nil {
		return computeError("link", err)
	}
	one := report.Link{A: a, B: b, AtA: atA, AtB: atB, Settings: s, PathCheck: checked, WithProfile: c.Bool("profile")}
	err = emit(c, func(w io.Writer) error {
		if kind == "json" {
			return report.LinkJSON(w, one)
		}
		return report.LinkText(w, one)
	})
	if err != nil {
		return err
	}
	if c.Bool("strict-rules") && one.BeyondRules() {
		return &exitError{code: exitNotHeld}
	}
	return verdictError(one.Result.Verdict, false)
}

// linkEnds gives both ends the settings and their own heights.
func linkEnds(c *cli.Context, s plan.Settings) (a, b linkbudget.Station, err error) {
	a, b = s.Station, s.Station
	a.Name, b.Name = "A", "B"
	for _, end := range []struct {
		flag string
		st   *linkbudget.Station
	}{{"height-a-m", &a}, {"height-b-m", &b}} {
		if c.IsSet(end.flag) {
			end.st.HeightM = c.Float64(end.flag)
		}
		if h := end.st.HeightM; !(h > 0 && h <= linkbudget.MaxAntennaHeightM) && (c.IsSet(end.flag) || !c.IsSet("height-m")) {
			err = errors.Join(err, fmt.Errorf("%s: found %g, allowed above 0 to %d m above ground; give it or --height-m",
				end.flag, h, linkbudget.MaxAntennaHeightM))
		}
	}
	return a, b, err
}
