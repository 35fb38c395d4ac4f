package siting

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Answer is what Search found.
type Answer struct {
	// Spots are ordered from the best.
	Spots []Spot
	// Choices is the trade between mast and neighbours over all spots shown.
	Choices []Choice
	// Cells is how many were ranked, Unjudged how many had no answer at all.
	Cells, Unjudged int
	// Beyond names neighbours out of range.
	Beyond []string
	// WantPercent is the probability from which a path reaches.
	WantPercent float64
}

// Spot is a place where a pole could stand, every path computed by itself.
type Spot struct {
	At      orb.Point // longitude within ±180
	GroundM float64
	// Serves says that all musts and enough neighbours are reached with a mast
	// of HeightM, the lowest; where it does not serve, HeightM is the height asked for.
	Serves  bool
	HeightM float64
	// Links are the paths at HeightM, in the order of the neighbours.
	Links   []Link
	Reached int
	Reasons []string
}

// Link is the path from a spot to a neighbour.
type Link struct {
	Name   string
	Must   bool
	Result linkbudget.Result
	// LowestM is the lowest mast with which this path reaches, 0 if none does.
	LowestM float64
}

// Choice is one line of the trade between mast and neighbours: with a mast of
// HeightM, the best of the spots reaches so many.
type Choice struct {
	Reached int
	HeightM float64
	Spot    int // index into Spots
}

// spares are looked at beyond the spots wanted, as the exact paths may order
// them otherwise than the sweep.
const spares = 5

// Search looks for spots. Errors tell every fault of the options at once, or what
// a sweep or a profile failed on.
func Search(ctx context.Context, dem terrain.DEM, o Options) (*Answer, error) {
	o = o.withDefaults()
	if err := o.check(dem); err != nil {
		return nil, err
	}
	f, err := newField(ctx, dem, o)
	if err != nil {
		return nil, err
	}
	a := &Answer{Beyond: f.beyond, WantPercent: o.Environment.WantPercent}
	if a.WantPercent == 0 {
		a.WantPercent = linkbudget.DefaultWantPercent
	}
	ranked, unjudged := f.scores(a.WantPercent)
	a.Cells, a.Unjudged = len(ranked), unjudged
	for _, at := range f.distinct(ranked, o.SeparationM, o.Top+spares) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		spot, err := o.examine(dem, at, f.neighbours)
		if err != nil {
			return nil, err
		}
		a.Spots = append(a.Spots, spot)
	}
	slices.SortStableFunc(a.Spots, o.compare)
	a.Spots = a.Spots[:min(o.Top, len(a.Spots))]
	for i := range a.Spots {
		a.Spots[i].explain(o)
	}
	a.choose()
	return a, nil
}

// examine computes every path of a place.
func (o Options) examine(dem terrain.DEM, at orb.Point, neighbours []Neighbour) (Spot, error) {
	spot := Spot{At: orb.Point{wrap(at[0]), at[1]}}
	var profiles []terrain.Profile
	for _, n := range neighbours {
		link := Link{Name: n.Station.Name, Must: n.Must}
		p, err := terrain.NewProfile(dem, spot.At, n.At, terrain.ProfileOptions{FillVoidsM: o.FillVoidsM})
		if err != nil {
			return spot, fmt.Errorf("siting: path to %q: %w", n.Station.Name, err)
		}
		// From the ground up: MinHeight looks from the present height.
		low := o.Candidate
		low.HeightM = min(lowestMastM, o.MaxHeightM)
		found, err := linkbudget.MinHeight(p, low, n.Station, o.Environment, linkbudget.HeightSearch{Ends: linkbudget.EndA, MaxM: o.MaxHeightM})
		if err != nil {
			return spot, fmt.Errorf("siting: path to %q: %w", n.Station.Name, err)
		}
		if found.Found {
			link.LowestM = found.AHeightM
		}
		profiles, spot.Links = append(profiles, p), append(spot.Links, link)
		if len(p.HeightM) > 0 {
			spot.GroundM = p.HeightM[0]
		}
	}
	heightM, ok := spot.lowest(o.AtLeast)
	for ; ok && heightM <= o.MaxHeightM; heightM += stepM {
		if err := spot.evaluate(profiles, neighbours, o, heightM); err != nil {
			return spot, err
		}
		// A path that reaches with less mast may fail again with more.
		if spot.Serves = spot.serves(o.AtLeast); spot.Serves {
			return spot, nil
		}
	}
	return spot, spot.evaluate(profiles, neighbours, o, o.Candidate.HeightM)
}

const (
	lowestMastM = 1.0
	stepM       = 0.5
)

// lowest returns the mast from which all musts and enough others are reached one
// by one, and false where some never are.
func (s *Spot) lowest(atLeast int) (float64, bool) {
	var all []float64
	heightM := lowestMastM
	for _, l := range s.Links {
		if l.Must && l.LowestM == 0 {
			return 0, false
		}
		if l.Must {
			heightM = max(heightM, l.LowestM)
		}
		if l.LowestM > 0 {
			all = append(all, l.LowestM)
		}
	}
	if len(all) < atLeast {
		return 0, false
	}
	slices.Sort(all)
	return max(heightM, all[atLeast-1]), true
}

// evaluate fills the links at one height.
func (s *Spot) evaluate(profiles []terrain.Profile, neighbours []Neighbour, o Options, heightM float64) error {
	station := o.Candidate
	station.HeightM = heightM
	s.HeightM, s.Reached = heightM, 0
	for i, p := range profiles {
		r, err := linkbudget.Evaluate(p, station, neighbours[i].Station, o.Environment)
		if err != nil {
			return fmt.Errorf("siting: path to %q: %w", neighbours[i].Station.Name, err)
		}
		if s.Links[i].Result = r; r.Verdict == linkbudget.Reaches {
			s.Reached++
		}
	}
	return nil
}

func (s *Spot) serves(atLeast int) bool {
	for _, l := range s.Links {
		if l.Must && l.Result.Verdict != linkbudget.Reaches {
			return false
		}
	}
	return s.Reached >= atLeast
}

// compare orders spots: those that serve first, the lower mast first among
// these, then more neighbours, then the larger sum of chances.
func (o Options) compare(a, b Spot) int {
	serve := func(s Spot) int {
		if s.Serves {
			return 1
		}
		return 0
	}
	if c := cmp.Compare(serve(b), serve(a)); c != 0 {
		return c
	}
	if a.Serves {
		if c := cmp.Compare(a.HeightM, b.HeightM); c != 0 {
			return c
		}
	}
	return cmp.Or(cmp.Compare(b.musts(), a.musts()), cmp.Compare(b.Reached, a.Reached), cmp.Compare(b.chance(), a.chance()))
}

func (s Spot) musts() int {
	n := 0
	for _, l := range s.Links {
		if l.Must && l.Result.Verdict == linkbudget.Reaches {
			n++
		}
	}
	return n
}

func (s Spot) chance() float64 {
	var sum float64
	for _, l := range s.Links {
		sum += l.Result.Probability
	}
	return sum
}

// wrap brings a longitude within ±180.
func wrap(lonDeg float64) float64 { return lonDeg - 360*math.Round(lonDeg/360) }
