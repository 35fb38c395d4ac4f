package main

import (
	"bytes"
	"fmt"
	"io"
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
