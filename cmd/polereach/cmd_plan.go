package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"github.com/paulmach/orb"
	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/cmd/polereach/internal/outfile"
	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/linkbudget/report"
	"github.com/polereach/polereach/linkbudget/report/handheld"
	"github.com/polereach/polereach/linkbudget/report/picture"
	"github.com/polereach/polereach/terrain"
)

func planCommand() *cli.Command {
	flags := append([]cli.Flag{
		&cli.Float64Flag{Name: "range-km", Value: mesh.DefaultRangeM / 1000, Usage: "examine every pair up to this " +
			"distance, `KM`, beside the links of the plan"},
		textsFlag("gateway", "count hops and routes from this pole, `NAME`; repeatable"),
		pictureFlag("the mesh over its ground"),
		layerFlag(),
		&cli.BoolFlag{Name: "advice", Usage: "look for what would make a wanted link reach; slow"},
	}, append(adviceFlags(),
		textsFlag("what-if", "what changes with `CHANGES`, such as \"pole=NAME,height_m=8\"; repeatable"),
		textsFlag("without", "what changes without this pole, `NAME`; repeatable"),
		&cli.StringFlag{Name: "changed-from", Usage: "what changed since `FILE`, an older plan or the GeoJSON of an older " +
			"run"},
		&cli.StringFlag{Name: "shard", Usage: "examine part `I/N` of the pairs and write it for --merge"},
		&cli.BoolFlag{Name: "merge", Usage: "join the parts given as files into one answer"},
		&cli.IntFlag{Name: "max-pairs", Value: mesh.DefaultMaxPairs, Usage: "begin no more pairs than this `NUMBER`, each " +
			"shard; a thousand take about a megabyte"},
		&cli.BoolFlag{Name: "keys", Usage: "list the keys of a plan and go no further"},
		calibrationFlag(), &cli.BoolFlag{Name: "yes", Usage: "begin also what takes long"},
		&cli.IntFlag{Name: "workers", Usage: "examine `NUMBER` pairs at once; 0: one per core"},
		strictRulesFlag())...)
	output := append(outputFlags(planFormats), cautionsFlag())
	output[0].(*cli.StringFlag).Action = nil // its fault is told with others
	return &cli.Command{
		Name:      "plan",
		Usage:     "does every wanted link hold, and where is the mesh fragile?",
		UsageText: "polereach plan [flags] PLAN, or polereach plan --merge [flags] PART...",
		Description: `Example:
   polereach plan --gateway "Tanager Knob" examples/cumberland/plan.geojson

The links of the plan are what is wanted; what is told of the mesh is told of
every pair within --range-km.

With --what-if, --without or --changed-from only the difference is shown; each
of them is compared by itself, counted over the poles that both sides have. An
older plan is checked with the same settings and terrain; of the GeoJSON of an
older run the figures count.

A Polygon with "stands" or "top_m" says what stands on the ground there, such as a
wood or a barn, over what --cover says; every command but link knows it then, and
link knows it with --plan.

The GeoJSON of a run is the same plan again: pairs that it did not ask for stand
in it with "wanted": false, which makes no link of a line.

--format csv gives a row for every path; site, link and plan have the same
columns.

--keys lists all that a plan may say, with ranges and defaults. PLAN may be -,
standard input; what else is looked for beside a plan is then looked for here.

Exit code: 0 everything wanted holds, 1 failed, 2 usage or bad input,
3 something wanted does not hold, 4 terrain missing for something. A difference
has that of the new state, with several the gravest; a shard has 0.`,
		Flags:  append(append(append(flags, radioFlags()...), terrainFlags()...), output...),
		Action: runPlan,
	}
}

func runPlan(c *cli.Context) error {
	if c.Bool("keys") {
		return writeKeys(c)
	}
	shard, shards, err := planMode(c)
	if err != nil {
		return usage(err)
	}
	if c.Bool("merge") {
		return mergePlan(c)
	}
	j, err := newPlanJob(c)
	if err != nil {
		return err
	}
	j.opt.Shard, j.opt.Shards = shard, shards
	switch {
	case shards > 0:
		return j.shard()
	case differences(c):
		return j.compare()
	}
	checked, err := j.check(j.p, j.opt, nil)
	if err != nil {
		return err
	}
	return writeMesh(c, checked, j.dem)
}

// planJob is a plan with everything that a check of it needs.
type planJob struct {
	c    *cli.Context
	path string
	p    *plan.Plan
	dem  terrain.DEM
	opt  mesh.Options
}

func newPlanJob(c *cli.Context) (*planJob, error) {
	j := &planJob{c: c, path: c.Args().First()}
	var err error
	if j.p, err = readMesh(c, j.path); err != nil {
		return nil, err
	}
	beside := filepath.Dir(j.path)
	j.opt = mesh.Options{Gateways: texts(c, "gateway"), Advice: c.Bool("advice"), MaxPairs: c.Int("max-pairs")}
	j.opt.SiteOptions, err = pathOptions(c, beside)
	err = errors.Join(err, calibrated(c, beside, j.p, &j.opt.Settings))
	j.opt.Workers = c.Int("workers")
	if c.Bool("yes") {
		j.opt.MaxPoints = mostPoints
	}
	err = errors.Join(err, count(c, "workers", 0, 1024), count(c, "max-pairs", 1, mostPairs), j.p.OutsideBand(j.opt.Band))
	if err != nil {
		return nil, usage(err)
	}
	if j.dem, err = openDEM(c, beside, j.p); err != nil {
		return nil, err
	}
	j.p.Warnings = append(j.p.Warnings, j.p.OutsideTerrain(j.dem)...)
	if len(j.p.Stations) == 1 {
		j.p.Warnings = append(j.p.Warnings, fmt.Sprintf("one pole alone has no link to judge; what it serves: "+
			"coverage --pole %q", j.p.Stations[0].Name))
	}
	j.opt.Terrain = terrainNames(c, beside)
	return j, nil
}

// readMesh reads a plan under the last element of its path: parts made in other
// folders are of the same plan. Faults name the whole path.
func readMesh(c *cli.Context, path string) (*plan.Plan, error) {
	data, err := readPlanText(c, path)
	if err != nil {
		return nil, usagef("plan: %w", err)
	}
	p, err := plan.Read(filepath.Base(path), data)
	if err != nil {
		p, err = plan.Read(path, data)
	}
	return p, usage(err)
}

// check examines one plan. What holds of an earlier check, nil for none, is not examined again.
func (j *planJob) check(p *plan.Plan, opt mesh.Options, before *mesh.Mesh) (checked *mesh.Mesh, err error) {
	err = j.examine(p, opt, func(run *mesh.Prepared) (err error) {
		if before == nil {
			checked, err = run.Check(j.c.Context)
		} else {
			checked, err = run.CheckFrom(j.c.Context, before)
		}
		return err
	})
	if err == nil {
		j.lacks(checked)
	}
	return checked, err
}

// examine runs a prepared check, with a word on the cost and a progress bar.
func (j *planJob) examine(p *plan.Plan, opt mesh.Options, check func(*mesh.Prepared) error) error {
	var done func()
	opt.Progress, done = progress(j.c.App.ErrWriter, "pairs")
	run, err := j.prepare(p, opt)
	if err != nil {
		return err
	}
	defer done()
	if err := check(run); err != nil {
		return computeError(j.path, err)
	}
	return nil
}

// lacks tells which terrain the pairs of a checked plan are missing.
func (j *planJob) lacks(m *mesh.Mesh) {
	var gaps []orb.Point
	for i := range m.Pairs {
		if g := m.Pairs[i].Gap(); g != nil {
			gaps = append(gaps, orb.Point{g.LonDeg, g.LatDeg})
		}
	}
	lacking(j.c, j.dem, j.path, gaps)
}

// shard writes one part for --merge.
func (j *planJob) shard() error {
	var part *mesh.Part
	err := j.examine(j.p, j.opt, func(run *mesh.Prepared) (err error) {
		part, err = run.CheckPart(j.c.Context)
		return err
	})
	if err != nil {
		return err
	}
	return emitUnlessInterrupted(j.c, &outfile.Set{}, part.WriteJSON)
}

// meshSheet writes a mesh for a handheld.
func meshSheet(format string) func(io.Writer, *mesh.Mesh) error {
	return func(w io.Writer, m *mesh.Mesh) error {
		sheet, err := handheld.Mesh(m, now())
		if err != nil {
			return err
		}
		return sheet.Write(w, format)
	}
}

// writeMesh writes the answer and returns its exit code; dem is for the picture.
func writeMesh(c *cli.Context, m *mesh.Mesh, dem terrain.DEM) error {
	write := map[string]func(io.Writer, *mesh.Mesh) error{
		"text": report.MeshText, "json": report.MeshJSON, "csv": report.MeshCSV,
		"geojson": func(w io.Writer, m *mesh.Mesh) error {
			return inLayers(c, w, func(w io.Writer) error { return report.MeshGeoJSON(w, m) })
		},
		"kml": meshSheet("kml"), "gpx": meshSheet("gpx"),
	}[c.String("format")]
	var files outfile.Set
	defer files.Discard()
	err := addPicture(c, &files, func(w io.Writer, format string) error { return picture.Mesh(w, format, m, dem) })
	if err != nil {
		return err
	}
	if err := emitUnlessInterrupted(c, &files, func(w io.Writer) error { return write(w, m) }); err != nil {
		return err
	}
	return meshError(c, m)
}

// emitUnlessInterrupted writes nothing once the run was asked to end, be it in
// the middle of writing.
func emitUnlessInterrupted(c *cli.Context, files *outfile.Set, write func(io.Writer) error) error {
	return emitWith(c, files, func(w io.Writer) error {
		until := writerUntil{c.Context, w}
		if screen, is := w.(report.Screen); is {
			screen.Writer = until
			return write(screen)
		}
		return write(until)
	})
}

// writerUntil refuses to write once its context has ended.
type writerUntil struct {
	ctx context.Context
	w   io.Writer
}

func (w writerUntil) Write(data []byte) (int, error) {
	if err := w.ctx.Err(); err != nil {
		return 0, err
	}
	return w.w.Write(data)
}

// meshError is the exit code of a checked plan.
func meshError(c *cli.Context, m *mesh.Mesh) error {
	unknown := false // of what was asked for: the links of the plan or, without any, every pair
	for i := range m.Pairs {
		p := &m.Pairs[i]
		unknown = unknown || p.Verdict == linkbudget.Unknown && (p.Wanted() || m.WantedCount == 0)
	}
	return verdictError(m.Verdict, unknown, c.Bool("strict-rules") && len(report.MeshBeyondRules(m)) > 0)
}
