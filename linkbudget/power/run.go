package power

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/terrain/fault"
)

// RunInput is a string of steps, hours in a survey, through which the state of
// charge is followed, all in Wh.
type RunInput struct {
	StartWh float64 // stored at the beginning, 0 to FullWh
	FullWh  float64 // all that the warm bank holds
	GainWh  []float64
	LoadWh  []float64
	// FloorWh is what a cold cell holds back in each step; it comes back with
	// the warmth. nil means none.
	FloorWh     []float64
	LeakPerStep float64 // share of the stored energy that is lost in each step
}

// Run is what became of the steps. In and start balance with the rest:
//
//	StartWh + InWh = EndWh + UsedWh + SpilledWh + LeakedWh
type Run struct {
	StartWh, InWh, EndWh, UsedWh, SpilledWh, LeakedWh float64
	UnmetWh                                           float64 // of the load
	// StateWh is the usable energy at the end of each step, 0 when empty.
	StateWh []float64
	// EmptyOn are the steps in which the load was not met.
	EmptyOn    []int
	LowestWh   float64 // least of StateWh
	LowestStep int     // its index, -1 with no steps
}

// roundingWh keeps a step whose load is met to the last bit from counting as empty.
const roundingWh = 1e-9

// Simulate follows the state of charge: S = min(full, S + gain - load); a step that would fall
// below the floor is an empty one, and the part of its load that was there is used. It errs on
// slices of different lengths and on values that are negative or not finite.
func Simulate(in RunInput) (Run, error) {
	if err := in.validate(); err != nil {
		return Run{}, fmt.Errorf("run: %w", err)
	}
	r := Run{StateWh: make([]float64, len(in.GainWh))}
	r.follow(in)
	return r, nil
}

// follow fills the run in; StateWh has room for every step.
func (r *Run) follow(in RunInput) {
	*r = Run{StartWh: in.StartWh, LowestStep: -1, StateWh: r.StateWh, EmptyOn: r.EmptyOn[:0]}
	stored := in.StartWh
	for i, gain := range in.GainWh {
		leak := stored * in.LeakPerStep
		floor := 0.0
		if in.FloorWh != nil {
			floor = in.FloorWh[i]
		}
		stored += gain - leak
		used := min(in.LoadWh[i], max(0, stored-floor))
		if unmet := in.LoadWh[i] - used; unmet > roundingWh {
			r.UnmetWh += unmet
			r.EmptyOn = append(r.EmptyOn, i)
		}
		stored -= used
		spilled := max(0, stored-in.FullWh)
		stored -= spilled
		r.InWh, r.UsedWh, r.SpilledWh, r.LeakedWh = r.InWh+gain, r.UsedWh+used, r.SpilledWh+spilled, r.LeakedWh+leak
		r.StateWh[i] = max(0, stored-floor)
		if r.LowestStep < 0 || r.StateWh[i] < r.LowestWh {
			r.LowestWh, r.LowestStep = r.StateWh[i], i
		}
	}
	r.EndWh = stored
}

func (in RunInput) validate() error {
	const most = 1e9
	errs := []error{
		rangeFault("full in Wh", in.FullWh, 0, most), rangeFault("start in Wh", in.StartWh, 0, in.FullWh),
		rangeFault("leak per step", in.LeakPerStep, 0, 1),
	}
	if n := len(in.GainWh); n != len(in.LoadWh) || in.FloorWh != nil && n != len(in.FloorWh) {
		return errors.Join(append(errs, fault.Input("found %d steps of gain, %d of load, %d of floor, want as many of "+
			"each", n, len(in.LoadWh), len(in.FloorWh)))...)
	}
	for i := range in.GainWh {
		err := rangeFault("gain in Wh", in.GainWh[i], 0, most)
		if err == nil {
			err = rangeFault("load in Wh", in.LoadWh[i], 0, most)
		}
		if err == nil && in.FloorWh != nil {
			err = rangeFault("floor in Wh", in.FloorWh[i], 0, in.FullWh)
		}
		if err != nil {
			return errors.Join(append(errs, fmt.Errorf("step %d: %w", i+1, err))...) // one broken step tells enough
		}
	}
	return errors.Join(errs...)
}

// mostRounds bounds how often a year is followed until it ends as it began: a
// large bank may fall for years before it is empty.
const mostRounds = 40

// Settled follows a year that comes round again and again, first from full, then from where it
// ended, until it ends as it began, so that January does not start with a gift. The last round is
// returned.
func Settled(in RunInput) (Run, error) {
	in.StartWh = in.FullWh
	r, err := Simulate(in)
	for range mostRounds {
		if err != nil || r.EndWh >= in.StartWh-1e-6*in.FullWh {
			break
		}
		in.StartWh = r.EndWh
		r.follow(in)
	}
	return r, err
}
