package region

import (
	"cmp"
	"errors"
	"fmt"
	"image"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Options says how far every pole is swept, for what, and which of the poles.
type Options struct {
	// Settings are the radio and the air for whatever a station of the plan does not state.
	Settings plan.Settings
	// Receiver, RadiusM, Area and CellM are those of [coverage.Options].
	Receiver linkbudget.Station
	RadiusM  float64
	Area     *orb.Bound `json:",omitempty"`
	CellM    float64
	// Shard and Shards choose one of several even parts of the poles, counted from 1; both 0
	// mean all.
	Shard, Shards int
	// Terrain names the terrain, such as the names and sizes of its files, Version the program. They
	// are not looked into; parts are joined only when theirs are equal.
	Terrain, Version string
	// Warnings go with the answer.
	Warnings []string
	// Workers is the number of goroutines; 0 means one for every core. The answer does not depend on it.
	Workers int `json:"-"`
	// MemoryBytes bounds the blocks that wait for more poles to a quarter of it, and the poles that are
	// swept at a time to half, but for those of one pole alone; 0 means 512 MiB.
	MemoryBytes int64 `json:"-"`
	// Progress, if set, is told how many of the shard's poles are done. Calls come one at a time.
	Progress func(done, total int) `json:"-"`
}

const (
	maxPoles  = math.MaxInt16
	maxShards = 100_000
)

// Region is the poles of a plan over terrain, before any of it is read. Several goroutines may
// read it at once.
type Region struct {
	plan     *plan.Plan
	opt      Options // defaults filled in
	extent   terrain.Extent
	stations []linkbudget.Station
	lattice  terrain.Lattice // of all cells
	reach    []reach         // of the poles that have cells, neighbours together
}

// reach is where the cells of a pole lie in the lattice.
type reach struct {
	pole  int
	cells image.Rectangle
}

// blocks are those that it touches, in blocks.
func (r *reach) blocks() image.Rectangle {
	if r.cells.Empty() {
		return image.Rectangle{}
	}
	return image.Rect(r.cells.Min.X/side, r.cells.Min.Y/side, (r.cells.Max.X-1)/side+1, (r.cells.Max.Y-1)/side+1)
}

// Prepare checks plan and options against the extent of the terrain. The error lists every
// fault of the input at once. Poles without a cell in Options.Area are left out; one beside the
// terrain is an error of WritePart, or of Prepare where there is no other.
func Prepare(p *plan.Plan, extent terrain.Extent, opt Options) (*Region, error) {
	if opt.Shard == 0 && opt.Shards == 0 {
		opt.Shard, opt.Shards = 1, 1
	}
	errs := []error{p.Validate(), opt.Settings.Validate()}
	if opt.Shards < 1 || opt.Shards > maxShards || opt.Shard < 1 || opt.Shard > opt.Shards {
		errs = append(errs, fault.Input("shard: found %d of %d, allowed 1 to the number of shards, at most %d", opt.Shard,
			opt.Shards, maxShards))
	}
	if opt.MemoryBytes < 0 {
		errs = append(errs, fault.Found("memory_bytes", opt.MemoryBytes, "0 (512 MiB) and more"))
	}
	opt.MemoryBytes = cmp.Or(opt.MemoryBytes, 512<<20)
	if p != nil && (len(p.Stations) == 0 || len(p.Stations) > maxPoles) {
		errs = append(errs, fault.Input("region: found %d poles, allowed 1 to %d", len(p.Stations), maxPoles))
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	g := &Region{plan: p, opt: opt, extent: extent, stations: make([]linkbudget.Station, len(p.Stations))}
	if err := g.place(); err != nil {
		return nil, err
	}
	g.order()
	return g, nil
}

// place resolves the stations and finds where their cells lie.
func (g *Region) place() error {
	var errs []error
	var lattices []terrain.Lattice
	for i := range g.plan.Stations {
		st := &g.plan.Stations[i]
		var err error
		if g.stations[i], err = g.opt.Settings.Resolve(st); err == nil {
			_, err = linkbudget.NewArea(g.stations[i], g.opt.Receiver, g.opt.Settings.Environment)
		}
		l, latticeErr := coverage.LatticeOf(st.At, g.extent, g.sweepOptions())
		switch {
		case errors.Is(latticeErr, coverage.ErrNoCell):
			latticeErr = nil
		case latticeErr == nil, errors.Is(latticeErr, coverage.ErrPoleUnknown): // which its sweep tells
			lattices, g.reach, latticeErr = append(lattices, l), append(g.reach, reach{pole: i}), nil
		}
		if err := errors.Join(err, latticeErr); err != nil {
			errs = append(errs, fmt.Errorf("pole %q: %w", st.Name, err))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	first := slices.IndexFunc(lattices, func(l terrain.Lattice) bool { return l.Cols > 0 })
	switch {
	case len(lattices) == 0:
		return fault.Input("region: %w of the area lies within %g m of a pole", coverage.ErrNoCell, g.opt.RadiusM)
	case first < 0:
		return fmt.Errorf("region: %w: all lie beside the terrain", coverage.ErrPoleUnknown)
	}
	g.lattice = lattices[first]
	var all image.Rectangle
	for i, l := range lattices {
		if l.Cols == 0 {
			continue
		}
		x := math.Round((math.Remainder(l.WestDeg-g.lattice.WestDeg, 360)) / g.lattice.StepLonDeg)
		y := math.Round((g.lattice.NorthDeg - l.NorthDeg) / g.lattice.StepLatDeg)
		g.reach[i].cells = image.Rect(0, 0, l.Cols, l.Rows).Add(image.Pt(int(x), int(y)))
		all = all.Union(g.reach[i].cells)
	}
	for i := range g.reach {
		if !g.reach[i].cells.Empty() {
			g.reach[i].cells = g.reach[i].cells.Sub(all.Min)
		}
	}
	g.lattice.Cols, g.lattice.Rows = all.Dx(), all.Dy()
	g.lattice.WestDeg += float64(all.Min.X) * g.lattice.StepLonDeg
	g.lattice.NorthDeg -= float64(all.Min.Y) * g.lattice.StepLatDeg
	return g.lattice.Check()
}

// sweepOptions are those of one pole.
func (g *Region) sweepOptions() coverage.Options {
	return coverage.Options{RadiusM: g.opt.RadiusM, Area: g.opt.Area, Receiver: g.opt.Receiver,
		Environment: g.opt.Settings.Environment, CellM: g.opt.CellM, FillVoidsM: g.opt.Settings.Profile.FillVoidsM,
		MemoryBytes: g.opt.MemoryBytes}
}

// order sorts the poles along a curve through the blocks (Morton's: the bits of column and row
// in turn).
func (g *Region) order() {
	turn := func(r reach) (code uint64) {
		middle := r.cells.Min.Add(r.cells.Max).Div(2 * side)
		for bit := range 32 {
			code |= uint64(middle.X>>bit&1)<<(2*bit) | uint64(middle.Y>>bit&1)<<(2*bit+1)
		}
		return code
	}
	slices.SortStableFunc(g.reach, func(a, b reach) int { return cmp.Compare(turn(a), turn(b)) })
}

// share are the poles of the shard.
func (g *Region) share() []reach {
	n := len(g.reach)
	if n == 0 {
		return nil
	}
	return g.reach[(g.opt.Shard-1)*n/g.opt.Shards : g.opt.Shard*n/g.opt.Shards]
}

// Share are the poles of the shard by their numbers in the plan, in the order of work.
func (g *Region) Share() []int {
	var poles []int
	for _, r := range g.share() {
		poles = append(poles, r.pole)
	}
	return poles
}

// Plan is that of the poles.
func (g *Region) Plan() *plan.Plan { return g.plan }

// Stations are the poles with the settings filled in.
func (g *Region) Stations() []linkbudget.Station { return g.stations }

// Options are what was asked for, defaults filled in.
func (g *Region) Options() Options { return g.opt }
