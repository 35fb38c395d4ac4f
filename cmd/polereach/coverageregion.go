package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/region"
	"github.com/polereach/polereach/terrain"
)

// mode reads the flags that ask for all poles or for a part of them; the error lists every flag that does
// not go with them.
func (j *coverageJob) mode(c *cli.Context) error {
	var errs []error
	refuse := func(why string, names ...string) {
		var found []string
		for _, name := range names {
			if c.IsSet(name) {
				found = append(found, "--"+name)
			}
		}
		if len(found) > 0 {
			errs = append(errs, fmt.Errorf("%s; leave out %s", why, strings.Join(found, ", ")))
		}
	}
	j.all = c.Bool("all-poles")
	if c.IsSet("shard") {
		var err error
		j.shard, j.shards, err = parseShard(c.String("shard"))
		errs = append(errs, err)
		if !j.all {
			errs = append(errs, errors.New("shard: a part is one of all poles: add --all-poles"))
		}
		if c.String("out") == "" {
			errs = append(errs, errors.New("shard: a part may be large: name its file with --out"))
		}
		refuse("shard: a part has one format of its own, and is told of by --merge", "format", "levels", "quantity", "tif")
	}
	if j.all {
		refuse("all-poles: those of the plan are all", "pole", "at")
		refuse("all-poles: a file for which the whole area would have to lie in memory; --tif does not", "picture", "png",
			"asc",
			"geojson-contours")
	}
	return errors.Join(errs...)
}

// region sweeps all poles, or the part of them that was asked for.
func (j *coverageJob) region(c *cli.Context, p *plan.Plan, dem terrain.DEM) error {
	named := *p
	named.Source = filepath.Base(p.Source) // parts made in other folders are of the same plan
	opt := region.Options{Settings: j.Settings, Receiver: j.Receiver, RadiusM: j.RadiusM, Area: j.Area,
		CellM: j.options.CellM,
		Shard: j.shard, Shards: j.shards, Terrain: terrainNames(c, filepath.Dir(p.Source)), Version: commandline.Version(),
		Warnings: j.Warnings, Workers: j.options.Workers, MemoryBytes: j.options.MemoryBytes}
	var done func()
	opt.Progress, done = progress(c.App.ErrWriter, "poles")
	g, err := region.Prepare(&named, dem.Extent(), opt)
	if err != nil {
		return computeError(p.Source, err)
	}
	var places namedPlaces
	for _, i := range g.Share() {
		places = append(places, namedPlace{fmt.Sprintf("pole %q: the pole", p.Stations[i].Name), p.Stations[i].At})
	}
	if err := unknownGround(c, dem, p.Source, places); err != nil {
		return err
	}
	write := func(w io.Writer) error {
		defer done()
		return g.WritePart(c.Context, dem, w)
	}
	if j.shards > 0 {
		err := j.set.Add(c.String("out"), write)
		if err == nil {
			err = c.Context.Err()
		}
		if err == nil {
			err = j.set.Commit()
		}
		if err != nil {
			return computeError("out", err)
		}
		return nil
	}
	scratch, drop, err := outfile.Scratch()
	if err != nil {
		return failed(err)
	}
	defer drop()
	if err := write(scratch); err != nil {
		return computeError(p.Source, err)
	}
	size, err := scratch.Seek(0, io.SeekEnd)
	if err != nil {
		return failed(err)
	}
	part, err := region.OpenPart(scratch, size)
	if err != nil {
		return failed(err)
	}
	joined, err := region.Join(part)
	if err != nil {
		return failed(err)
	}
	return j.sum(c, joined)
}

// mergeCoverage joins the parts of all shards into the answer of one run. Every file that is no part
// is named.
func mergeCoverage(c *cli.Context) error {
	levels, err := percents(c.String("levels"))
	quantity, quantityErr := coverage.ParseQuantity(c.String("quantity"))
	if quantityErr == nil && !quantity.OfSeveral() {
		quantityErr = fmt.Errorf("quantity: %s of several poles together has no meaning; allowed probability, who, how-many",
			quantity)
	}
	err = errors.Join(err, quantityErr, fileNames(c), formatFault(c.String("format"), textOrJSON),
		count(c, "workers", 0, 1024),
		besideMerge(c, "levels", "quantity", "tif"))
	if c.NArg() == 0 {
		err = errors.Join(err, errors.New("coverage: --merge wants the files of the parts, found none"))
	}
	if err != nil {
		return usage(err)
	}
	var parts []*region.Part
	for _, path := range c.Args().Slice() {
		f, openErr := openFile(path)
		if openErr != nil {
			err = errors.Join(err, fmt.Errorf("part: %w", openErr))
			continue
		}
		defer f.Close()
		size, openErr := f.Seek(0, io.SeekEnd)
		part, partErr := region.OpenPart(f, size)
		err = errors.Join(err, openErr, wrap(path, partErr))
		parts = append(parts, part)
	}
	if err != nil {
		return usage(err)
	}
	joined, err := region.Join(parts...)
	if err != nil {
		return computeError("merge", err)
	}
	opt := joined.Options()
	job := &coverageJob{quantity: quantity}
	defer job.set.Discard()
	job.Poles, job.Places, job.Levels = joined.Stations(), joined.Plan().Stations, levels
	job.Receiver, job.Settings, job.RadiusM, job.Area = opt.Receiver, opt.Settings, opt.RadiusM, opt.Area
	job.Warnings = opt.Warnings
	return job.sum(c, joined)
}

// sum makes the answer of all parts, and its raster file.
func (j *coverageJob) sum(c *cli.Context, joined *region.Joined) error {
	var layers []*region.Layer
	tiles := io.ReadWriteSeeker(nil)
	tif := c.String("tif")
	if tif != "" {
		scratch, drop, err := outfile.Scratch()
		if err != nil {
			return failed(err)
		}
		defer drop()
		tiles = scratch
		layers = append(layers, &region.Layer{Quantity: j.quantity, Description: j.description(), Tiles: scratch})
	}
	update, done := progress(c.App.ErrWriter, "blocks")
	s, err := joined.Sum(c.Context, j.Levels, c.Int("workers"), update, layers...)
	done()
	if err != nil {
		return computeError("merge", err)
	}
	j.Lattice, j.Table, j.Shares, j.ByHeard = s.Lattice, s.Table, s.Shares, s.ByHeard
	if tif != "" {
		err := j.write("tif", tif, func(w io.Writer) error {
			_, err := tiles.Seek(0, io.SeekStart)
			if err == nil {
				_, err = w.Write(layers[0].Head)
			}
			if err == nil {
				_, err = io.Copy(w, tiles)
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	return j.answer(c)
}
