package coverage

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"
	"golang.org/x/sync/errgroup"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/timepercent"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// ErrPoleUnknown is behind the error of a pole on ground without a height.
var ErrPoleUnknown = errors.New("the ground under the pole is unknown")

// Sweep computes the path from a pole to a receiver in every cell of an area.
//
// The error tells every bad argument at once, a pole on unknown ground
// (ErrPoleUnknown), a raster that would not fit the memory, terrain that could
// not be read ([terrain.ErrRead]), the context's, or a panic of dem or Options.Progress in
// a worker (*fault.PanicError). Cells that cannot be judged are no error: see
// [State].
func Sweep(ctx context.Context, pole linkbudget.Station, at orb.Point, dem terrain.DEM, opt Options) (*Raster, error) {
	s, err := newSweep(ctx, pole, at, dem, opt)
	if err != nil {
		return nil, err
	}
	if err := s.run(ctx); err != nil {
		return nil, err
	}
	return s.raster, nil
}

// newSweep checks the arguments of Sweep and prepares all but the rays.
func newSweep(
	ctx context.Context, pole linkbudget.Station, at orb.Point, dem terrain.DEM, opt Options,
) (*sweep, error) {
	err := check(pole, at, dem, &opt)
	if opt.Environment.SurfaceRefractivity == 0 { // for all cells that of the pole
		opt.Environment.SurfaceRefractivity = radio.SurfaceRefractivity(at.Lat())
	}
	dem, cover := terrain.GroundAndCover(dem)
	here, coverErr := standingAt(ctx, cover, at)
	if err == nil && coverErr != nil {
		return nil, coverErr
	}
	planned := pole
	pole, opt.covered = pole.Beside(here, opt.Environment), cover != nil
	area, areaErr := linkbudget.NewArea(pole, opt.Receiver, opt.Environment)
	if err := errors.Join(err, areaErr); err != nil {
		return nil, err
	}
	extent := dem.Extent()
	at = besideMiddle(at, extent)
	groundM, err := ground(dem, at)
	if err != nil {
		return nil, err
	}
	w, err := newWindow(at, extent, opt)
	if err != nil {
		return nil, err
	}
	s := &sweep{window: w, rays: newBundle(w, at), opt: opt, raster: &Raster{
		Lattice: w.cells, At: at, RadiusM: opt.RadiusM, WantPercent: area.Env.WantPercent,
	}}
	s.raster.make(opt.WholePercent)
	if err := s.judge.prepare(area, groundM, opt); err != nil {
		return nil, err
	}
	if percent := area.Env.TimePercent; percent > 50 {
		s.judge.fades = timepercent.NewFadeTable(percent)
		s.judge.fadesOf = timepercent.FadesOf{FreqHz: area.Env.FreqHz, AHeightM: groundM + area.HeightAM, LatDeg: at.Lat()}
	}
	// A cell within the radius lies up to a post beside a ray, and a way along a parallel bulges.
	s.judge.set.reachM = opt.RadiusM + 2*metresPerDegree*max(w.StepLonDeg, w.StepLatDeg)
	s.judge.set.margin = 2 + bulgeM(opt.RadiusM, w.NorthDeg)/(metresPerDegree*w.StepLatDeg)
	cells := w.cells.Cols * w.cells.Rows
	if s.judge.excess, err = newExcess(ctx, area, min(opt.RadiusM, w.farM(at)), cells, opt.Workers); err != nil {
		return nil, err
	}
	s.judge.excess.tell(&s.judge.constants)
	if err := w.load(ctx, dem, opt.Workers); err != nil {
		return nil, err
	}
	if s.standings, err = newStandings(ctx, cover, w, at, planned, here, opt); err != nil {
		return nil, err
	}
	return s, s.darken(ctx)
}

// prepare fills in all that is the same for every cell.
func (j *judge) prepare(area linkbudget.Area, groundM float64, opt Options) error {
	env := area.Env
	*j = judge{
		rxM:     area.HeightBM,
		perWave: 2 / radio.WavelengthM(env.FreqHz),
		steady:  newDistTable(area),
		set: setting{
			groundM: groundM, antennaM: groundM + area.HeightAM,
			curve: 1 / (2 * radio.EffectiveRadiusM(env.K)), fillM: opt.FillVoidsM,
		},
		constants: newConstants(area, groundM+area.HeightAM),
	}
	var err error
	if j.gains[0], err = newGainTable(area.A.Antenna); err != nil {
		return err
	}
	if j.gains[1], err = newGainTable(area.B.Antenna); err != nil {
		return err
	}
	j.constants.gainA, j.constants.gainB = j.gains[0].even(), j.gains[1].even()
	j.directional = area.A.Antenna.Beam == antenna.BeamSector || area.B.Antenna.Beam == antenna.BeamSector
	return nil
}

// sweep is one run.
type sweep struct {
	*window
	rays   *bundle
	raster *Raster
	judge  judge
	opt    Options

	standings *standings // nil without a cover
	shadow    *shadow    // nil where every cell is judged
	tops      []float32  // highest ground of squares of posts, row by row; nil where cells or heights are of another kind
	level     []bool     // whether all ground of such a square is level
	topCols   int        // of squares
	lazy      bool       // whether all cells are in shadow from the start, and rays are laid out where one is not
}

// piece is a run of neighbouring rays of the highest level, each with all that it
// forks into.
type piece struct{ quadrant, from, to int }

// raysPerPiece, of level 0, are handed out at once.
const raysPerPiece = 64

func (s *sweep) pieces() []piece {
	var all []piece
	size := max(1, raysPerPiece>>s.rays.levels)
	for i, q := range quadrants {
		wide := float64(int(1) << s.rays.levels)
		last := int(math.Ceil(s.rays.half(q)/wide)) + 1
		for from := -last; from <= last; from += size {
			all = append(all, piece{i, from, min(from+size, last+1)})
		}
	}
	return all
}

// run shares the pieces out. Every cell belongs to one ray and depends on that
// alone, so the result does not depend on who does what.
func (s *sweep) run(ctx context.Context) error {
	all := s.pieces()
	var next, done atomic.Int64
	var progress sync.Mutex
	group, ctx := errgroup.WithContext(ctx)
	for range min(s.opt.Workers, len(all)) {
		group.Go(fault.Guarded(func() error {
			w := s.newWorker()
			for {
				i := int(next.Add(1)) - 1
				if i >= len(all) {
					return nil
				}
				if err := w.sweep(ctx, all[i]); err != nil {
					return fmt.Errorf("coverage: %w", err)
				}
				if s.opt.Progress != nil {
					func() {
						progress.Lock()
						defer progress.Unlock() // when it panics too
						s.opt.Progress(int(done.Add(1)), len(all))
					}()
				}
			}
		}))
	}
	if err := group.Wait(); err != nil {
		return err
	}
	s.foot()
	return nil
}

// foot marks the cell that the pole stands on, if it stands on one.
func (s *sweep) foot() {
	i, ok := s.raster.Index(s.rays.at)
	if !ok {
		return
	}
	p := s.raster.Post(i%s.raster.Cols, i/s.raster.Cols)
	if terrain.Inverse(s.rays.at, p).DistM < footM {
		s.raster.put(i, Foot)
	}
}

// footM is the distance below which there is no path to speak of.
const footM = 1.0
