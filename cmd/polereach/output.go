package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
)

// emit hands what write makes to --out or, by way of memory, to standard output,
// so that an error leaves nothing half-written.
func emit(c *cli.Context, write func(io.Writer) error) error {
	return emitWith(c, &outputSet{}, write)
}

// emitWith is emit after files of the same run, which take their places with --out.
func emitWith(c *cli.Context, files *outputSet, write func(io.Writer) error) error {
	defer files.discard()
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
		if err := files.add(path, write); err != nil {
			return failed(fmt.Errorf("out: %w", err))
		}
		if err := files.commit(); err != nil {
			return failed(fmt.Errorf("out: %w", err))
		}
		return nil
	}
	var held pieces
	if err := write(&held); err != nil {
		return failed(err)
	}
	if err := files.commit(); err != nil {
		return failed(err)
	}
	if err := held.writeTo(c.App.Writer); err != nil {
		return failed(fmt.Errorf("standard output: %w", err))
	}
	return nil
}

// pieces holds what is written to it. A buffer in one piece is copied as it grows: with it
// the CSV of 79,000 pairs took 131 MiB at the peak, for 91, and 1.4 times the time.
type pieces [][]byte

func (p *pieces) Write(data []byte) (n int, err error) {
	for n = len(data); len(data) > 0; {
		last := len(*p) - 1
		if last < 0 || len((*p)[last]) == cap((*p)[last]) {
			*p = append(*p, make([]byte, 0, writeB))
			last++
		}
		piece := &(*p)[last]
		part := min(len(data), cap(*piece)-len(*piece))
		*piece = append(*piece, data[:part]...)
		data = data[part:]
	}
	return n, nil
}

func (p pieces) writeTo(w io.Writer) error {
	for _, piece := range p {
		if _, err := w.Write(piece); err != nil {
			return err
		}
	}
	return nil
}

// bytesOf writes what there is already.
func bytesOf(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// writeB is what goes to a file at a time, bytes: with the 4 KiB of package bufio the
// JSON of a large mesh costs a sixth more.
const writeB = 1 << 16

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
