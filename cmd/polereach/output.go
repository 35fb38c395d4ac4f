package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// emit hands what write makes to --out or, by way of memory, to standard output,
// so that an error leaves nothing half-written.
func emit(c *cli.Context, write func(io.Writer) error) error {
	return emitWith(c, &outfile.Set{}, write)
}

// emitWith is emit after files of the same run, which take their places with --out.
func emitWith(c *cli.Context, files *outfile.Set, write func(io.Writer) error) error {
	defer files.Discard()
	if format := c.String("format"); format == "" || format == "text" {
		tell := write
		write = func(w io.Writer) error {
			var text strings.Builder
			var told io.Writer = &text
			if c.String("out") == "" && commandline.Columns(c.App.Writer) > 0 {
				told = report.Screen{Writer: &text, Whole: c.Bool("cautions")}
			}
			if err := tell(told); err != nil {
				return err
			}
			_, err := io.WriteString(w, plan.Visible(text.String()))
			return err
		}
	}
	if path := c.String("out"); path != "" {
		if err := files.Add(path, write); err != nil {
			return failed(fmt.Errorf("out: %w", err))
		}
		if err := files.Commit(); err != nil {
			return failed(fmt.Errorf("out: %w", err))
		}
		return nil
	}
	var held outfile.Pieces
	if err := write(&held); err != nil {
		return failed(err)
	}
	if err := files.Commit(); err != nil {
		return failed(err)
	}
	if _, err := held.WriteTo(c.App.Writer); err != nil {
		return failed(fmt.Errorf("standard output: %w", err))
	}
	return nil
}

// checkedWriter keeps the first error of writing: help is written by a library that
// passes over it.
type checkedWriter struct {
	io.Writer
	err error
}

// Columns are those of the terminal behind it, 0 for none.
func (w *checkedWriter) Columns() int { return commandline.Columns(w.Writer) }

func (w *checkedWriter) Write(data []byte) (int, error) {
	n, err := w.Writer.Write(data)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// layerFlag chooses a layer of GeoJSON.
func layerFlag() cli.Flag {
	return &cli.StringFlag{Name: "layer", Usage: "with --format geojson: `WORD` " + either(report.GeoJSONLayers) +
		" alone, for programs that want one kind of geometry in a file",
		Action: func(c *cli.Context, word string) error {
			if !slices.Contains(report.GeoJSONLayers, word) {
				return usagef("layer: found %q, allowed %s", word, either(report.GeoJSONLayers))
			}
			if c.String("format") != "geojson" {
				return usagef("layer: found %q with --format %s, allowed with geojson", word, c.String("format"))
			}
			return nil
		}}
}

// inLayers hands on what write makes, or the layer of it that is asked for.
func inLayers(c *cli.Context, w io.Writer, write func(io.Writer) error) error {
	layer := c.String("layer")
	if layer == "" {
		return write(w)
	}
	var whole bytes.Buffer
	if err := write(&whole); err != nil {
		return err
	}
	return report.GeoJSONLayer(w, whole.Bytes(), layer)
}

// The flags that name a file to write, and those that name files to read.
var (
	writingFlags = []string{"out", "plan-out", "calibration-out", "picture", "png", "asc", "tif", "geojson-contours"}
	readingFlags = []string{"radio", "cover", "cover-heights", "climate", "weather", "ground", "plan", "changed-from",
		"dem", "calibration"}
)

// outputsApart refuses, before any work, to write a file that is read or that another
// output is: all faults at once.
func outputsApart(c *cli.Context) error {
	type output struct{ flag, path string }
	var outputs []output
	for _, flag := range writingFlags {
		path := c.String(flag)
		if path == "" {
			continue
		}
		outputs = append(outputs, output{flag, path})
		switch flag {
		case "png":
			outputs = append(outputs, output{"the world file of png", withEnding(path, ".pgw")})
		case "asc":
			outputs = append(outputs, output{"the .prj of asc", withEnding(path, ".prj")})
		}
	}
	if len(outputs) == 0 {
		return nil
	}
	var errs []error
	read := inputs(c)
	for i, o := range outputs {
		for _, in := range read {
			if sameFile(o.path, in) {
				errs = append(errs, fmt.Errorf("%s: %s is read by this run; write somewhere else", o.flag, o.path))
				break
			}
		}
		for _, before := range outputs[:i] {
			if sameFile(o.path, before.path) {
				errs = append(errs, fmt.Errorf("%s: %s is what %s writes; give another name", o.flag, o.path, before.flag))
			}
		}
	}
	return usage(errors.Join(errs...))
}

// inputs are the files that the arguments name, those in a folder of terrain among them.
func inputs(c *cli.Context) []string {
	list := c.Args().Slice()
	folders := []string{}
	for _, flag := range readingFlags {
		for _, path := range append(c.StringSlice(flag), c.String(flag)) {
			if path != "" {
				list, folders = append(list, path), append(folders, path)
			}
		}
	}
	for _, plan := range c.Args().Slice() {
		beside := func(name string) string { return filepath.Join(filepath.Dir(plan), name) }
		list = append(list, beside("radio.json"), beside(calibrationFileName), beside("climate.json"), beside("weather.epw"))
		folders = append(folders, beside("dem"))
	}
	for _, folder := range folders {
		entries, _ := os.ReadDir(folder) // none in a file
		for _, e := range entries {
			list = append(list, filepath.Join(folder, e.Name()))
		}
	}
	return list
}

// sameFile reports whether two names are one file, there or yet to come.
func sameFile(a, b string) bool {
	there, err := os.Stat(a)
	other, errOther := os.Stat(b)
	if err == nil && errOther == nil {
		return there.Mode().IsRegular() && os.SameFile(there, other)
	}
	a, err = filepath.Abs(a)
	b, errOther = filepath.Abs(b)
	return err == nil && errOther == nil && a == b
}
