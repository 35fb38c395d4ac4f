package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/calibrate"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/picture"
)

// calibrationFileName is looked for beside the plan when --calibration is not given.
const calibrationFileName = "calibration.json"

func calibrationFlag() cli.Flag {
	return &cli.StringFlag{Name: "calibration", Category: terrainGroup, Usage: "what nodes heard, laid over the " +
		"prediction, `FILE` of calibrate, or none", DefaultText: calibrationFileName + " beside the plan"}
}

// calibrated lays the calibration of the flag, or the one beside the plan, over the
// settings, and says what of it does not fit. Answers that cannot say that it was used have
// it said on the side.
func calibrated(c *cli.Context, beside string, p *plan.Plan, s *plan.Settings) error {
	path := c.String("calibration")
	switch path {
	case "none":
		return nil
	case "":
		path = filepath.Join(beside, calibrationFileName)
		if _, err := os.Stat(path); beside == "" || errors.Is(err, os.ErrNotExist) {
			return nil
		}
	}
	data, err := readFile(path)
	if err != nil {
		return wrap("calibration", err)
	}
	f, err := calibrate.ReadFile(path, data)
	if err != nil {
		return wrap("calibration", err)
	}
	cal, notes := f.For(p, *s)
	s.Environment.Calibration = cal
	for _, note := range notes {
		p.Warnings = append(p.Warnings, path+": "+note)
	}
	if format := c.String("format"); format != "text" && format != "json" || differences(c) || c.String("shard") != "" {
		fmt.Fprintf(c.App.ErrWriter, "polereach: note: %s\n", plan.Visible(report.CalibrationText(s.Environment)))
	}
	return nil
}

var calibrateFormats = []string{"text", "json", "csv"}

func calibrateCommand() *cli.Command {
	flags := []cli.Flag{
		textsFlag("column", "which column of the log is meant, `KEY=NAME`; repeatable"),
		&cli.StringFlag{Name: "from", Usage: "the sender of rows that name none, `NAME`"},
		&cli.StringFlag{Name: "to", Usage: "the receiver of rows that name none, `NAME`"},
		&cli.StringFlag{Name: "rssi", Value: "vendor", Usage: "what the RSSI is, `WORD` vendor (the signal is RSSI, below " +
			"0 dB of SNR RSSI + SNR), exact (RSSI is signal and noise), signal (RSSI is the signal)"},
		textsFlag("track", "where a node was that moved, `NAME=FILE` (GPX), joined by time; repeatable"),
		&cli.Float64Flag{Name: "place-m", Value: 50, Usage: "places of a node that moves are taken together in cells, `M`"},
		&cli.BoolFlag{Name: "heard-only", Usage: "leave out what lost packets say; the bias then comes out too good"},
		&cli.Float64Flag{Name: "season-db", Value: calibrate.DefaultSeasonDB, Usage: "standard deviation of a level " +
			"between the log and other times, `DB`"},
		&cli.StringFlag{Name: "calibration-out", Usage: "write what site, plan, coverage and spots can use to `FILE`; as " +
			calibrationFileName + " beside the plan they take it by themselves"},
		&cli.StringFlag{Name: "picture", Usage: "draw measured over predicted, and the difference over distance, to `FILE` " +
			"(.svg or .png)"},
	}
	var columns strings.Builder
	for _, column := range calibrate.Columns() {
		fmt.Fprintf(&columns, "\n   %-10s %s", column.Key, column.Doc)
	}
	return &cli.Command{
		Name:      "calibrate",
		Usage:     "what did nodes hear, and what does that say of the plan?",
		UsageText: "polereach calibrate [flags] LOG... PLAN",
		Description: `Example:
   polereach calibrate examples/cumberland/invented_log.csv examples/cumberland/plan.geojson

A log is CSV with a line of names, NDJSON, or GeoJSON whose points are where the
node was that moves (the sender, unless --track names the receiver). Rows that
cannot be used are listed and left out. Columns, of which from, to and one of
rssi_dbm, level_dbm, received are needed:` + columns.String() + `

Differences are predicted less measured loss: above 0 more arrives than
predicted. Lost packets count: by received and sent, by gaps of seq, else by
what other receivers heard of the same sender meanwhile.

Exit code: 0 compared, 1 failed, 2 usage or bad input.`,
		Flags: append(append(append(flags, radioFlags()...), terrainFlags()...),
			outputFlags(calibrateFormats)...),
		Action: runCalibrate,
	}
}

func runCalibrate(c *cli.Context) error {
	if c.NArg() < 2 {
		return usagef("calibrate: want one or more logs and a plan, found %d arguments", c.NArg())
	}
	logs, path := c.Args().Slice()[:c.NArg()-1], c.Args().Get(c.NArg()-1)
	p, err := readPlan(c, path)
	if err != nil {
		return err
	}
	err = applyRadioFile(c, filepath.Dir(path))
	s, settingsErr := settings(c)
	columns, columnErr := columnNames(texts(c, "column"))
	tracks, trackErr := tracks(c, p)
	var rule calibrate.Rule
	drawAs, pictureErr := pictureFormat(c)
	err = errors.Join(err, settingsErr, columnErr, trackErr, pictureErr, wrap("rssi",
		rule.UnmarshalText([]byte(c.String("rssi")))),
		inRange(c, "place-m", 1, 10000, "m"), inRange(c, "season-db", 0.1, 20, "dB"))
	for _, flag := range []string{"from", "to"} {
		if name := c.String(flag); name != "" {
			_, nameErr := stationNamed(p, flag, name)
			err = errors.Join(err, nameErr)
		}
	}
	if err != nil {
		return usage(err)
	}
	dem, err := openDEM(c, filepath.Dir(path), p)
	if err != nil {
		return err
	}
	predictor := calibrate.Predictor{Plan: p, DEM: dem, Settings: s}
	opt, err := predictor.Options()
	if err != nil {
		return computeError(path, err)
	}
	opt.Columns, opt.From, opt.To, opt.Rule, opt.Tracks, opt.CellM = columns, c.String("from"), c.String("to"), rule,
		tracks,
		c.Float64("place-m")
	log := calibrate.NewLog(opt)
	for _, name := range logs {
		_, err := readFrom("log", name, func(r io.Reader) (any, error) {
			return nil, log.Read(c.Context, filepath.Base(name), r)
		})
		if err != nil {
			return usage(err)
		}
	}
	answer, err := calibrate.Compare(c.Context, log, predictor, calibrate.Options{HeardOnly: c.Bool("heard-only"),
		SeasonDB: c.Float64("season-db")})
	if err != nil {
		return computeError(path, err)
	}
	var files outfile.Set
	defer files.Discard()
	if to := c.String("calibration-out"); to != "" {
		if err := files.Add(to, calibrate.NewFile(answer.Calibration, s).Write); err != nil {
			return failed(fmt.Errorf("calibration-out: %w", err))
		}
	}
	if drawAs != "" {
		draw := func(w io.Writer) error { return picture.Calibration(w, drawAs, answer) }
		if err := files.Add(c.String("picture"), draw); err != nil {
			return failed(fmt.Errorf("picture: %w", err))
		}
	}
	return emitWith(c, &files, func(w io.Writer) error {
		if c.String("format") == "csv" {
			return report.HeardCSV(w, answer)
		}
		return asked(c, report.CalibrateText, report.CalibrateJSON)(w, answer)
	})
}

// columnNames reads KEY=NAME.
func columnNames(list []string) (map[string]string, error) {
	names := map[string]string{}
	var errs []error
	for _, text := range list {
		key, name, ok := strings.Cut(text, "=")
		known := false
		for _, column := range calibrate.Columns() {
			known = known || column.Key == key
		}
		if !ok || !known || name == "" {
			keys := joined(calibrate.Columns(), " ", func(c calibrate.Column) string { return c.Key })
			errs = append(errs, fmt.Errorf("column: found %q, allowed KEY=NAME with KEY of %s", text, keys))
		}
		names[key] = name
	}
	return names, errors.Join(errs...)
}

// tracks reads NAME=FILE.
func tracks(c *cli.Context, p *plan.Plan) (map[string]calibrate.Track, error) {
	var list map[string]calibrate.Track
	var errs []error
	for _, text := range texts(c, "track") {
		name, file, ok := strings.Cut(text, "=")
		if !ok {
			errs = append(errs, fmt.Errorf("track: found %q, allowed NAME=FILE", text))
			continue
		}
		_, nameErr := stationNamed(p, "track", name)
		track, err := readFrom("track", file, calibrate.ReadTrack)
		errs = append(errs, nameErr, err)
		if list == nil {
			list = map[string]calibrate.Track{}
		}
		list[name] = track
	}
	return list, errors.Join(errs...)
}
