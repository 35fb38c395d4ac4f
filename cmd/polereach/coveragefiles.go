package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/gdal"
)

// files writes what the flags ask for beside the table.
func (j *coverageJob) files(c *cli.Context, dem terrain.DEM) error {
	if path := c.String("png"); path != "" {
		opt := coverage.PictureOptions{Quantity: j.quantity, Legend: true, Shade: dem}
		if c.Bool("no-shade") {
			opt.Shade = nil
		}
		for _, pole := range j.Places {
			opt.Poles = append(opt.Poles, pole.At)
		}
		picture, err := j.Raster.Draw(opt)
		if err != nil {
			return failed(fmt.Errorf("png: %w", err))
		}
		if err := j.write("png", path, picture.WritePNG); err != nil {
			return err
		}
		if err := j.write("png", worldFileName(path), picture.WriteWorldFile); err != nil {
			return err
		}
	}
	if path := c.String("asc"); path != "" {
		err := j.write("asc", path, func(w io.Writer) error { return terrain.WriteASCIIGrid(w, j.Raster.Grid(j.quantity)) })
		if err != nil {
			return err
		}
	}
	if path := c.String("tif"); path != "" {
		if err := gdal.WriteGeoTIFF(path, j.Raster.Grid(j.quantity), gdal.WriteOptions{}); err != nil {
			return failed(fmt.Errorf("tif: %w", err))
		}
		j.Files = append(j.Files, path)
	}
	if path := c.String("geojson-contours"); path != "" {
		return j.write("geojson-contours", path, func(w io.Writer) error { return report.CoverageContours(w, &j.Coverage) })
	}
	return nil
}

// write fills a file by way of memory, so that an error leaves the old one.
func (j *coverageJob) write(flag, path string, fill func(io.Writer) error) error {
	var buf bytes.Buffer
	if err := fill(&buf); err != nil {
		return failed(fmt.Errorf("%s: %w", flag, err))
	}
	if err := replaceFile(path, buf.Bytes()); err != nil {
		return failed(fmt.Errorf("%s: %w", flag, err))
	}
	j.Files = append(j.Files, path)
	return nil
}

// worldFileName is the name under which a GIS looks for it: map.png, map.pgw.
func worldFileName(path string) string {
	return strings.TrimSuffix(path, filepath.Ext(path)) + ".pgw"
}
