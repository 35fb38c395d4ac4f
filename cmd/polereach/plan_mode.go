package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget/mesh"
)

// textList is the value of a repeatable flag whose texts may hold commas.
type textList []string

// Set appends one text.
func (t *textList) Set(text string) error {
	*t = append(*t, text)
	return nil
}

// String is what --help shows as the default: nothing.
func (t *textList) String() string { return "" }

func textsFlag(name, says string) cli.Flag {
	return &cli.GenericFlag{Name: name, Value: &textList{}, Usage: says}
}

func texts(c *cli.Context, name string) []string {
	if list, ok := c.Generic(name).(*textList); ok {
		return *list
	}
	return nil
}

// differences reports whether a comparison is shown in place of the answer.
func differences(c *cli.Context) bool {
	return c.String("changed-from") != "" || len(texts(c, "what-if"))+len(texts(c, "without")) > 0
}

// planMode reads the flags that choose a job, and which part of how many is asked for,
// 0 of 0 for all; the error lists every flag that does not go with the others.
func planMode(c *cli.Context) (shard, shards int, err error) {
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	format, merge := c.String("format"), c.Bool("merge")
	errs = append(errs, formatFault(format, planFormats))
	if c.IsSet("shard") {
		shard, shards, err = parseShard(c.String("shard"))
		errs = append(errs, err)
		if differences(c) {
			fault("shard: a part has no difference yet; leave out --what-if, --without and --changed-from")
		}
		if c.IsSet("format") {
			fault("shard: a part has one format of its own; leave out --format")
		}
	}
	_, pictureErr := pictureFormat(c)
	if errs = append(errs, pictureErr); c.String("picture") != "" && (differences(c) || shards > 0) {
		fault("picture: found beside what draws no mesh: leave out --shard, --what-if, --without and --changed-from")
	}
	if differences(c) && format != "text" && format != "json" {
		fault("format: found %q, a difference is written as text or json", format)
	}
	switch {
	case merge && c.NArg() == 0:
		fault("plan: --merge wants the files of the parts, found none")
	case !merge && c.NArg() != 1:
		fault("%s%s", notOnePlan(c), swallowedPlan(c))
	}
	if merge {
		errs = append(errs, besideMerge(c, "layer", "picture", "strict-rules"))
	}
	return shard, shards, errors.Join(errs...)
}

// besideMerge refuses what the parts bring along: they were made with it.
func besideMerge(c *cli.Context, beside ...string) error {
	beside = append(beside, "merge", "format", "out", "workers", "cautions")
	var names, allowed []string
	for _, f := range c.Command.Flags {
		name := f.Names()[0]
		if c.IsSet(name) && !slices.Contains(beside, name) {
			names = append(names, "--"+name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	for _, name := range beside {
		if name != "merge" && name != "workers" && name != "cautions" {
			allowed = append(allowed, "--"+name)
		}
	}
	slices.Sort(allowed)
	return fmt.Errorf("merge: found %s, allowed beside --merge: %s; the parts hold the plan and its settings",
		strings.Join(names, ", "), strings.Join(allowed, ", "))
}

func parseShard(text string) (shard, shards int, err error) {
	first, second, ok := strings.Cut(text, "/")
	shard, err1 := strconv.Atoi(first)
	shards, err2 := strconv.Atoi(second)
	if !ok || err1 != nil || err2 != nil || shard < 1 || shard > shards {
		return 0, 0, fmt.Errorf("shard: found %q, allowed I/N with I from 1 to N, such as 3/7", text)
	}
	return shard, shards, nil
}

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
	return writeMesh(c, checked, nil)
}
