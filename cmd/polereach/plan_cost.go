package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/schollz/progressbar/v3"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/commandline"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
)

const (
	// mostPairs bounds --max-pairs by memory, mostPoints --yes by a month of one core.
	mostPairs  = 10_000_000
	mostPoints = 2e13
	// longS is how long a run may take on one core without a word before it, s.
	longS = 20
)

// prepare gets a run ready and tells what it would cost before it starts: a word
// for a long one, a refusal beyond the bounds.
func (j *planJob) prepare(p *plan.Plan, opt mesh.Options) (*mesh.Prepared, error) {
	run, err := mesh.Prepare(j.c.Context, p, j.dem, opt)
	var beyond *mesh.CostError
	switch {
	case errors.As(err, &beyond):
		hint := "--yes goes on"
		if float64(beyond.Pairs) > float64(beyond.MaxPairs) || !beyond.Exact {
			hint = "--range-km, --shard, --max-pairs and --yes are the flags for that"
		}
		return nil, usagef("%s: %w (%s)", j.path, err, hint)
	case err != nil:
		return nil, computeError(j.path, err)
	}
	cost := run.Cost()
	shards := float64(max(opt.Shards, 1))
	if s := cost.CPUSeconds / shards; s > longS {
		fmt.Fprintf(j.c.App.ErrWriter, "polereach: %d poles, %.0f pairs, %.3g million profile points: about %.0f s of one "+
			"core\n", cost.Stations, float64(cost.Pairs)/shards, cost.ProfilePoints/shards/1e6, s)
	}
	return run, nil
}

// progress returns what draws a bar of units on errOut if that is a terminal, and what
// takes it away again; nil and nothing otherwise.
func progress(errOut io.Writer, unit string) (update func(done, total int), done func()) {
	if commandline.Columns(errOut) == 0 {
		return nil, func() {}
	}
	return bar(errOut, unit)
}

// bar draws at most ten times a second, and begins anew with another total.
func bar(w io.Writer, unit string) (update func(done, total int), done func()) {
	var b *progressbar.ProgressBar
	clear := func() {
		if b != nil {
			_ = b.Clear()
		}
	}
	return func(done, total int) {
		if b == nil || b.GetMax() != total {
			clear()
			b = progressbar.NewOptions(total, progressbar.OptionSetWriter(w), progressbar.OptionSetDescription(unit),
				progressbar.OptionShowCount(), progressbar.OptionSetPredictTime(true), progressbar.OptionSetWidth(30),
				progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish())
		}
		_ = b.Set(done) // a bar that cannot be drawn is no fault of the answer
	}, clear
}

// terrainNames names the files of the terrain with their sizes, without their folders.
func terrainNames(c *cli.Context, beside string) string {
	paths := c.StringSlice("dem")
	if len(paths) == 0 {
		paths = []string{filepath.Join(beside, demFolderName)}
	}
	if _, file, _ := coverClass(c); file != "" {
		paths = append(slices.Clone(paths), file)
	}
	if file := c.String("cover-heights"); file != "" {
		paths = append(slices.Clone(paths), file)
	}
	var names []string
	for _, path := range paths {
		files := []string{path}
		if entries, err := os.ReadDir(path); err == nil {
			files = nil
			for _, e := range entries {
				files = append(files, filepath.Join(path, e.Name()))
			}
		}
		for _, file := range files {
			name := filepath.Base(file)
			if info, err := os.Stat(file); err == nil && info.Mode().IsRegular() {
				name = fmt.Sprintf("%s %d", name, info.Size())
			}
			names = append(names, name)
		}
	}
	return strings.Join(names, "\n")
}
