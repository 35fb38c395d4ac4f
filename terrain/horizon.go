package terrain

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// HorizonOptions says how [Horizon] looks round.
type HorizonOptions struct {
	// StepDeg is the angle between directions, 0.01 to 90, dividing 360 evenly.
	// 0 means 1.
	StepDeg float64
	// MaxM is how far the ground is looked at, metres, up to 1000 km. 0 means
	// 100 km, where ground must stand 2400 m above the eye to rise 1° over it.
	MaxM float64
	// HighestM is a height no ground round about exceeds, metres above the datum of the DEM. It
	// ends the search early, and it is what unknown ground may hide. 0 means not known: the search
	// ends where 9000 m would no longer rise above the skyline, and unknown ground is taken to be
	// no higher than the highest met.
	HighestM float64
	// KLight is the coefficient of refraction of light, -1 to 0.9: the rays bend
	// as if the earth's radius were R/(1-k). 0 means 0.13 (Gauss); for no
	// refraction give a value too small to matter, such as 1e-9.
	KLight float64
	// Rough, 1 to 100, gives a glance: samples stand so many times farther apart, and none is looked
	// at again, so that crests between them are missed. 0 and 1 mean all that Horizon promises.
	Rough float64
	// Obstacles are what stands nearer than the DEM can tell: trees, a house.
	Obstacles []Obstacle
}

// Obstacle hides the sky from level up to ElevDeg, 0 to 90 degrees, over the
// directions from FromDeg clockwise to ToDeg, both within ±360: 350 to 10 lies
// across north.
type Obstacle struct{ FromDeg, ToDeg, ElevDeg float64 }

const (
	defaultHorizonM = 100e3
	longestHorizonM = 1000e3
	kLight          = 0.13 // Gauss's coefficient of terrestrial refraction
)

// Horizon returns the skyline round a place, seen from heightM metres above its ground.
//
// Each direction is a geodesic along which the ground is looked at from a quarter of the post
// spacing on, in steps that grow with the distance s: s/300, but never above the spacing of the
// posts nor below a quarter of it, so that no ridge of the DEM is stepped over. Wherever ground of
// up to 45° beside a sample could stand above all others, it is looked at again in steps 256 times
// finer. Ground is left out only where it lies too far off to rise above the skyline even if it
// were as high as HighestM. Elevations are exact for a sphere of radius 6371 km / (1-k). Nearer
// than two or three posts, the ground of a DEM is a guess, and so is a skyline that stands there
// (DistM).
//
// Missing ground never counts as low ground: see MostDeg and Flag of [SkylineDirection]. A place
// whose own ground is not known gives an error, as do bad arguments, all of them at once, a DEM
// that cannot be read ([ErrRead]), and the end of ctx, within the time one direction takes.
func Horizon(ctx context.Context, dem DEM, at orb.Point, heightM float64, opt HorizonOptions) (Skyline, error) {
	if err := checkHorizonArguments(dem, at, heightM, opt); err != nil {
		return Skyline{}, err
	}
	opt = opt.withDefaults()
	dem, _ = GroundAndCover(dem)
	var ground [1]float64
	var flag [1]Flag
	if err := HeightsOf(dem, []orb.Point{at}, ground[:], flag[:]); err != nil {
		return Skyline{}, fmt.Errorf("horizon at %v: %w", at, err)
	}
	if !flag[0].Known() {
		return Skyline{}, fault.Input("terrain: horizon at %v: the height of its ground is not known (%v)", at, flag[0])
	}
	s := Skyline{At: at, EyeM: ground[0] + heightM, StepDeg: opt.StepDeg,
		Directions: make([]SkylineDirection, directionCount(opt.StepDeg))}
	w, err := newHorizonWalk(dem, at, s.EyeM, opt)
	if err != nil {
		return Skyline{}, err
	}
	w.highestM = ground[0]
	sights := make([]sight, len(s.Directions))
	for i := range sights {
		if err := ctx.Err(); err != nil {
			return Skyline{}, err
		}
		if err := w.look(opt.StepDeg*float64(i), &sights[i]); err != nil {
			return Skyline{}, fmt.Errorf("horizon at %v: %w", at, err)
		}
	}
	s.HighestM = max(opt.HighestM, w.highestM)
	for i := range sights {
		s.Directions[i] = w.direction(&sights[i], s.HighestM)
	}
	s.hide(opt.Obstacles)
	return s, nil
}

func (o HorizonOptions) withDefaults() HorizonOptions {
	o.StepDeg, o.MaxM, o.KLight = cmp.Or(o.StepDeg, 1), cmp.Or(o.MaxM, defaultHorizonM), cmp.Or(o.KLight, kLight)
	o.Rough = cmp.Or(o.Rough, 1)
	return o
}

// directionCount returns how many steps make a full turn, 0 if no whole number does.
func directionCount(stepDeg float64) int {
	n := math.Round(360 / stepDeg)
	if !(math.Abs(n*stepDeg-360) <= 1e-6) {
		return 0
	}
	return int(n)
}

// checkHorizonArguments returns every fault of the arguments of Horizon.
func checkHorizonArguments(dem DEM, at orb.Point, heightM float64, opt HorizonOptions) error {
	var errs []error
	add := func(err error) {
		if err != nil {
			errs = append(errs, fmt.Errorf("terrain: horizon: %w", err))
		}
	}
	if dem == nil {
		add(errNoDEM())
	}
	add(CheckPlace(at))
	add(fault.Range("height_m", heightM, 0, 10e3, "m above the ground"))
	if opt.StepDeg != 0 && (!(opt.StepDeg >= 0.01 && opt.StepDeg <= 90) || directionCount(opt.StepDeg) == 0) {
		add(fault.Found("step_deg", opt.StepDeg, "0.01° to 90° that divide 360° evenly, or 0 for 1°"))
	}
	if opt.MaxM != 0 && !(opt.MaxM > 0 && opt.MaxM <= longestHorizonM) {
		add(fault.Found("max_m", opt.MaxM, fmt.Sprintf("above 0 to %g m, or 0 for %g m", float64(longestHorizonM),
			float64(defaultHorizonM))))
	}
	if opt.HighestM != 0 && !(math.Abs(opt.HighestM) <= highestGroundM) {
		add(fault.Range("highest_m", opt.HighestM, -highestGroundM, highestGroundM, "m, or 0 if not known"))
	}
	if opt.Rough != 0 {
		add(fault.Range("rough", opt.Rough, 1, 100, "times, or 0 for 1"))
	}
	add(fault.Range("k_light", opt.KLight, -1, 0.9, fmt.Sprintf("or 0 for %g", kLight)))
	for i, o := range opt.Obstacles {
		if !(math.Abs(o.FromDeg) <= 360) || !(math.Abs(o.ToDeg) <= 360) || !(o.ElevDeg >= 0 && o.ElevDeg <= 90) {
			add(fault.Input("obstacle %d from %g° to %g°, %g° high: directions must be within ±360°, the height 0° to 90°", i,
				o.FromDeg, o.ToDeg, o.ElevDeg))
		}
	}
	return errors.Join(errs...)
}

// hide raises the skyline to the obstacles in every direction whose own step,
// half of it to either side, an obstacle touches.
func (s *Skyline) hide(obstacles []Obstacle) {
	for _, o := range obstacles {
		width := o.ToDeg - o.FromDeg
		if width < 0 || width > 360 {
			width = azimuth360(width)
		}
		for i := range s.Directions {
			d := &s.Directions[i]
			// How far clockwise of the obstacle's start, less half a step each way.
			past := azimuth360(s.StepDeg*float64(i) - o.FromDeg)
			touches := past < width+s.StepDeg/2 || past > 360-s.StepDeg/2
			if !touches || o.ElevDeg <= d.ElevDeg {
				continue
			}
			d.ElevDeg, d.DistM, d.Obstacle = o.ElevDeg, 0, true
			if d.MostDeg <= d.ElevDeg {
				d.MostDeg, d.Flag = d.ElevDeg, Ground
			}
		}
	}
}
