package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

func linkCommand() *cli.Command {
	flags := append(endFlags(),
		&cli.BoolFlag{Name: "profile", Usage: "add the sampled path to JSON"},
		strictRulesFlag(),
	)
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
	a, b, endsErr := linkEnds(c, s.Station, settingsErr == nil)
	chosen, bandErr := chooseBand(c)
	if err := errors.Join(errA, errB, radioErr, settingsErr, endsErr, bandErr); err != nil {
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
