package main

import (
	"path/filepath"
	"sync"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/gdal"
)

// joinTerrain makes one DEM. Neighbours of one kind are joined, so that their
// seams close; the first to know a height wins.
func joinTerrain(files []terrainFile, warn func(format string, args ...any)) (terrain.DEM, error) {
	var told sync.Map
	opt := terrain.TilesOptions{CacheBytes: tileCacheBytes, Differ: func(d terrain.Difference) {
		if _, again := told.LoadOrStore(d.Names, true); !again {
			warn("%s and %s differ by %.0f m where both know the ground, such as %.0f and %.0f m at %.5f, %.5f: one of them "+
				"is wrong; the first goes before", d.Names[0], d.Names[1], d.MedianM, d.HeightM[0], d.HeightM[1], d.At.Lon(),
				d.At.Lat())
		}
	}}
	for _, f := range files {
		if f.raster != nil {
			opt.CacheBytes = besideTilesBytes
		}
	}
	var dems []terrain.DEM
	for len(files) > 0 {
		var sources []terrain.Source
		var rasters []*gdal.Raster
		for ; len(files) > 0 && files[0].raster == nil && rasters == nil; files = files[1:] {
			sources = append(sources, files[0].tile)
		}
		for ; len(files) > 0 && files[0].raster != nil && sources == nil; files = files[1:] {
			rasters = append(rasters, files[0].raster)
		}
		if rasters != nil {
			if err := compareRasters(rasters, opt.Differ); err != nil {
				return nil, failed(err)
			}
			dems = append(dems, gdal.Join(rasters...))
			continue
		}
		tiles, err := terrain.NewTiles(sources, opt)
		if err != nil {
			return nil, usage(err)
		}
		dems = append(dems, tiles)
	}
	if len(dems) == 1 {
		return dems[0], nil
	}
	return terrain.Stack(dems...), nil
}

// mostCompared is how many pairs of rasters are looked at; tiles are compared as they are read.
const mostCompared = 32

// compareRasters tells which of them cover the same ground, more than an edge, and differ.
func compareRasters(rasters []*gdal.Raster, differ func(terrain.Difference)) error {
	n := 0
	for i, b := range rasters {
		for _, a := range rasters[:i] {
			p, q := a.Extent(), b.Extent()
			if min(p.Bound.Max[0], q.Bound.Max[0])-max(p.Bound.Min[0], q.Bound.Min[0]) < 4*p.StepLonDeg ||
				min(p.Bound.Max[1], q.Bound.Max[1])-max(p.Bound.Min[1], q.Bound.Min[1]) < 4*p.StepLatDeg {
				continue
			}
			if n++; n > mostCompared {
				return nil
			}
			names := [2]string{filepath.Base(a.Info().Path), filepath.Base(b.Info().Path)}
			d, differs, err := terrain.Compare(a, b, names)
			if err != nil {
				return err
			}
			if differs {
				differ(d)
			}
		}
	}
	return nil
}
