package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/terrain"
)

func coverageCommand() *cli.Command {
	flags := []cli.Flag{calibrationFlag(),
		&cli.StringSliceFlag{Name: "pole", Usage: "`NAME` of a station of the plan; repeatable: several poles together"},
		&cli.BoolFlag{Name: "all-poles", Usage: "every pole of the plan together, hundreds or thousands over any area"},
		&cli.StringFlag{Name: "shard", Usage: "with --all-poles: sweep part `I/N` of the poles and write it to --out for " +
			"--merge"},
		&cli.BoolFlag{Name: "merge", Usage: "join the parts given as files into one answer"},
		&cli.StringFlag{Name: "at", Usage: "`LON,LAT` of a pole that is not in the plan"},
		&cli.Float64Flag{Name: "radius-km", Value: 20, Usage: "judge cells up to this distance, `KM`"},
		&cli.StringFlag{Name: "area", Usage: "judge only cells inside `WEST,SOUTH,EAST,NORTH`, degrees"},
		&cli.Float64Flag{Name: "receiver-height-m", Value: 2, Usage: "antenna of the receiver above ground, `M`; its " +
			"radio is that of the flags"},
		&cli.StringFlag{Name: "receiver-inside", DefaultText: "--inside", Usage: "what the receiver stands in, " +
			insideUsage},
		&cli.Float64Flag{Name: "cell-m", Usage: "distance between cells, `M`; 0: one for every post of the terrain"},
		&cli.StringFlag{Name: "levels", Value: "50,90,99", Usage: "chances of the table and the contours, `PERCENT,...`"},
		&cli.StringFlag{Name: "quantity", Value: "probability", Usage: "what picture and grids show, `WORD` " +
			"probability (in per cent), " +
			"margin, loss; of several poles probability, who (carries here), how-many (poles from here)"},
		pictureFlag("the area true to shape, with names, scale and key,"),
		&cli.StringFlag{Name: "png", Usage: "write the area for a GIS to `FILE`, in longitude and latitude, and its world " +
			"file beside it"},
		&cli.BoolFlag{Name: "no-shade", Usage: "leave the hillshade out of both"},
		&cli.StringFlag{Name: "asc", Usage: "write an ESRI ASCII grid to `FILE`, and its .prj beside it"},
		&cli.StringFlag{Name: "tif", Usage: "write a GeoTIFF to `FILE`: whole per cent, or tenths of a decibel"},
		&cli.StringFlag{Name: "geojson-contours", Usage: "write the outlines of the levels to `FILE`"},
		&cli.IntFlag{Name: "memory-mib", Value: 512, Usage: "refuse areas that need more memory, `MIB`"},
		&cli.IntFlag{Name: "workers", Usage: "goroutines, `NUMBER`; 0: one for every core"},
	}
	output := outputFlags(textOrJSON)
	output[0].(*cli.StringFlag).Action = nil // its fault is told with others
	return &cli.Command{
		Name:  "coverage",
		Usage: "what area does a pole serve?",
		UsageText: "polereach coverage --pole NAME PLAN | --at LON,LAT [flags]\n" +
			"polereach coverage --all-poles PLAN | --merge PART... [flags]",
		Description: `Example:
   polereach coverage --pole "Tanager Knob" --radius-km 4 examples/cumberland/plan.geojson

Without a plan, radio.json and the folder dem are looked for here. Shares are of
what was judged.

With --all-poles the memory grows with neither poles nor area, and of the files
there is --tif. Its shards may run anywhere; --merge gives the same bytes as one
run, whatever their number.

Exit code: 0 computed, 1 failed, 2 usage or bad input, 4 terrain missing under a
pole or for half of the area and more.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), output...),
		Action: runCoverage,
	}
}

func runCoverage(c *cli.Context) error {
	if c.Bool("merge") {
		return mergeCoverage(c)
	}
	p, err := planOrNone(c, "at")
	if err != nil {
		return err
	}
	job, err := newCoverageJob(c, p)
	if err != nil {
		return err
	}
	rules, err := ruleCaution(c, job.Settings.Environment, append(slices.Clip(job.Poles), job.Receiver)...)
	if err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, filepath.Dir(p.Source), p)
	if err != nil {
		return err
	}
	p.Warnings = append(p.Warnings, p.OutsideTerrain(dem)...)
	job.Warnings = append(p.Warnings, rules)
	defer job.set.Discard()
	if job.all {
		return job.region(c, p, dem)
	}
	if err := job.sweep(c, dem, p.Source); err != nil {
		return err
	}
	if err := job.files(c, dem); err != nil {
		return err
	}
	return job.answer(c)
}

// answer writes the table, and the files with it.
func (j *coverageJob) answer(c *cli.Context) error {
	write := asked(c, report.CoverageText, report.CoverageJSON)
	err := emitUnlessInterrupted(c, &j.set, func(w io.Writer) error { return write(w, &j.Coverage) })
	if err == nil && j.Table.UnjudgedShare >= mostUnjudged {
		return &exitError{code: exitUnjudged}
	}
	return err
}

// mostUnjudged is the part of the area without an answer from which on the question
// counts as unanswered (engineering judgement).
const mostUnjudged = 0.5

// coverageJob is the command's input, checked.
type coverageJob struct {
	report.Coverage
	Combined *coverage.Combined // of several poles
	options  coverage.Options
	quantity coverage.Quantity
	stations []plan.Station // of the plan
	cover    []plan.Cover
	set      outfile.Set // what is written beside the table

	all           bool // every pole of the plan
	shard, shards int
}

// newCoverageJob reads the flags, all faults at once.
func newCoverageJob(c *cli.Context, p *plan.Plan) (*coverageJob, error) {
	job := &coverageJob{stations: p.Stations, cover: p.Cover}
	err := applyRadioFile(c, filepath.Dir(p.Source))
	s, settingsErr := settings(c)
	settingsErr = errors.Join(settingsErr, calibrated(c, filepath.Dir(p.Source), p, &s))
	err = errors.Join(err, formatFault(c.String("format"), textOrJSON), job.mode(c))
	poles, polesErr := p.Stations, error(nil)
	if !job.all {
		poles, polesErr = choosePoles(c, p, c.StringSlice("pole"))
	}
	s.Cover = p.CoverText(s.Cover)
	levels, levelsErr := percents(c.String("levels"))
	quantity, quantityErr := coverage.ParseQuantity(c.String("quantity"))
	_, pictureErr := pictureFormat(c)
	area, areaErr := box("area", c.String("area"))
	err = errors.Join(err, settingsErr, polesErr, levelsErr, quantityErr, areaErr, fileNames(c), pictureErr,
		count(c, "workers", 0, 1024), above0(c, "radius-km", coverage.MaxRadiusM/1000, "km"),
		count(c, "memory-mib", 1, math.MaxInt))
	if (len(poles) > 1 || job.all) && !quantity.OfSeveral() {
		err = errors.Join(err, fmt.Errorf("quantity: %s of several poles together has no meaning; allowed probability, "+
			"who, how-many", quantity))
	}
	if len(poles) == 1 && !job.all && !quantity.OfOne() {
		err = errors.Join(err, fmt.Errorf("quantity: %s is of several poles; allowed of one: probability, margin, loss",
			quantity))
	}
	for i := range poles {
		station, stationErr := s.Resolve(&poles[i])
		if station.Name == "" {
			station.Name = "the new pole"
		}
		err = errors.Join(err, stationErr)
		job.Poles = append(job.Poles, station)
	}
	receiver := s.Station
	receiver.Name, receiver.HeightM = "receiver", c.Float64("receiver-height-m")
	err = errors.Join(err, setInside(c, "receiver-inside", &receiver))
	job.Places, job.Levels, job.quantity = poles, levels, quantity
	job.Receiver, job.Settings, job.RadiusM = receiver, s, c.Float64("radius-km")*1000
	job.Area = area
	job.options = coverage.Options{
		RadiusM: job.RadiusM, Area: area, Receiver: receiver, Environment: s.Environment, CellM: c.Float64("cell-m"),
		FillVoidsM: s.Profile.FillVoidsM, Workers: c.Int("workers"), MemoryBytes: int64(c.Int("memory-mib")) << 20,
	}
	whole := func(percent float64) bool { return percent == math.Trunc(percent) }
	job.options.WholePercent = len(poles) == 1 && quantity == coverage.Probability && c.String("asc") == "" &&
		!slices.ContainsFunc(levels, func(p float64) bool { return !whole(p) }) && whole(s.Environment.WantPercent)
	return job, usage(err)
}

// percents reads a list of percentages, rising or not. Below 1 a share is meant.
func percents(text string) ([]float64, error) {
	var list []float64
	for _, part := range strings.Split(text, ",") {
		v, err := strconv.ParseFloat(strings.TrimSpace(part), 64)
		if err != nil || !(v > 0 && v <= 100) {
			return nil, fmt.Errorf("levels: found %q, allowed percentages 1 to 100, such as 50,90,99", text)
		}
		if v < 1 {
			return nil, fmt.Errorf("levels: found %q, allowed percentages 1 to 100: write %.6g for %.6g", text, 100*v, v)
		}
		list = append(list, v)
	}
	return list, nil
}

// unknownGround is the error of poles on unknown ground, of which nothing can be told.
func unknownGround(c *cli.Context, dem terrain.DEM, planPath string, places namedPlaces) error {
	missing, err := missingGround(dem, places)
	if err == nil && len(missing) > 0 {
		lacking(c, dem, planPath, places.at())
		err = &exitError{code: exitUnjudged, err: errors.New(strings.Join(missing, "\n"))}
	}
	return err
}

// sweep computes every pole and joins them.
func (j *coverageJob) sweep(c *cli.Context, dem terrain.DEM, planPath string) error {
	var places namedPlaces
	for i, pole := range j.Poles {
		places = append(places, namedPlace{fmt.Sprintf("pole %q: the pole", pole.Name), j.Places[i].At})
	}
	if err := unknownGround(c, dem, planPath, places); err != nil {
		return err
	}
	var names []string
	var rasters []*coverage.Raster
	for i, pole := range j.Poles {
		update, done := progress(c.App.ErrWriter, "parts")
		j.options.Progress = update
		r, err := coverage.Sweep(c.Context, pole, j.Places[i].At, dem, j.options)
		done()
		if err != nil {
			return computeError(planPath, fmt.Errorf("pole %q: %w", pole.Name, err))
		}
		names, rasters = append(names, pole.Name), append(rasters, r)
	}
	j.Raster, j.Lattice = rasters[0], rasters[0].Lattice
	if len(rasters) > 1 {
		all, err := coverage.Combine(names, rasters...)
		if err != nil {
			return computeError(planPath, err)
		}
		j.Combined, j.Raster, j.Lattice = all, all.AsRaster(rasters[0]), all.Lattice
		j.Shares, j.ByHeard = all.Shares()
	}
	j.Table = j.Raster.Table(j.Levels)
	return nil
}
