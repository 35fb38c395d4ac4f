package main

import (
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
)

func demCommand() *cli.Command {
	return &cli.Command{
		Name:      "dem",
		Usage:     "what is in these terrain files?",
		UsageText: "polereach dem PATH... [flags]",
		Description: `Example:
   polereach dem examples/cumberland/dem`,
		Flags: append([]cli.Flag{
			&cli.StringSliceFlag{Name: "dem", Usage: "terrain file or folder, `PATH`; the same as an argument"},
		}, outputFlags()...),
		Action: runDEM,
	}
}

func runDEM(c *cli.Context) error {
	kind, err := format(c)
	if err != nil {
		return err
	}
	paths := append(c.StringSlice("dem"), c.Args().Slice()...)
	if len(paths) == 0 {
		return usagef("dem: want at least one terrain file or folder")
	}
	sources, err := demSources(paths)
	if err != nil {
		return err
	}
	var summaries []terrain.Summary
	for _, s := range sources {
		if err := c.Context.Err(); err != nil {
			return err
		}
		summary, err := terrain.Summarise(s)
		if err != nil {
			return usage(err)
		}
		summaries = append(summaries, summary)
	}
	return emit(c, func(w io.Writer) error {
		if kind == "json" {
			return report.DEMJSON(w, summaries)
		}
		return report.DEMText(w, summaries)
	})
}
