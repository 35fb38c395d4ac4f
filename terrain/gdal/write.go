//go:build gdal

package gdal

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	binding "github.com/lukeroth/gdal"
	"github.com/polereach/polereach/terrain"
)

// writtenVoid marks voids in the files written; no ground lies so low.
const writtenVoid = -9999

// WriteGeoTIFF writes a grid as a GeoTIFF: Float32, WGS 84 (EPSG:4326), pixel centres on the posts,
// voids as the no-data value -9999, DEFLATE, in tiles, with overviews unless told otherwise. It
// writes beside and renames, so path holds the old file or all of the new one. The error names the
// file.
func WriteGeoTIFF(path string, g *terrain.Grid, opt WriteOptions) error {
	if err := writeGeoTIFF(path, g, opt); err != nil {
		return fmt.Errorf("gdal: %s: %w", path, err)
	}
	return nil
}

func writeGeoTIFF(path string, g *terrain.Grid, opt WriteOptions) (err error) {
	if g == nil {
		return errors.New("no grid given")
	}
	if err := g.Check(); err != nil {
		return err
	}
	// A plain file in a plain folder: GDAL would write to its virtual places,
	// too.
	folder, err := filepath.Abs(filepath.Dir(path))
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp(folder, "."+filepath.Base(path)+".*")
	if err != nil {
		return plainPathError(err)
	}
	defer os.RemoveAll(work)
	beside := filepath.Join(work, "new.tif")
	if err := createGeoTIFF(beside, g, cmp.Or(opt.Unit, "m")); err != nil {
		return err
	}
	if factors := overviewFactors(g.Cols, g.Rows); len(factors) > 0 && !opt.NoOverviews {
		if err := buildOverviews(beside, factors); err != nil {
			return err
		}
	}
	f, err := os.OpenFile(beside, os.O_RDWR, 0)
	if err != nil {
		return plainPathError(err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(beside, filepath.Join(folder, filepath.Base(path)))
}

// createGeoTIFF writes the file without overviews.
func createGeoTIFF(path string, g *terrain.Grid, unit string) error {
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
