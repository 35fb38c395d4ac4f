package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// writePart writes a part as one line of JSON.
func writePart(w io.Writer, part *mesh.Part) error {
	if err := part.WriteJSON(w); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// mergePlan joins the parts of all shards into the answer of one run. Every file
// that is no part is named.
func mergePlan(c *cli.Context, mode planMode) error {
	var parts []*mesh.Part
	var errs []error
	for _, path := range c.Args().Slice() {
		part, err := readPart(path)
		errs = append(errs, err)
		parts = append(parts, part)
	}
	if err := errors.Join(errs...); err != nil {
		return usage(err)
	}
	checked, err := mesh.Merge(c.Context, parts...)
	if err != nil {
		return computeError("merge", err)
	}
	if c.Bool("strict-rules") && checked.Options.Band == "" {
		return usagef("strict-rules: the parts were made without --band")
	}
	return writeMesh(c, mode.format, checked)
}

func readPart(path string) (*mesh.Part, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, fmt.Errorf("part: %w", err)
	}
	defer f.Close()
	part, err := mesh.ReadPart(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return part, nil
}
