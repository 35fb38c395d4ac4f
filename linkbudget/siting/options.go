package siting

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"runtime"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Neighbour is a station that a new pole might reach.
type Neighbour struct {
	Station linkbudget.Station
	At      orb.Point // longitude, latitude, degrees
	// Must says that a spot without it does not serve.
	Must bool
}

// Options says where to look and what for.
type Options struct {
	// Neighbours are all that count, with different names.
	Neighbours []Neighbour
	// Candidate is the new pole; its HeightM, but no more than MaxHeightM, is the
	// mast asked for.
	Candidate linkbudget.Station
	// Rank says which of the spots that serve come first.
	Rank Rank
	// Areas is the ground where it may stand.
	Areas orb.MultiPolygon
	// Roads are lines of two or more positions in degrees, straight between them
	// in longitude and latitude (RFC 7946 section 3.1.1). MaxRoadM, if above 0,
	// leaves out places farther than that from all of them.
	Roads    []orb.LineString
	MaxRoadM float64
	// Sun, if set, looks at the sky over every spot shown; BySun needs it.
	Sun *Sun
	// Environment is that of every path.
	Environment linkbudget.Environment
	// AtLeast is how many neighbours a spot must reach; 0 means 1.
	AtLeast int
	// Top is how many spots are wanted, 1 to 100; 0 means 10.
	Top int
	// SeparationM is the least distance between two spots; 0 means 300.
	SeparationM float64
	// MaxHeightM is the tallest mast; 0 means linkbudget.DefaultMaxHeightM.
	MaxHeightM float64
	// RangeM leaves out neighbours farther than that from the area; 0 means 50 km.
	RangeM float64
	// CellM, FillVoidsM, Workers and MemoryBytes are those of coverage.Options.
	CellM, FillVoidsM float64
	Workers           int
	MemoryBytes       int64
	// MostCells bounds how many cells are computed path by path; 0 means 5000, or
	// 1000 with BySun, for which ten times as many are glanced at. Answer.Left tells what was
	// left out for that.
	MostCells int
	// Progress, if set, is told how many of the sweeps are done, then from the
	// start how many of the cells that may have to be computed.
	Progress func(done, total int)
}

func (o Options) withDefaults() Options {
	o.SeparationM = cmp.Or(o.SeparationM, 300)
	o.MaxHeightM = cmp.Or(o.MaxHeightM, linkbudget.DefaultMaxHeightM)
	o.RangeM = cmp.Or(o.RangeM, 50e3)
	if o.MostCells == 0 {
		o.MostCells = 5000
		if o.Rank == BySun {
			o.MostCells = 1000
		}
	}
	o.MemoryBytes = cmp.Or(o.MemoryBytes, 512<<20)
	o.Workers = cmp.Or(max(o.Workers, 0), runtime.GOMAXPROCS(0))
	o.AtLeast, o.Top = cmp.Or(o.AtLeast, 1), cmp.Or(o.Top, 10)
	if o.Candidate.HeightM > o.MaxHeightM && o.MaxHeightM > 0 {
		o.Candidate.HeightM = o.MaxHeightM
	}
	return o
}

// check lists every fault that a sweep would not find.
func (o Options) check(dem terrain.DEM) error {
	var errs []error
	add := func(err error) {
		if err != nil {
			errs = append(errs, fmt.Errorf("siting: %w", err))
		}
	}
	above0 := func(field string, v, most float64) {
		if !(v > 0 && v <= most) {
			add(fault.Found(field, v, fmt.Sprintf("above 0 to %g m", most)))
		}
	}
	if dem == nil {
		add(fault.Input("no DEM given"))
	}
	if len(o.Neighbours) == 0 {
		add(fault.Input("no neighbours to reach"))
	}
	if len(o.Areas) == 0 {
		add(fault.Input("no ground to search: give polygons"))
	}
	for i, p := range o.Areas {
		if len(p) == 0 || len(p[0]) < 4 {
			add(fault.Input("polygon %d has no ring", i))
		}
	}
	above0("separation_m", o.SeparationM, 100e3)
	above0("max_height_m", o.MaxHeightM, linkbudget.MaxAntennaHeightM)
	above0("range_m", o.RangeM, 200e3)
	add(fault.Range("top", float64(o.Top), 1, 100, ""))
	if most := max(len(o.Neighbours), 1); o.AtLeast < 1 || o.AtLeast > most {
		add(fault.Found("at_least", o.AtLeast, fmt.Sprintf("1 to the %d neighbours there are", len(o.Neighbours))))
	}
	add(fault.Range("rank", float64(o.Rank), 0, float64(len(rankWords)-1), ""))
	if o.MostCells < 0 {
		add(fault.Found("most_cells", o.MostCells, "above 0, or 0 for a default"))
	}
	add(fault.Range("max_road_m", o.MaxRoadM, 0, 100e3, "m, 0 for any distance"))
	if (o.Rank == ByRoad || o.MaxRoadM > 0) && len(o.Roads) == 0 {
		add(fault.Input("there is no road to measure from"))
	}
	for i, line := range o.Roads {
		if len(line) < 2 {
			add(fault.Input("road %d has %d positions, allowed 2 or more", i, len(line)))
		}
		for _, p := range line {
			if err := terrain.CheckPlace(p); err != nil {
				add(fmt.Errorf("road %d: %w", i, err))
				break
			}
		}
	}
	if o.Rank == BySun && o.Sun == nil {
		add(fault.Input("rank by sun needs to know the sun"))
	}
	if o.Sun != nil && o.Sun.Pole == nil {
		add(fault.Input("the sun: nothing says what hangs on a pole"))
	}
	if p := o.Environment.TimePercent; p > 0 && p < 50 {
		add(fault.Found("time_percent", p, "50 to 99.9: a spot whose links hold for less than half of the time is none"))
	}
	errs = append(errs, o.Candidate.Validate(), o.Environment.Validate())
	return errors.Join(errs...)
}

// bound of all areas.
func (o Options) bound() orb.Bound {
	b := o.Areas[0].Bound()
	for _, p := range o.Areas[1:] {
		b = b.Union(p.Bound())
	}
	return b
}

// reachM returns the distances of the nearest and the farthest place of a bound.
func reachM(at orb.Point, b orb.Bound) (nearM, farM float64) {
	mid := (b.Min[0] + b.Max[0]) / 2
	at[0] += 360 * math.Round((mid-at[0])/360)
	near := orb.Point{min(max(at[0], b.Min[0]), b.Max[0]), min(max(at[1], b.Min[1]), b.Max[1])}
	nearM = terrain.Inverse(at, near).DistM
	for _, corner := range [...]orb.Point{b.Min, b.Max, {b.Min[0], b.Max[1]}, {b.Max[0], b.Min[1]}} {
		farM = max(farM, terrain.Inverse(at, corner).DistM)
	}
	return nearM, farM
}
