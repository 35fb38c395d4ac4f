package siting

import (
	"cmp"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// The masts tried. Loss does not fall steadily with height, so every step is
// computed.
const (
	lowestMastM = 1.0
	stepM       = 0.5
)

// lowestM is the lowest mast tried.
func (o Options) lowestM() float64 { return min(lowestMastM, o.MaxHeightM) }

// nextStepM is the first mast tried above a height.
func (o Options) nextStepM(heightM float64) float64 {
	if heightM < o.lowestM() {
		return o.lowestM()
	}
	return o.lowestM() + stepM*(math.Floor((heightM-o.lowestM())/stepM+1e-9)+1)
}

// masts calls try with every mast from one on, until it returns true.
func (o Options) masts(fromM float64, try func(heightM float64) (bool, error)) error {
	for heightM := fromM; heightM <= o.MaxHeightM+1e-9; heightM += stepM {
		if done, err := try(heightM); done || err != nil {
			return err
		}
	}
	return nil
}

func (o Options) wantPercent() float64 {
	return cmp.Or(o.Environment.WantPercent, linkbudget.DefaultWantPercent)
}

// place is a cell whose paths are computed one by one.
type place struct {
	at         orb.Point
	o          Options
	w          wish
	neighbours []Neighbour
	profiles   []terrain.Profile
	results    []linkbudget.Result // with the last mast that was computed in full
	heightM    float64             // that mast
	groundM    float64
}

// newPlace reads the ground between a place and every neighbour.
func newPlace(dem terrain.DEM, at orb.Point, o Options, w wish, neighbours []Neighbour) (*place, error) {
	p := &place{at: at, o: o, w: w, neighbours: neighbours, results: make([]linkbudget.Result, len(neighbours))}
	for _, n := range neighbours {
		profile, err := terrain.NewProfile(dem, at, n.At, terrain.ProfileOptions{FillVoidsM: o.FillVoidsM})
		if err != nil {
			return nil, fmt.Errorf("siting: path to %q: %w", n.Station.Name, err)
		}
		if len(profile.HeightM) > 0 {
			p.groundM = profile.HeightM[0]
		}
		p.profiles = append(p.profiles, profile)
	}
	return p, nil
}

// level is Spot.Level.
func (p *place) level() bool {
	for i := range p.profiles {
		for _, h := range p.profiles[i].HeightM[:min(3, len(p.profiles[i].HeightM))] {
			if math.Abs(h-p.groundM) >= diffraction.LevelGroundM {
				return false
			}
		}
	}
	return true
}

// path computes the path to one neighbour.
func (p *place) path(k int, heightM float64) (linkbudget.Result, error) {
	station := p.o.Candidate
	station.HeightM = heightM
	r, err := linkbudget.Evaluate(p.profiles[k], station, p.neighbours[k].Station, p.o.Environment)
	if err != nil {
		return r, fmt.Errorf("siting: path to %q: %w", p.neighbours[k].Station.Name, err)
	}
	return r, nil
}

// all computes every path with one mast.
func (p *place) all(heightM float64) (standing, error) {
	surety := make([]float64, len(p.neighbours))
	for k := range p.neighbours {
		r, err := p.path(k, heightM)
		if err != nil {
			return standing{}, err
		}
		p.results[k] = r
		surety[k] = math.NaN()
		if r.Verdict != linkbudget.Unknown {
			surety[k] = float64(r.MarginDB / r.Doubt.SigmaDB)
		}
	}
	p.heightM = heightM
	return p.w.sum(surety, func(k int) bool { return p.results[k].Verdict == linkbudget.Reaches }), nil
}

// serves tells whether a mast serves, with no more paths than it takes: the
// musts first.
func (p *place) serves(heightM float64, atLeast int) (bool, error) {
	reached, left := 0, len(p.neighbours)
	for _, must := range [2]bool{true, false} {
		for k, n := range p.neighbours {
			if n.Must != must {
				continue
			}
			if !must && reached >= atLeast {
				return true, nil
			}
			if reached+left < atLeast {
				return false, nil
			}
			r, err := p.path(k, heightM)
			if err != nil {
				return false, err
			}
			left--
			if r.Verdict == linkbudget.Reaches {
				reached++
			} else if must {
				return false, nil
			}
		}
	}
	return reached >= atLeast, nil
}

// lowest returns the lowest mast that serves, and false where none does.
func (p *place) lowest(fromM float64, atLeast int) (heightM float64, found bool, err error) {
	for k := range p.neighbours {
		if p.neighbours[k].Must && len(p.profiles[k].Unknown()) > 0 {
			return 0, false, nil // with no mast
		}
	}
	err = p.o.masts(fromM, func(h float64) (bool, error) {
		ok, err := p.serves(h, atLeast)
		if ok {
			heightM, found = h, true
		}
		return ok, err
	})
	return heightM, found, err
}

// judged is what the search has to know of a place.
type judged struct {
	at      orb.Point
	key     key
	serves  bool
	heightM float64 // the mast of the key
	roadM   float64 // +Inf without a road
	// sunPercent is the most sun that a glance leaves possible.
	sunPercent float64
	skyline    *terrain.Skyline // from the mast asked for, where one was looked at with care
}

// judge computes the key of a place by its paths; the sun is taken as given.
func (o Options) judge(dem terrain.DEM, at orb.Point, w wish, neighbours []Neighbour,
	sunPercent float64) (judged, error) {
	p, err := newPlace(dem, at, o, w, neighbours)
	if err != nil {
		return judged{}, err
	}
	j := judged{at: at, roadM: roadM(at, o.Roads)}
	asked := o.Candidate.HeightM
	s, err := p.all(asked)
	if err != nil {
		return j, err
	}
	if w.met(s) {
		lowestM := asked
		if o.Rank == ByMast {
			if h, found, err := p.lowest(o.lowestM(), w.atLeast); err != nil {
				return j, err
			} else if found {
				lowestM = min(h, asked)
			}
		}
		j.key, j.serves, j.heightM = s.asked(o.Rank, lowestM, sunPercent, j.roadM), true, asked
		return j, nil
	}
	heightM, found, err := p.lowest(o.lowestM(), w.atLeast)
	if err != nil {
		return j, err
	}
	if !found {
		heightM = asked
	}
	if s, err = p.all(heightM); err != nil {
		return j, err
	}
	j.key, j.serves, j.heightM = s.failing(), found, heightM
	if found {
		j.key = s.withMast(heightM)
	}
	return j, nil
}
