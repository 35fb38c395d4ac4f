package linkbudget

import (
	"errors"
	"fmt"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Evaluator evaluates many paths through one environment, one after the other:
// what the environment alone decides is done once, and memory is kept. It is
// not safe for concurrent use; each goroutine has its own. The zero Evaluator refuses all.
type Evaluator struct {
	env       Environment
	work      workspace
	profile   terrain.Profile    // the last sampled
	along     terrain.CoverAlong // its cover
	waterfall lora.Waterfall     // once asked
}

// NewEvaluator checks the environment; the error lists every fault at once.
func NewEvaluator(env Environment) (*Evaluator, error) {
	if err := env.Validate(); err != nil {
		return nil, err
	}
	e := &Evaluator{env: env}
	e.work.prepared.prepare(&env)
	return e, nil
}

// Prepare makes p the station prepared for Survey of this Evaluator. The station
// must stay as it is as long as p is used. The error lists every fault of it, and
// what contradicts the environment.
func (e *Evaluator) Prepare(p *PreparedStation, s *Station) error {
	if !e.work.prepared.ready {
		return errNoEvaluator()
	}
	if p == nil || s == nil {
		return fault.Input("prepare: no station given, or nowhere to put it")
	}
	if err := errors.Join(s.Validate(), e.env.Contradictions(*s)); err != nil {
		return err
	}
	p.prepare(s, &e.env)
	return nil
}

// Survey samples the ground from atA to atB as [terrain.Profile.Sample] does, and
// makes f the figures that [Evaluate] finds for it. Stations are prepared by this
// Evaluator. The error is that of Sample or of [Environment.Delivery]; after one f is empty.
func (e *Evaluator) Survey(f *Brief, dem terrain.DEM, atA, atB orb.Point, opt terrain.ProfileOptions, a,
	b *PreparedStation) error {
	if !e.work.prepared.ready {
		return errNoEvaluator()
	}
	if f == nil || a == nil || b == nil || a.station == nil || b.station == nil {
		return fault.Input("survey: no figures to fill in, or a station that Prepare has not prepared")
	}
	*f = Brief{}
	ground, cover := terrain.GroundAndCover(dem)
	on := &e.work.evaluation.on
	on.along = nil
	if err := e.profile.Sample(ground, atA, atB, opt); err != nil {
		return err
	}
	if cover != nil {
		if err := e.along.Begin(&e.profile, cover); err != nil {
			return err
		}
		on.along, on.mostM = &e.along, mostStandsM(cover, e.env.Cover)
	}
	e.work.evaluation.brief(f, &e.profile, a, b, e.work.prepared.conditions(e.profile.LengthM()))
	if err := on.failed(); err != nil {
		*f = Brief{}
		return err
	}
	if f.Verdict == Unknown {
		return nil
	}
	var err error
	if f.Delivery, err = e.delivery(f.Weaker().SNRDB); err != nil {
		*f = Brief{}
	}
	return err
}

// Explain returns what [Evaluate] returns for the path that Survey looked at last,
// whose figures are f; the zero Result before it has looked at any.
func (e *Evaluator) Explain(f *Brief) Result {
	if f == nil || e.work.evaluation.profile == nil {
		return Result{}
	}
	if on := &e.work.evaluation.on; f.Verdict == Unknown {
		on.read(0, len(e.profile.DistM))
	} else {
		on.complete(&e.env, &e.work.evaluation.ground)
	}
	return e.work.explain(f)
}

func errNoEvaluator() error { return fault.Input("an Evaluator that NewEvaluator has not made") }

// Profile is the ground that Survey sampled last, until it samples again. Of a cover that cannot be read any
// more it holds what was read.
func (e *Evaluator) Profile() *terrain.Profile {
	e.work.evaluation.on.read(0, len(e.profile.DistM))
	return &e.profile
}

func (e *Evaluator) delivery(snr DB) (float64, error) {
	if e.waterfall == (lora.Waterfall{}) {
		var err error
		if e.waterfall, err = e.env.packetError().Waterfall(); err != nil {
			return 0, fmt.Errorf("packet delivery: %w", err)
		}
	}
	if e.env.Fading.Kind == fading.None && e.waterfall.Surely(snr) {
		return 1, nil
	}
	return fading.Delivery(e.waterfall.PER, snr, e.env.Fading), nil
}

// workspace is the scratch memory of an evaluation. No Result holds on to it.
type workspace struct {
	evaluation
	prepared preparedEnvironment
	ends     [2]PreparedStation
}

// workspaces serve Evaluate.
var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// release lets go of the profile and the stations, for the next path.
func (w *workspace) release() {
	w.evaluation.path = path{}
	w.ends = [2]PreparedStation{}
	w.ground.Release()
	workspaces.Put(w)
}
