package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"
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

// planMode is which of its jobs the command plan is asked to do.
type planMode struct {
	format        string
	merge         bool
	shard, shards int // 0 of 0: not sharded
	changedFrom   string
	whatIf        []string
	without       []string
}

// differences reports whether a comparison is shown in place of the answer.
func (m planMode) differences() bool {
	return m.changedFrom != "" || len(m.whatIf)+len(m.without) > 0
}

// newPlanMode reads the flags that choose a job; the error lists every one that
// does not go with the others.
func newPlanMode(c *cli.Context) (planMode, error) {
	m := planMode{format: c.String("format"), merge: c.Bool("merge"), changedFrom: c.String("changed-from"),
		whatIf: texts(c, "what-if"), without: texts(c, "without")}
	var errs []error
	fault := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	errs = append(errs, formatFault(m.format, planFormats))
	if text := c.String("shard"); c.IsSet("shard") {
		var err error
		m.shard, m.shards, err = parseShard(text)
		errs = append(errs, err)
		if m.differences() {
			fault("shard: a part has no difference yet; leave out --what-if, --without and --changed-from")
		}
		if c.IsSet("format") {
			fault("shard: a part has one format of its own; leave out --format")
		}
	}
	if m.differences() && (m.format == "csv" || m.format == "geojson") {
		fault("format: found %q, a difference is written as text or json", m.format)
	}
	switch {
	case m.merge && c.NArg() == 0:
		fault("plan: --merge wants the files of the parts, found none")
	case !m.merge && c.NArg() != 1:
		fault("plan: want one plan file, found %d arguments", c.NArg())
	}
	if m.merge {
		errs = append(errs, besideMerge(c))
	}
	return m, errors.Join(errs...)
}

// besideMerge refuses what the parts bring along: they were made with it.
func besideMerge(c *cli.Context) error {
	var names []string
	for _, f := range c.Command.Flags {
		name := f.Names()[0]
		if c.IsSet(name) && !slices.Contains([]string{"merge", "format", "out", "strict-rules", "workers"}, name) {
			names = append(names, "--"+name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return fmt.Errorf("merge: found %s, allowed beside --merge: --format, --out, --strict-rules; the parts hold the plan and its settings", strings.Join(names, ", "))
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
