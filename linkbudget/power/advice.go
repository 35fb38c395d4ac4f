package power

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Setting is one property of a plan's station, see Settings for the keys.
type Setting struct {
	Key   string
	Value any // a float64, an int, a string, or nil: leave it out
}

// Change is one thing to do.
type Change struct {
	Text string // such as "a second cell"
	Set  []Setting
}

// Advice is a set of changes with which the node lives: Survey said so.
type Advice struct {
	Changes []Change
	System  System // with the changes made
	Spot    string // not empty: at that spot instead
	Result  Result
}

// Text returns the changes on one line.
func (a Advice) Text() string {
	var parts []string
	for _, c := range a.Changes {
		parts = append(parts, c.Text)
	}
	return strings.Join(parts, " and ")
}

// Spot is another place that advice may propose.
type Spot struct {
	Name string // such as "60 m north, 12 m higher"
	Exposure
}

// AdviceOptions bounds what advice may propose.
type AdviceOptions struct {
	// EquatorAzimuthDeg is where the noon sun stands: 180 north of the tropics,
	// 0 south of them.
	EquatorAzimuthDeg float64
	MaxPanelW         float64 // of all panels together; 0 means DefaultMaxPanelW
	MaxCells          int     // 0 means DefaultMaxCells
	Spots             []Spot
}

// Largest kit that advice proposes for a pole.
const (
	DefaultMaxPanelW = 20.0
	DefaultMaxCells  = 6
)

// Counsel is what Advise found. With no Advice, Best says how far all changes
// together get: then another spot is needed, or a node that needs less.
type Counsel struct {
	Advice []Advice
	Best   Result
	Tried  []string // kinds of change that were tried
	// AgainstFrost is what each remedy alone would do where frost alone decides
	// (Result.FrostAlone), whether the node lives with it or not: cells kept warmer, cells that
	// take cold, and a larger panel.
	AgainstFrost []Advice
}

// Advise tries changes on a system that does not live, one kind at a time, then two, then three
// kinds together, the smallest step first, and keeps those with which Survey says Lives. r is the
// result of Survey for the same s and e; there is no advice for one that lives or is unknown. One
// put together by hand is taken as it is, NaN included. Errors are those of Survey.
func Advise(s System, e Exposure, r Result, opt AdviceOptions) (Counsel, error) {
	c := Counsel{Best: r}
	if r.Verdict == Lives || r.Verdict == Unknown {
		return c, nil
	}
	if err := errors.Join(s.Validate(), e.Validate()); err != nil {
		return Counsel{}, fmt.Errorf("power: %w", err)
	}
	if r.Heat.Known && s.Box == nil {
		return Counsel{}, fault.Input("power: a result with the heat of a box for a system without one")
	}
	if err := errors.Join(rangeFault("largest panel in W", opt.MaxPanelW, 0, 1000), countFault("most cells", opt.MaxCells,
		0, 1000), rangeFault("azimuth of the equator", opt.EquatorAzimuthDeg, -360, 360)); err != nil {
		return Counsel{}, fmt.Errorf("power: %w", err)
	}
	e.Sun = remembered(e.Sun)
	a := adviser{s: s, e: e, counsel: &c}
	if r.FrostAlone {
		if err := a.againstFrost(opt); err != nil {
			return Counsel{}, err
		}
	}
	kinds, err := a.kinds(r, opt)
	if err != nil {
		return Counsel{}, err
	}
	for _, k := range kinds {
		c.Tried = append(c.Tried, k.name)
	}
	for together := 1; together <= min(3, len(kinds)) && len(c.Advice) == 0; together++ {
		if err := a.combine(kinds, together, nil); err != nil {
			return Counsel{}, err
		}
	}
	if len(c.Advice) == 0 {
		var all []step
		for _, k := range kinds {
			all = append(all, k.largest())
		}
		_, err = a.try(all)
	}
	if err != nil {
		return Counsel{}, err
	}
	return c, c.trySpots(s, opt.Spots)
}

// mostSpots bounds how many other places are named; the caller's order counts.
const mostSpots = 2

// trySpots surveys the same node elsewhere.
func (c *Counsel) trySpots(s System, spots []Spot) error {
	if len(spots) > 0 {
		c.Tried = append(c.Tried, "another spot")
	}
	found := 0
	for _, spot := range spots {
		result, err := Survey(s, spot.Exposure)
		if err != nil {
			return err
		}
		if result.Verdict != Lives {
			continue
		}
		c.Advice = append(c.Advice, Advice{
			Changes: []Change{{Text: "another spot: " + spot.Name}}, System: s.clone(), Spot: spot.Name, Result: result,
		})
		if found++; found == mostSpots {
			break
		}
	}
	return nil
}

// remembered calls sun once for each plane.
func remembered(sun func(Plane) ([]DaySun, error)) func(Plane) ([]DaySun, error) {
	known := map[Plane][]DaySun{}
	return func(p Plane) ([]DaySun, error) {
		if days, ok := known[p]; ok {
			return days, nil
		}
		days, err := sun(p)
		if err == nil {
			known[p] = days
		}
		return days, err
	}
}

// step is one size of one kind of change, kind all sizes, the smallest first.
type step struct {
	change Change
	apply  func(*System)
}

type kind struct {
	name  string
	steps []step
}

func (k kind) largest() step { return k.steps[len(k.steps)-1] }

type adviser struct {
	s       System
	e       Exposure
	counsel *Counsel
}

// mostAdvice bounds the list, so that it gets read.
const mostAdvice = 5

// combine goes through every choice of so many kinds.
func (a *adviser) combine(kinds []kind, together int, chosen []kind) error {
	if together == 0 {
		return a.smallest(chosen)
	}
	for i, k := range kinds {
		if len(a.counsel.Advice) >= mostAdvice {
			return nil
		}
		if err := a.combine(kinds[i+1:], together-1, append(slices.Clip(chosen), k)); err != nil {
			return err
		}
	}
	return nil
}

// smallest keeps the smallest steps of the chosen kinds that live together. The
// largest are tried first: what they do not mend, smaller ones do not either.
func (a *adviser) smallest(chosen []kind) error {
	steps := make([]step, len(chosen))
	for i, k := range chosen {
		steps[i] = k.largest()
	}
	lives, err := a.try(steps)
	if err != nil || lives == nil {
		return err
	}
	at := make([]int, len(chosen))
	for {
		for i, k := range chosen {
			steps[i] = k.steps[at[i]]
		}
		found, err := a.try(steps)
		if err != nil {
			return err
		}
		if found != nil {
			a.counsel.Advice = append(a.counsel.Advice, *found)
			return nil
		}
		i := len(at) - 1
		for ; i >= 0; i-- { // count on
			if at[i]++; at[i] < len(chosen[i].steps) {
				break
			}
			at[i] = 0
		}
		if i < 0 {
			return nil
		}
	}
}

// try makes the changes and surveys; nil means that it does not live.
func (a *adviser) try(steps []step) (*Advice, error) {
	advice, err := a.with(steps...)
	if err != nil {
		return nil, err
	}
	if better(advice.Result, a.counsel.Best) {
		a.counsel.Best = advice.Result
	}
	if advice.Result.Verdict != Lives {
		return nil, nil
	}
	return &advice, nil
}

// with makes the changes and surveys.
func (a *adviser) with(steps ...step) (advice Advice, err error) {
	advice.System = a.s.clone()
	for _, s := range steps {
		s.apply(&advice.System)
		advice.Changes = append(advice.Changes, s.change)
	}
	advice.Result, _, err = advice.System.surveyed(a.e)
	return advice, err
}

// againstFrost tells what each remedy against frost does alone.
func (a *adviser) againstFrost(opt AdviceOptions) error {
	for _, k := range []kind{a.warmerCells(), a.coldCells(), a.largerPanel(cmp.Or(opt.MaxPanelW, DefaultMaxPanelW))} {
		if len(k.steps) == 0 {
			continue
		}
		remedy, err := a.with(k.largest())
		if err != nil {
			return err
		}
		a.counsel.AgainstFrost = append(a.counsel.AgainstFrost, remedy)
	}
	return nil
}

// better compares by verdict, then by the balance of the poorest month.
func better(a, b Result) bool {
	if d := a.Verdict.rank() - b.Verdict.rank(); d != 0 {
		return d < 0
	}
	x, _ := a.Worst()
	y, _ := b.Worst()
	rx, _ := x.Ratio()
	ry, _ := y.Ratio()
	return rx > ry
}
