package main

import (
	"errors"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// mergePlan joins the parts of all shards into the answer of one run. Every file
// that is no part is named.
func mergePlan(c *cli.Context) error {
	var parts []*mesh.Part
	var errs []error
	for _, path := range c.Args().Slice() {
		part, err := readFrom("part", path, mesh.ReadPart)
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
	return writeMesh(c, checked)
}
