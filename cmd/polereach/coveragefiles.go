package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/terrain"
)

// fileEndings are the ends of the names of what the flags write, by which other
// programs tell the format.
var fileEndings = map[string][]string{
	"png": {".png"}, "asc": {".asc"}, "tif": {".tif", ".tiff"}, "geojson-contours": {".geojson", ".json"},
}

// fileNames checks them, all faults at once.
func fileNames(c *cli.Context) error {
	var errs []error
	for _, flag := range slices.Sorted(maps.Keys(fileEndings)) {
		if path := c.String(flag); path != "" && !hasEnding(path, fileEndings[flag]) {
			errs = append(errs, fmt.Errorf("%s: found %q, allowed names that end in %s", flag, path,
				strings.Join(fileEndings[flag], " or ")))
		}
	}
	return errors.Join(errs...)
}

// files writes what the flags ask for beside the table.
func (j *coverageJob) files(c *cli.Context, dem terrain.DEM) error {
	if c.Bool("no-shade") {
		dem = nil
	}
	if path := c.String("png"); path != "" {
		opt := coverage.PictureOptions{Quantity: j.quantity, Shade: dem}
		for _, pole := range j.Places {
			opt.Poles = append(opt.Poles, pole.At)
		}
		draw := j.Raster.Draw
		if j.Combined != nil {
			draw = j.Combined.Draw
		}
		raster, err := draw(opt)
		if err != nil {
			return failed(fmt.Errorf("png: %w", err))
		}
		err = j.write("png", withEnding(path, ".pgw"), raster.WriteWorldFile)
		if err == nil {
			err = j.write("png", path, raster.WritePNG)
		}
		if err != nil {
			return err
		}
	}
	if err := j.picture(c, dem); err != nil {
		return err
	}
	if path := c.String("asc"); path != "" {
		err := j.write("asc", withEnding(path, ".prj"), outfile.Bytes([]byte(wgs84)))
		if err == nil {
			err = j.write("asc", path, func(w io.Writer) error { return terrain.WriteASCIIGrid(w, j.grid()) })
		}
		if err != nil {
			return err
		}
	}
	if path := c.String("tif"); path != "" {
		writeGeoTIFF := j.Raster.WriteGeoTIFF
		if j.Combined != nil {
			writeGeoTIFF = j.Combined.WriteGeoTIFF
		}
		err := j.write("tif", path, func(w io.Writer) error { return writeGeoTIFF(w, j.quantity, j.description()) })
		if err != nil {
			return err
		}
	}
	if path := c.String("geojson-contours"); path != "" {
		return j.write("geojson-contours", path, func(w io.Writer) error { return report.CoverageContours(w, &j.Coverage) })
	}
	return nil
}

// picture adds that of --picture.
func (j *coverageJob) picture(c *cli.Context, dem terrain.DEM) error {
	format, err := pictureFormat(c)
	if format == "" {
		return err
	}
	paint := j.Raster.Paint
	if j.Combined != nil {
		paint = j.Combined.Paint
	}
	shown := picture.CoverageMap{Terrain: dem, Title: j.title(), Cover: j.cover}
	if shown.Paint, err = paint(j.quantity); err != nil {
		return failed(fmt.Errorf("picture: %w", err))
	}
	shown.About = fmt.Sprintf("receiver %g m up, within %g km, %.4g MHz", j.Receiver.HeightM, j.RadiusM/1000,
		j.Settings.Environment.FreqHz/1e6)
	for i, pole := range j.Poles {
		shown.Poles = append(shown.Poles, picture.Named{Name: pole.Name, At: j.Places[i].At})
	}
	for _, st := range j.stations {
		if !slices.ContainsFunc(j.Places, func(pole plan.Station) bool { return pole.Name == st.Name }) {
			shown.Others = append(shown.Others, picture.Named{Name: st.Name, At: st.At})
		}
	}
	return j.write("picture", c.String("picture"), func(w io.Writer) error { return picture.Coverage(w, format, shown) })
}

func (j *coverageJob) title() string {
	if len(j.Poles) > 1 {
		return fmt.Sprintf("%d poles: %s", len(j.Poles), j.quantity.Title())
	}
	return j.Poles[0].Name + ": " + j.quantity.Title()
}

// description is that of the band of a GeoTIFF: with the unit, and the numbers of the poles
// that its values are.
func (j *coverageJob) description() string {
	text := j.title()
	switch unit := j.quantity.Unit(); {
	case j.quantity == coverage.Who:
		text += ", 0 nobody"
		for i, pole := range j.Poles {
			text += fmt.Sprintf(", %d %s", i+1, pole.Name)
		}
	case unit != "1":
		text += ", " + unit
	}
	return plan.Visible(text)
}

// wgs84 is what a GIS looks for in the .prj file beside a grid: longitude and
// latitude, well-known text in ESRI's older form, EPSG:4326.
const wgs84 = `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]` + "\n"

// grid is the quantity wanted, of one pole or of several.
func (j *coverageJob) grid() *terrain.Grid {
	if j.Combined != nil {
		return j.Combined.Grid(j.quantity)
	}
	return j.Raster.Grid(j.quantity)
}

// write adds a file to the set, what belongs to another one before that one.
func (j *coverageJob) write(flag, path string, fill func(io.Writer) error) error {
	if err := j.set.Add(path, fill); err != nil {
		return failed(fmt.Errorf("%s: %w", flag, err))
	}
	j.Files = append(j.Files, path)
	return nil
}

// withEnding is the name under which a GIS looks for what belongs to a file: map.png, map.pgw.
func withEnding(path, ending string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + ending
}
