package main

import (
	"context"
	"io"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
)

func demCommand() *cli.Command {
	return &cli.Command{
		Name:      "dem",
		Usage:     "what is in these terrain files?",
		UsageText: "polereach dem PATH... [flags]\npolereach dem get [PLAN | --at LON,LAT | --box W,S,E,N] [flags]",
		Description: `Example:
   polereach dem examples/cumberland/dem

Every post, a point of the grid with its height, is looked at, of very large
rasters a sample that is told. "polereach dem get" fetches terrain; it has a
help of its own.`,
		Flags: append([]cli.Flag{
			&cli.StringSliceFlag{Name: "dem", Usage: "terrain file or folder, `PATH`; the same as an argument"},
		}, append(formatFlags(), outputFlags(textOrJSON)...)...),
		Action:      runDEM,
		Subcommands: []*cli.Command{demGetCommand()},
	}
}

// formatFlags are shared by all commands with --dem. No plan or settings file can stand in for them.
func formatFlags() []cli.Flag {
	return commandline.Group(terrainGroup,
		&cli.BoolFlag{Name: "allow-remote", Usage: "let --dem name, and VRT files lead to, network and virtual files " +
			"(needs a build with -tags gdal)"},
		&cli.BoolFlag{Name: "any-format", Usage: "read terrain in every format of GDAL, also where a file that is cut " +
			"or damaged may be read with wrong heights (needs a build with -tags gdal)"},
	)
}

func runDEM(c *cli.Context) error {
	paths := append(c.StringSlice("dem"), c.Args().Slice()...)
	if len(paths) == 0 {
		return usagef("dem: want at least one terrain file or folder")
	}
	files, err := openTerrain(c, paths)
	if err != nil {
		return err
	}
	var summaries []terrain.Summary
	for len(files) > 0 {
		if err := c.Context.Err(); err != nil {
			return err
		}
		parts := 1 // of the first file
		for parts < len(files) && files[parts].tile.Part > 0 {
			parts++
		}
		summary, err := summarise(c.Context, files[:parts])
		files = files[parts:]
		if err != nil {
			return usage(err)
		}
		summaries = append(summaries, summary)
	}
	return emit(c, func(w io.Writer) error { return asked(c, report.DEMText, report.DEMJSON)(w, summaries) })
}

// summarise looks at the posts of a file, which may be served in parts.
func summarise(ctx context.Context, parts []terrainFile) (terrain.Summary, error) {
	f := parts[0]
	if f.raster == nil {
		var sources []terrain.Source
		for _, p := range parts {
			sources = append(sources, p.tile)
		}
		return terrain.Summarise(ctx, sources)
	}
	counts, err := f.raster.Count(ctx)
	if err != nil {
		return terrain.Summary{}, err
	}
	info := f.raster.Info()
	return terrain.Summary{
		Name: filepath.Base(info.Path), Format: info.Driver + ", " + info.DataType,
		CRS: info.CRS, VerticalCRS: info.VerticalCRS, Cols: info.Cols, Rows: info.Rows,
		Extent: info.Extent, Degrees: info.Degrees, SpacingEastM: info.SpacingColM, SpacingNorthM: info.SpacingRowM,
		LowestM: counts.LowestM, HighestM: counts.HighestM, Posts: counts.Posts, Looked: counts.Looked, Voids: counts.Voids,
		Implausible: counts.Implausible, VerticalUnit: info.VerticalUnit, Surface: info.Surface,
	}, nil
}
