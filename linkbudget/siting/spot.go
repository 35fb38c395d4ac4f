package siting

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Spot is a place where a pole could stand, every path computed by itself.
type Spot struct {
	At      orb.Point // longitude within ±180
	GroundM float64
	// Level says that the ground is level for two posts towards every neighbour, as it
	// is on water: linkbudget.LevelGroundM.
	Level bool
	// Serves says that all musts and enough neighbours are reached with a mast
	// of HeightM: the one asked for, or the lowest that serves where that one does not.
	// Where none serves, HeightM is the one asked for.
	Serves  bool
	HeightM float64
	// LowestM is the lowest mast that serves, 0 if none does.
	LowestM float64
	// Links are the paths at HeightM, in the order of the neighbours.
	Links   []Link
	Reached int
	// Weakest is the probability of the weakest of the paths wanted: the musts,
	// and the best others up to AtLeast; nil where one of them could not be judged.
	Weakest *float64
	// RoadM is the distance to the nearest road, nil without roads.
	RoadM *float64
	// Sky is nil unless Options.Sun is set.
	Sky     *Sky
	Reasons []string
}

// Link is the path from a spot to a neighbour.
type Link struct {
	Name   string
	Must   bool
	Result linkbudget.Result
	// LowestM is the lowest mast with which this path reaches, 0 if none does. A
	// taller one may lose it again.
	LowestM float64
}

// describe computes everything that is told of a place.
func (o Options) describe(ctx context.Context, dem terrain.DEM, j judged, w wish,
	neighbours []Neighbour) (Spot, error) {
	p, err := newPlace(dem, j.at, o, w, neighbours)
	if err != nil {
		return Spot{}, err
	}
	s := Spot{At: j.at, GroundM: p.groundM, Level: p.level(), HeightM: j.heightM, Serves: j.serves}
	if !math.IsInf(j.roadM, 1) {
		s.RoadM = &j.roadM
	}
	if j.serves {
		if s.LowestM, _, err = p.lowest(o.lowestM(), w.atLeast); err != nil {
			return s, err
		}
		if s.LowestM == 0 { // between two steps
			s.LowestM = j.heightM
		}
	}
	sum, err := p.all(j.heightM)
	if err != nil {
		return s, err
	}
	if s.Reached = sum.reached; !math.IsInf(sum.weakest, -1) {
		weakest := radio.Phi(sum.weakest)
		s.Weakest = &weakest
	}
	for k, n := range neighbours {
		link := Link{Name: n.Station.Name, Must: n.Must, Result: p.results[k]}
		if link.Result.Verdict != linkbudget.Unknown {
			err = o.masts(o.lowestM(), func(heightM float64) (bool, error) {
				r, err := p.path(k, heightM)
				if r.Verdict == linkbudget.Reaches {
					link.LowestM = heightM
				}
				return link.LowestM > 0, err
			})
			if err != nil {
				return s, err
			}
		}
		s.Links = append(s.Links, link)
	}
	if o.Sun != nil {
		known := j.skyline
		if j.heightM != o.Candidate.HeightM {
			known = nil
		}
		s.Sky, err = o.Sun.look(ctx, dem, j.at, j.heightM, verdict, known)
	}
	return s, err
}
