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
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// standings are what stands at the posts of a window, and what that makes of the ends.
type standings struct {
	kinds   []uint16 // by post, see kind
	pole    terrain.Standing
	layered bool       // the terrain may hold it already
	through []float32  // loss through woods, see throughM
	knife   curveTable // loss over their rims, see newKnife
	edge    curveTable // see newEdges
	// The receiver beside each of the kinds that there are, and which of them beside a kind.
	receivers []ending
	around    []uint16
	nearPole  []uint16 // what stands within aroundM of the pole, every metre
	inTrees   [2]bool  // the pole and the receiver stand lower than trees, if there are any
	own       [2]bool  // what is stated of them counts those trees, however high
	openDB    [2]float32
	// What open country costs at the pole, see linkbudget.Area.OpenDB.
	poleOpenDB float64
	rimDB      [2]float32 // the least that the way over a rim costs
	// The antennas above ground, and the trees at the pole.
	poleM, rxM, poleTopM float64
}

// ending is what stands around a receiver of one kind.
type ending struct {
	liftM            float64 // of the path over the antenna
	clutter, steady2 float64 // where those do not depend on the distance
	openDB           float64 // see linkbudget.Area.OpenDB
	steady           distTable
}

// kind is what stands at a post: the class, and how far that rises above the ground in steps of 1/kindSteps m.
type kind uint16

const kindSteps = 16

func newKind(s terrain.Standing) kind {
	return kind(s.Class) | kind(min(linkbudget.StandsM(s, clutter.Unstated), terrain.MostStandingM)*kindSteps+0.5)<<3
}

func (k kind) wood() bool { return k.class() == terrain.CoverWood }

func houses(c terrain.CoverClass) bool { return c.Stands() && c != terrain.CoverWood }

// stands reports whether it is higher than the ground.
func (k kind) stands() bool { return k >= 8 }

func (k kind) class() terrain.CoverClass { return terrain.CoverClass(k & 7) }

func (k kind) heightM() float32 { return float32(k>>3) * (1.0 / kindSteps) }

// standingAt is what stands at the pole; nothing without a cover. A cover that answers for lattices is asked
// for one of a single post, for which it reads the least.
func standingAt(ctx context.Context, cover terrain.Cover, at orb.Point) (terrain.Standing, error) {
	out, number := make([]terrain.Standing, 1), [1]uint16{}
	var err error
	switch c := cover.(type) {
	case nil:
	case terrain.LatticeCover:
		here := terrain.Lattice{WestDeg: at[0], NorthDeg: at[1], StepLonDeg: 1, StepLatDeg: 1, Cols: 1, Rows: 1}
		err = c.StandingOn(ctx, here, 1, func(s terrain.Standing) uint16 {
			out = append(out, s)
			return uint16(len(out) - 1)
		}, number[:])
	default:
		err = c.Standing([]orb.Point{at}, out)
	}
	if err != nil {
		return terrain.Standing{}, fmt.Errorf("coverage: cover at the pole: %w", err)
	}
	return out[number[0]], nil
}

// newStandings reads the cover at all posts; nil without one. The pole is that of the plan.
func newStandings(ctx context.Context, cover terrain.Cover, w *window, at orb.Point, pole linkbudget.Station,
	here terrain.Standing, opt Options) (*standings, error) {
	if cover == nil {
		return nil, nil
	}
	env := opt.Environment
	s := &standings{kinds: make([]uint16, (w.Rows-1)*w.stride+w.Cols), layered: !env.BareEarth,
		pole: here, poleM: pole.HeightM, rxM: opt.Receiver.HeightM,
		poleTopM: linkbudget.StandsM(here, clutter.Unstated)}
	s.through, s.knife, s.edge = newThrough(env.FreqHz), newKnife(), newEdges(opt.RadiusM)
	for i, end := range [2]linkbudget.Station{pole, opt.Receiver} {
		s.own[i] = end.Surroundings.WoodM > 0 || end.Surroundings.Inside == clutter.Wood
		s.inTrees[i] = s.own[i] || !end.Surroundings.Stated() && !(i == 0 && houses(here.Class))
		s.openDB[i] = float32(clutter.Terminal{Clutter: clutter.Open, HeightM: end.HeightM, FreqHz: env.FreqHz}.Loss())
		s.rimDB[i] = max(s.knife.value[0]-s.openDB[i], 0)
	}
	if err := s.lookAround(ctx, cover, at, opt.Workers); err != nil {
		return nil, err
	}
	if err := kindsOn(ctx, cover, w.Lattice, w.stride, s.kinds, opt.Workers); err != nil {
		return nil, err
	}
	return s, s.endings(w, pole.Beside(here, env), opt)
}

// kindsOn takes what stands at the posts of a lattice from the cover: at once, or row by row.
func kindsOn(ctx context.Context, cover terrain.Cover, on terrain.Lattice, stride int, out []uint16,
	workers int) error {
	if c, ok := cover.(terrain.LatticeCover); ok {
		if err := c.StandingOn(ctx, on, stride, func(at terrain.Standing) uint16 { return uint16(newKind(at)) },
			out); err != nil {
			return fmt.Errorf("coverage: %w", err)
		}
		return nil
	}
	var next atomic.Int64
	group, ctx := errgroup.WithContext(ctx)
	for range min(workers, on.Rows) {
		group.Go(fault.Guarded(func() error {
			at, found := make([]orb.Point, on.Cols), make([]terrain.Standing, on.Cols)
			for {
				row := int(next.Add(1)) - 1
				if row >= on.Rows || ctx.Err() != nil {
					return ctx.Err()
				}
				for c := range at {
					at[c] = on.Post(c, row)
				}
				if err := cover.Standing(at, found); err != nil {
					return fmt.Errorf("coverage: %w", err)
				}
				for c, standing := range found {
					out[row*stride+c] = uint16(newKind(standing))
				}
			}
		}))
	}
	return group.Wait()
}

// nearSide is that of the square around the pole, in metres, of which is known what stands at every one.
const nearSide = 2*clearM + 1

// lookAround fills that square in, with the rows and columns of a lattice.
func (s *standings) lookAround(ctx context.Context, cover terrain.Cover, at orb.Point, workers int) error {
	lonM, latM := terrain.DegreeSizesM(at[1])
	s.nearPole = make([]uint16, nearSide*nearSide)
	return kindsOn(ctx, cover, terrain.Lattice{WestDeg: at[0] - clearM/lonM, NorthDeg: at[1] + clearM/latM,
		StepLonDeg: 1 / lonM, StepLatDeg: 1 / latM, Cols: nearSide, Rows: nearSide}, nearSide, s.nearPole, workers)
}

// woodFromM is how far from the pole trees begin that are higher than it, at an azimuth: clearM where none do
// before.
func (s *standings) woodFromM(azimuthDeg float64) float64 {
	sin, cos := math.Sincos(azimuthDeg * math.Pi / 180)
	for m := 1.0; m < clearM; m++ {
		k := kind(s.nearPole[int(clearM-m*cos+0.5)*nearSide+int(clearM+m*sin+0.5)])
		if k.wood() && (s.own[0] || float64(k.heightM()) > s.poleM) {
			return m - 0.5
		}
	}
	return clearM
}

// endings works out what stands around receivers where they may be.
func (s *standings) endings(w *window, pole linkbudget.Station, opt Options) error {
	var are [1 << 16]bool
	for row := range w.Rows {
		for _, k := range s.kinds[row*w.stride:][:w.Cols] {
			are[k] = true
		}
	}
	number := map[linkbudget.Surroundings]uint16{}
	s.around = make([]uint16, len(are))
	for k, is := range are {
		if !is {
			continue
		}
		at := terrain.Standing{Class: kind(k).class(), HeightM: kind(k).heightM()}
		rx := opt.Receiver.Beside(at, opt.Environment)
		n, ok := number[rx.Surroundings]
		if !ok {
			area, err := linkbudget.NewArea(pole, rx, opt.Environment)
			if err != nil {
				return err
			}
			t, open := newDistTable(area), area.OpenDB()
			n = uint16(len(s.receivers))
			s.poleOpenDB = float64(open[0])
			s.receivers = append(s.receivers, ending{area.HeightBM - opt.Receiver.ReckonedM(opt.Environment),
				t.clutter[0], t.squares[0], float64(open[1]), t})
			number[rx.Surroundings] = n
		}
		s.around[k] = n
	}
	return nil
}

// ending is that of a receiver beside what stands at its post.
func (s *standings) ending(k kind) *ending { return &s.receivers[s.around[k]] }

func (s *standings) at(post int) kind { return kind(s.kinds[post]) }

// inWood reports whether a receiver stands lower than the trees at its post.
func (s *standings) inWood(k kind) bool {
	return s.inTrees[1] && k.wood() && (s.own[1] || s.rxM < float64(k.heightM()))
}

// beside is what stands at the post next to a sample of a ray, nothing beside the window.
func (s *standings) beside(c *crossings, t *crossing, cross float64) kind {
	x := cross + 0.5
	if t.near < 0 || !(x >= 0) || x >= float64(c.width) {
		return 0
	}
	return s.at(t.near + int(x)*c.across)
}

// share is how far a wood that begins nearM before an end counts as one around it.
func (s *standings) share(end int, nearM float64) float64 {
	if s.own[end] {
		return 1
	}
	return 1 - nearM/clearM
}

// throughDB is the loss through a wood, by a table; nothing for one that begins behind a cell.
func (s *standings) throughDB(depthM float32) float32 {
	at, last := max(depthM, 0)*(1.0/throughM), len(s.through)-2
	if !(at < float32(last)) {
		at = float32(last)
	}
	n := int32(at)
	return between(s.through, n, at-float32(n))
}

// The table of woods has an entry every throughM, up to where no more is lost.
const (
	throughM       = 4
	throughEntries = 400
)

func newThrough(freqHz float64) (t []float32) {
	for n := range throughEntries {
		t = append(t, float32(clutter.Woodland{DepthM: float64(n * throughM), FreqHz: freqHz}.Nearest()))
	}
	return t
}

// newKnife is J(ν) of ITU-R P.526-15 eq (31) over the square of ν: above it more than the way through any wood.
func newKnife() curveTable {
	t := newCurveTable(1.0/(1<<14), 1<<20, func(nu2 float64) float64 {
		return float64(diffraction.KnifeEdge(math.Sqrt(nu2)))
	})
	t.value[0] = float32(diffraction.KnifeEdge(0))
	return t
}
