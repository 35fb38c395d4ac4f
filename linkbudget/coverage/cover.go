package coverage

import (
	"context"
	"fmt"
	"math"
	"sync/atomic"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// standings are what stands at the posts of a window, and what that makes of the ends.
type standings struct {
	heightM []float32 // above the ground, by post
	class   []terrain.CoverClass
	pole    terrain.Standing
	layered bool      // the terrain may hold it already
	through []float32 // loss through woods, see throughM
	// The receiver beside houses of each class and height in steps of topStepM; the first of a class is of
	// its own height. Of what the plan says more there is only the first.
	around  [terrain.CoverDenseUrban + 1][]ending
	inTrees [2]bool // the pole and the receiver stand lower than trees, if there are any
	openDB  [2]float32
	// The antennas above ground, and the trees at the pole.
	poleM, rxM, poleTopM float64
}

// ending is what stands around a receiver of one kind.
type ending struct {
	liftM  float64 // of the path over the antenna
	steady distTable
}

const (
	topStepM = 5
	topSteps = clutter.MaxTopM / topStepM
)

// standingAt is what stands at the pole; nothing without a cover.
func standingAt(cover terrain.Cover, at orb.Point) (s terrain.Standing, err error) {
	if cover == nil {
		return s, nil
	}
	var out [1]terrain.Standing
	if err := cover.Standing([]orb.Point{at}, out[:]); err != nil {
		return s, fmt.Errorf("coverage: cover at the pole: %w", err)
	}
	return out[0], nil
}

// newStandings reads the cover at all posts; nil without one. The pole is that as it stands beside
// what the cover says.
func newStandings(ctx context.Context, cover terrain.Cover, w *window, pole linkbudget.Station, here terrain.Standing,
	opt Options) (*standings, error) {
	if cover == nil {
		return nil, nil
	}
	env := opt.Environment
	s := &standings{heightM: make([]float32, len(w.h)), class: make([]terrain.CoverClass, len(w.h)),
		layered: !env.BareEarth,
		pole:    here, poleM: pole.HeightM, rxM: opt.Receiver.HeightM,
		poleTopM: linkbudget.StandsM(here, clutter.Unstated)}
	for n := range throughEntries {
		s.through = append(s.through, float32(clutter.Woodland{DepthM: float64(n * throughM),
			FreqHz: env.FreqHz}.Nearest()))
	}
	for i, end := range [2]linkbudget.Station{pole, opt.Receiver} {
		s.inTrees[i] = !end.Surroundings.Stated() || end.Surroundings.Inside == clutter.Open && env.TownPercent != 0
		s.openDB[i] = float32(clutter.Terminal{Clutter: clutter.Open, HeightM: end.HeightM, FreqHz: env.FreqHz}.Loss())
	}
	if err := s.endings(pole, opt); err != nil {
		return nil, err
	}
	return s, s.read(ctx, cover, w, opt.Workers)
}

// read takes what stands from the cover, row by row.
func (s *standings) read(ctx context.Context, cover terrain.Cover, w *window, workers int) error {
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, w.Rows) {
		group.Go(fault.Guarded(func() error {
			at, out := make([]orb.Point, w.Cols), make([]terrain.Standing, w.Cols)
			for {
				row := int(next.Add(1)) - 1
				if row >= w.Rows || ctx.Err() != nil {
					return ctx.Err()
				}
				for c := range at {
					at[c] = w.Post(c, row)
				}
				if err := cover.Standing(at, out); err != nil {
					return fmt.Errorf("coverage: %w", err)
				}
				for c, standing := range out {
					i := row*w.stride + c
					s.class[i], s.heightM[i] = standing.Class, float32(linkbudget.StandsM(standing, clutter.Unstated))
				}
			}
		}))
	}
	return group.Wait()
}

// endings works out what stands around receivers.
func (s *standings) endings(pole linkbudget.Station, opt Options) error {
	for class := range s.around {
		steps := 0
		if terrain.CoverClass(class).Stands() && terrain.CoverClass(class) != terrain.CoverWood &&
			!opt.Receiver.Surroundings.Stated() {
			steps = topSteps
		}
		for step := range steps + 1 {
			at := terrain.Standing{Class: terrain.CoverClass(class), HeightM: float32(step * topStepM)}
			rx := opt.Receiver.Beside(at, opt.Environment)
			area, err := linkbudget.NewArea(pole, rx, opt.Environment)
			if err != nil {
				return err
			}
			s.around[class] = append(s.around[class], ending{area.HeightBM - opt.Receiver.ReckonedM(opt.Environment),
				newDistTable(area)})
		}
	}
	return nil
}

// ending is that of a post.
func (s *standings) ending(post int) *ending {
	list := s.around[s.class[post]]
	if len(list) == 1 {
		return &list[0]
	}
	return &list[min(int(s.heightM[post]/topStepM+0.5), topSteps)]
}

// inWood reports whether a receiver at a post stands lower than the trees there.
func (s *standings) inWood(post int) bool {
	return s.inTrees[1] && s.class[post] == terrain.CoverWood && s.rxM < float64(s.heightM[post])
}

// nearestPost is the post next to a sample of a ray, -1 beside the window.
func (c *crossings) nearestPost(t *crossing, cross float64) int {
	line, x := t.line, int(math.Floor(cross+0.5))
	if t.part > 0.5 {
		line += c.sign
	}
	if line < 0 || line >= c.lines || x < 0 || x >= c.width {
		return -1
	}
	return line*c.along + x*c.across
}
