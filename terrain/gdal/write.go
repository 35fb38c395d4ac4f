//go:build gdal

package gdal

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"sync/atomic"
	"unsafe"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// writtenVoid marks voids in the files written; no ground lies so low.
const writtenVoid = -9999

// WriteGeoTIFF writes a grid as a GeoTIFF: Float32, WGS 84 (EPSG:4326), pixel centres on the posts,
// voids as the no-data value -9999, DEFLATE, in tiles, with overviews unless told otherwise. The
// file is made in memory, and what goes to w is all of it; nothing does if it cannot be made.
func WriteGeoTIFF(w io.Writer, g *terrain.Grid, opt WriteOptions) error {
	if err := writeGeoTIFF(w, g, opt); err != nil {
		return fmt.Errorf("gdal: GeoTIFF: %w", err)
	}
	return nil
}

// written numbers the files made in memory.
var written atomic.Uint64

func writeGeoTIFF(w io.Writer, g *terrain.Grid, opt WriteOptions) error {
	if g == nil {
		return errors.New("no grid given")
	}
	if err := g.Check(); err != nil {
		return err
	}
	name := fmt.Sprintf("/vsimem/polereach/%d.tif", written.Add(1))
	defer call(false, func() { removeMade(name) })
	if err := createGeoTIFF(name, g, cmp.Or(opt.Unit, "m"), opt.Description); err != nil {
		return err
	}
	if factors := overviewFactors(g.Cols, g.Rows); len(factors) > 0 && !opt.NoOverviews {
		if err := buildOverviews(name, factors); err != nil {
			return err
		}
	}
	_, err := w.Write(made(name))
	return err
}

// createGeoTIFF writes the file without overviews.
func createGeoTIFF(path string, g *terrain.Grid, unit, description string) error {
	geo, err := readCRS(wgs84)
	if err != nil {
		return err
	}
	var errs []error
	text := call(false, func() {
		driver, err := binding.GetDriverByName("GTiff")
		if err != nil {
			errs = append(errs, err)
			return
		}
		ds := driver.Create(path, g.Cols, g.Rows, 1, binding.Float32,
			[]string{"COMPRESS=DEFLATE", "PREDICTOR=3", "TILED=YES", "BIGTIFF=IF_SAFER"})
		if ds == (binding.Dataset{}) {
			errs = append(errs, errors.New("could not be created"))
			return
		}
		defer ds.Close()
		band := ds.RasterBand(1)
		// A band is an object of GDAL; the binding holds nothing but its handle.
		(*binding.MajorObject)(unsafe.Pointer(&band)).SetDescription(description)
		errs = append(errs,
			ds.SetProjection(geo.wkt),
			ds.SetGeoTransform([6]float64{
				g.WestDeg - g.StepLonDeg/2, g.StepLonDeg, 0,
				g.NorthDeg + g.StepLatDeg/2, 0, -g.StepLatDeg,
			}),
			band.SetNoDataValue(writtenVoid),
			band.SetUnitType(unit),
		)
		errs = append(errs, writeRows(band, g))
	})
	if text != nil {
		return text
	}
	return errors.Join(errs...)
}

// writeRows writes the heights, a few rows at a time.
func writeRows(band binding.RasterBand, g *terrain.Grid) error {
	rows := max(1, min(g.Rows, 256)) // the height of a tile
	buffer := make([]float32, rows*g.Cols)
	for row := 0; row < g.Rows; row += rows {
		n := min(rows, g.Rows-row)
		part := buffer[:n*g.Cols]
		copy(part, g.HeightM[row*g.Cols:])
		for i, h := range part {
			if terrain.IsVoid(h) {
				part[i] = writtenVoid
			}
		}
		if err := band.IO(binding.Write, 0, row, g.Cols, n, part, g.Cols, n, 0, 0); err != nil {
			return fmt.Errorf("rows from %d on: %w", row, err)
		}
	}
	return nil
}

// overviewFactors halves until a copy fits a tile.
func overviewFactors(cols, rows int) []int32 {
	var factors []int32
	for f := int32(2); max(cols, rows)/int(f) >= 128; f *= 2 {
		factors = append(factors, f)
	}
	return factors
}
