package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/landcover"
)

// coverCacheBytes bounds what is held in memory of what stands on the ground, of classes and of heights.
const coverCacheBytes = 96 << 20

// coverFolderName is where "dem get --cover" puts it.
const coverFolderName = "cover"

func coverFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "cover",
			Usage: "what stands along the paths: a `CLASS` for all of them, suburban, wood, urban " +
				"or dense_urban, which needs --bare-earth; or a raster of classes, file or folder, by the codes of ESA " +
				"WorldCover (polereach dem get --cover fetches it)"},
		&cli.StringFlag{Name: "cover-heights",
			Usage: "raster of the heights of what stands on the ground, `FILE` or folder, " +
				"metres above it, such as a canopy's: alone, or beside --cover FILE"},
	}
}

// coverClass is the class that --cover gives for all paths, or the file that it names: the fault is
// of what is neither.
func coverClass(c *cli.Context) (class clutter.Class, file string, err error) {
	word := c.String("cover")
	if word == "" {
		return class, "", nil
	}
	if class, err = clutter.Parse(word); err == nil {
		return class, "", nil
	}
	if _, statErr := os.Stat(word); statErr == nil || filepath.Ext(word) != "" || strings.ContainsRune(word,
		filepath.Separator) {
		return clutter.Unstated, word, nil
	}
	return class, "", fmt.Errorf("cover: %w, or a file or folder that exists", err)
}

// coverGiven reports whether rasters of what stands on the ground are given.
func coverGiven(c *cli.Context) bool {
	_, file, _ := coverClass(c)
	return file != "" || c.String("cover-heights") != ""
}

// coverNames names the rasters.
func coverNames(c *cli.Context) string {
	_, file, _ := coverClass(c)
	var names []string
	for _, path := range []string{file, c.String("cover-heights")} {
		if path != "" {
			names = append(names, filepath.Base(path))
		}
	}
	return strings.Join(names, ", ")
}

// withCover lays the rasters of --cover and --cover-heights on the terrain.
func withCover(c *cli.Context, dem terrain.DEM) (terrain.DEM, error) {
	_, file, _ := coverClass(c) // settings told its fault
	var layers [2][]terrain.Source
	var errs []error
	for i, path := range []string{file, c.String("cover-heights")} {
		if path == "" {
			continue
		}
		var err error
		if layers[i], err = openCover(c, path); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", [...]string{"cover", "cover-heights"}[i], err))
		}
	}
	if err := errors.Join(errs...); err != nil || len(layers[0])+len(layers[1]) == 0 {
		return dem, usage(err)
	}
	cover, err := landcover.New(layers[0], layers[1], coverCacheBytes)
	if err != nil {
		return nil, usage(err)
	}
	return terrain.WithCover(dem, cover), nil
}

func openCover(c *cli.Context, path string) (sources []terrain.Source, err error) {
	files, err := terrainOpener(c, terrain.OpenCodes).all([]string{path})
	for _, f := range files {
		if f.raster == nil {
			sources = append(sources, f.tile)
			continue
		}
		found, foreignErr := landcover.Sources(f.raster, path)
		sources, err = append(sources, found...), errors.Join(err, foreignErr)
	}
	return sources, err
}
