package power

import (
	"errors"
	"fmt"
)

// RunInput is a string of days through which the state of charge is followed,
// all in Wh.
type RunInput struct {
	StartWh float64 // stored at the beginning, 0 to FullWh
	FullWh  float64 // all that the warm bank holds
	GainWh  []float64
	LoadWh  []float64
	// FloorWh is what a cold cell holds back each day; it comes back with the
	// warmth. nil means none.
	FloorWh    []float64
	LeakPerDay float64 // share of the stored energy that is lost each day
}

// Run is what became of the days. In and start balance with the rest:
//
//	StartWh + InWh = EndWh + UsedWh + SpilledWh + LeakedWh
type Run struct {
	StartWh, InWh, EndWh, UsedWh, SpilledWh, LeakedWh float64
	UnmetWh                                           float64 // of the load
	// StateWh is the usable energy at the end of each day, 0 when empty.
	StateWh []float64
	// EmptyDays are days on which the load was not met; FirstEmpty is the index
	// of the first of them, -1 for none.
	EmptyDays, FirstEmpty int
	EmptyOn               []int   // their indexes
	LowestWh              float64 // least of StateWh
	LowestDay             int     // its index, -1 with no days
}

// roundingWh keeps a day whose load is met to the last bit from counting as empty.
const roundingWh = 1e-9

// Simulate follows the state of charge day by day:
// S = min(full, S + gain - load); a day that would fall below the floor is an
// empty day, and the part of its load that was there is used. It errs on
// slices of different lengths and on values that are negative or not finite.
func Simulate(in RunInput) (Run, error) {
	if err := in.validate(); err != nil {
		return Run{}, fmt.Errorf("run: %w", err)
	}
	r := Run{StartWh: in.StartWh, FirstEmpty: -1, LowestDay: -1, StateWh: make([]float64, len(in.GainWh))}
	stored := in.StartWh
	for i, gain := range in.GainWh {
		leak := stored * in.LeakPerDay
		floor := 0.0
		if in.FloorWh != nil {
			floor = in.FloorWh[i]
		}
		stored += gain - leak
		used := min(in.LoadWh[i], max(0, stored-floor))
		if unmet := in.LoadWh[i] - used; unmet > roundingWh {
			r.UnmetWh += unmet
			r.EmptyDays++
			r.EmptyOn = append(r.EmptyOn, i)
			if r.FirstEmpty < 0 {
				r.FirstEmpty = i
			}
		}
		stored -= used
		spilled := max(0, stored-in.FullWh)
		stored -= spilled
		r.InWh, r.UsedWh, r.SpilledWh, r.LeakedWh = r.InWh+gain, r.UsedWh+used, r.SpilledWh+spilled, r.LeakedWh+leak
		r.StateWh[i] = max(0, stored-floor)
		if r.LowestDay < 0 || r.StateWh[i] < r.LowestWh {
			r.LowestWh, r.LowestDay = r.StateWh[i], i
		}
	}
	r.EndWh = stored
	return r, nil
}

func (in RunInput) validate() error {
	const most = 1e9
	errs := []error{
		rangeFault("full in Wh", in.FullWh, 0, most), rangeFault("start in Wh", in.StartWh, 0, in.FullWh),
		rangeFault("leak per day", in.LeakPerDay, 0, 1),
	}
	if n := len(in.GainWh); n != len(in.LoadWh) || in.FloorWh != nil && n != len(in.FloorWh) {
		return errors.Join(append(errs, fmt.Errorf("found %d days of gain, %d of load, %d of floor, want as many of each", n, len(in.LoadWh), len(in.FloorWh)))...)
	}
	for i := range in.GainWh {
		err := errors.Join(rangeFault("gain in Wh", in.GainWh[i], 0, most), rangeFault("load in Wh", in.LoadWh[i], 0, most))
		if in.FloorWh != nil {
			err = errors.Join(err, rangeFault("floor in Wh", in.FloorWh[i], 0, in.FullWh))
		}
		if err != nil {
			return errors.Join(append(errs, fmt.Errorf("day %d: %w", i+1, err))...) // one broken day tells enough
		}
	}
	return errors.Join(errs...)
}

// Settled follows a year that comes round again: first from full, then from
// where that ended, so that January does not start with a gift. The second
// pass is returned.
func Settled(in RunInput) (Run, error) {
	in.StartWh = in.FullWh
	first, err := Simulate(in)
	if err != nil {
		return Run{}, err
	}
	in.StartWh = min(in.FullWh, first.EndWh)
	return Simulate(in)
}

// darkestRun returns the index of the first of n days in a row with the least
// gain over load.
func darkestRun(in RunInput, n int) int {
	n = min(n, len(in.GainWh))
	sum := 0.0
	best, at := 0.0, 0
	for i := range in.GainWh {
		sum += in.GainWh[i] - in.LoadWh[i]
		if i >= n {
			sum -= in.GainWh[i-n] - in.LoadWh[i-n]
		}
		if i == n-1 || i >= n && sum < best-roundingWh {
			best, at = sum, i-n+1
		}
	}
	return at
}

// Repeated follows the darkest run of days twice in a row, from the state in
// which the year found it: a winter that has the same bad week two times. The
// index is that of the run's first day.
func Repeated(in RunInput, year Run) (Run, int, error) {
	at := darkestRun(in, DarkSpellDays)
	end := min(at+DarkSpellDays, len(in.GainWh))
	twice := func(days []float64) []float64 {
		if days == nil {
			return nil
		}
		return append(append([]float64(nil), days[at:end]...), days[at:end]...)
	}
	start := year.StartWh
	if at > 0 {
		start = year.StateWh[at-1]
		if in.FloorWh != nil {
			start += in.FloorWh[at-1]
		}
	}
	run, err := Simulate(RunInput{
		StartWh: min(start, in.FullWh), FullWh: in.FullWh, LeakPerDay: in.LeakPerDay,
		GainWh: twice(in.GainWh), LoadWh: twice(in.LoadWh), FloorWh: twice(in.FloorWh),
	})
	return run, at, err
}
