package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/gdal"
)

// demFolderName is looked for beside the plan when --dem is not given.
const demFolderName = "dem"

// These bound the terrain held in memory at once, of which the heap may hold twice as much.
const (
	tileCacheBytes   = 160 << 20 // tiles of the built-in readers
	besideTilesBytes = 64 << 20  // the same beside rasters read through GDAL
	rasterCacheBytes = 128 << 20
)

// terrainFile is one file of terrain: a tile of the built-in readers or a
// raster read through GDAL.
type terrainFile struct {
	tile   terrain.Source // if raster is nil
	raster *gdal.Raster
}

// openDEM opens the terrain of --dem, or the folder dem in beside, with what stands on it by --cover and
// by the plan. Every path that fails is named.
func openDEM(c *cli.Context, beside string, p *plan.Plan) (terrain.DEM, error) {
	paths := c.StringSlice("dem")
	if len(paths) == 0 {
		folder := filepath.Join(beside, demFolderName)
		if info, err := os.Stat(folder); err != nil || !info.IsDir() {
			return nil, usagef("no terrain: give --dem PATH, put the files into the folder %s, or fetch them: "+
				"polereach dem get %s", folder, placesOf(c))
		}
		paths = []string{folder}
	}
	files, err := openTerrain(c, paths)
	if err != nil {
		return nil, err
	}
	dem, err := joinTerrain(files, terrainWarning(c))
	if err != nil {
		return nil, err
	}
	if dem, err = withCover(c, dem); err != nil {
		return nil, err
	}
	dem, err = p.OnTerrain(dem)
	return dem, usage(err)
}

// placesOf tells "dem get" the places of a command: its plan, or the place that stands for it.
func placesOf(c *cli.Context) string {
	place := cmp.Or(c.String("at"), c.String("around"))
	switch {
	case c.NArg() == 1 && c.Args().First() != standardInput:
		return commandline.Quoted(c.Args().First())
	case place == "" && c.Command.Name == "link":
		place = c.Args().First()
	}
	return "--at " + commandline.Quoted(cmp.Or(place, "LON,LAT"))
}

// lacking tells on standard error for which tiles there is no terrain at any of the places,
// and how to fetch them. A place that is not of the plan is told itself.
func lacking(c *cli.Context, dem terrain.DEM, planPath string, places []orb.Point) {
	heightM, flags := make([]float64, len(places)), make([]terrain.Flag, len(places))
	if err := terrain.HeightsOf(dem, places, heightM, flags); err != nil {
		return // told where the heights were wanted
	}
	var names []string
	exchanged := 0
	get := commandline.Quoted(planPath)
	for i, at := range places {
		if flags[i] != terrain.Outside {
			continue
		}
		if own := c.String("at") + c.String("around"); len(names) == 0 && (planPath == "" || own != "") {
			get = fmt.Sprintf("--at %.7g,%.7g", at.Lon(), at.Lat())
			if planPath != "" {
				get += " --into " + commandline.Quoted(filepath.Join(filepath.Dir(planPath), demFolderName))
			}
		}
		names = append(names, terrain.TileName(at))
		if plan.ExchangedInside(dem, at) {
			exchanged++
		}
	}
	switch slices.Sort(names); {
	case len(names) == 0:
	case exchanged == len(names):
		fmt.Fprintf(c.App.ErrWriter, "polereach: no terrain in %s, but where longitude and latitude are exchanged: give "+
			"longitude first\n", strings.Join(slices.Compact(names), ", "))
	default:
		fmt.Fprintf(c.App.ErrWriter, "polereach: no terrain in %s; to fetch what is missing: polereach dem get %s\n",
			strings.Join(slices.Compact(names), ", "), plan.Visible(get))
	}
}

// openTerrain lists the files of all paths, in the order of the paths.
func openTerrain(c *cli.Context, paths []string) ([]terrainFile, error) {
	return terrainOpener(c, terrain.OpenSources).all(paths)
}

// terrainOpener opens files, by the built-in readers given where these take them.
func terrainOpener(c *cli.Context, builtIn func(fs.FS, string) ([]terrain.Source, error)) opener {
	return opener{
		opt: gdal.Options{AllowRemote: c.Bool("allow-remote"), AnyFormat: c.Bool("any-format"),
			Cache: gdal.NewCache(rasterCacheBytes)},
		warn: terrainWarning(c), builtIn: builtIn,
	}
}

// all lists the files of all paths.
func (o opener) all(paths []string) ([]terrainFile, error) {
	var files []terrainFile
	var errs []error
	for _, path := range paths {
		found, err := o.path(path)
		if err != nil && !strings.Contains(err.Error(), path) {
			err = fmt.Errorf("terrain %s: %w", path, err)
		}
		errs = append(errs, err)
		files = append(files, found...)
	}
	return files, usage(errors.Join(errs...))
}

func terrainWarning(c *cli.Context) func(format string, args ...any) {
	return func(format string, args ...any) {
		fmt.Fprintf(c.App.ErrWriter, "polereach: terrain: %s\n", plan.Visible(fmt.Sprintf(format, args...)))
	}
}

// opener opens terrain files.
type opener struct {
	opt     gdal.Options
	warn    func(format string, args ...any)
	builtIn func(fsys fs.FS, name string) ([]terrain.Source, error)
}

// path opens one path of the command line.
func (o opener) path(path string) ([]terrainFile, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil && (strings.HasPrefix(path, "/vsi") || strings.Contains(path, ":")):
		return o.foreign(path) // a place only GDAL knows, or none
	case errors.Is(err, os.ErrNotExist):
		return nil, errors.New("no such file or folder")
	case err != nil:
		return nil, err
	case info.IsDir():
		return o.folder(path)
	case !info.Mode().IsRegular():
		return nil, errors.New("neither a file nor a folder")
	case hasEnding(path, []string{".geojson"}):
		return nil, fmt.Errorf("terrain %s: GeoJSON holds no grid of heights; those that a plan needs are fetched by: "+
			"polereach dem get %s", path, commandline.Quoted(path))
	}
	sources, err := o.builtIn(os.DirFS(filepath.Dir(path)), filepath.Base(path))
	if errors.Is(err, terrain.ErrNotBuiltIn) {
		found, foreignErr := o.foreign(path)
		if errors.Is(foreignErr, gdal.ErrNotBuilt) && hasEnding(path, geoTIFFEndings) {
			return nil, err // says why, and what helps
		}
		return found, foreignErr
	}
	return tileFiles(sources), err
}

// foreign opens a file through GDAL. What the built-in readers take they read in every build, so
// that both give the same heights and join the same seams.
func (o opener) foreign(path string) ([]terrainFile, error) {
	r, err := gdal.Open(path, o.opt)
	if err != nil {
		return nil, err
	}
	if driver := r.Info().Driver; !slices.Contains(strings.Fields(gdal.Formats), driver) {
		o.warn("%s: of the format %s nothing is promised: cut or damaged it may be read with wrong heights", path, driver)
	}
	return []terrainFile{{raster: r}}, nil
}

// rasterEndings are the ends of the names of terrain in a folder, where other files may lie
// about. A file given by itself may have any name.
var rasterEndings = append(geoTIFFEndings,
	".vrt", ".img", ".dt0", ".dt1", ".dt2", ".dem", ".ddf", ".adf", ".asc", ".bil", ".bip",
	".flt",
	".jp2", ".nc", ".hdf5", ".h5", ".bag", ".grd", ".gtx", ".ter", ".bt", ".rst", ".rsw", ".xyz", ".sdat", ".map",
	".gpkg", ".grb", ".grib", ".grb2", ".sigdem",
)

var geoTIFFEndings = []string{".tif", ".tiff", ".gtiff"}

// folder opens what is terrain directly inside a folder: the built-in tiles
// first, then the others, each sorted by name.
func (o opener) folder(folder string) ([]terrainFile, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	fsys := os.DirFS(folder)
	var files, rasters []terrainFile
	var foreign []string
	reasons := map[string]error{} // why the built-in readers do not take them
	var errs []error
	for _, e := range entries {
		name := e.Name()
		if info, err := os.Stat(filepath.Join(folder, name)); strings.HasPrefix(name, ".") || err != nil ||
			!info.Mode().IsRegular() {
			continue
		}
		sources, err := o.builtIn(fsys, name)
		switch {
		case err == nil:
			files = append(files, tileFiles(sources)...)
		case !errors.Is(err, terrain.ErrNotBuiltIn):
			errs = append(errs, err)
		case hasEnding(name, rasterEndings):
			foreign, reasons[name] = append(foreign, name), err
		}
	}
	for _, name := range foreign {
		path := filepath.Join(folder, name)
		switch found, err := o.foreign(path); {
		case errors.Is(err, gdal.ErrFormat) && len(files)+len(rasters) > 0:
			o.warn("%s passed over: %v", path, err)
		case errors.Is(err, gdal.ErrNotBuilt) && len(files) > 0:
			o.warn("%s passed over: %v", path, reasons[name])
		case errors.Is(err, gdal.ErrNotBuilt) && hasEnding(name, geoTIFFEndings):
			errs = append(errs, reasons[name])
		case err != nil:
			errs = append(errs, err)
		default:
			rasters = append(rasters, found...)
		}
	}
	if len(errs) == 0 && len(files)+len(rasters) == 0 {
		_, err := o.builtIn(fsys, ".") // says what was found instead
		errs = append(errs, err)
	}
	return append(files, rasters...), errors.Join(errs...)
}

func tileFiles(sources []terrain.Source) []terrainFile {
	var files []terrainFile
	for _, s := range sources {
		files = append(files, terrainFile{tile: s})
	}
	return files
}

func hasEnding(name string, endings []string) bool {
	return slices.Contains(endings, strings.ToLower(filepath.Ext(name)))
}
