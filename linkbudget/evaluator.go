package linkbudget

import (
	"errors"
	"fmt"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Evaluator evaluates many paths through one environment, one after the other:
// what the environment alone decides is done once, and memory is kept. It is
// not safe for concurrent use; each goroutine has its own.
type Evaluator struct {
	env       Environment
	work      workspace
	profile   terrain.Profile // the last sampled
	waterfall Waterfall       // for Delivery, once asked
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

// Evaluate makes r what the function [Evaluate] returns for the path. It writes
// over the slices that r has, where they are long enough; r holds on to no memory
// of the Evaluator. After an error r is empty. The error is that of Evaluate.
func (e *Evaluator) Evaluate(r *Result, p *terrain.Profile, a, b *Station) error {
	if err := errors.Join(p.Validate(), a.Validate(), b.Validate(), e.env.Contradictions(*a, *b)); err != nil {
		*r = Result{}
		return err
	}
	e.work.evaluate(r, p, a, b)
	e.work.release()
	return nil
}

// Prepare makes p the station prepared for Survey of this Evaluator. The station
// must stay as it is as long as p is used. The error lists every fault of it, and
// what contradicts the environment.
func (e *Evaluator) Prepare(p *PreparedStation, s *Station) error {
	if err := errors.Join(s.Validate(), e.env.Contradictions(*s)); err != nil {
		return err
	}
	p.prepare(s, &e.env)
	return nil
}

// Survey samples the ground from atA to atB as [terrain.Profile.Sample] does, and
// makes f the figures that Evaluate finds for it. Stations are prepared by this
// Evaluator. The error is that of Sample or of Delivery; after one f is empty.
func (e *Evaluator) Survey(f *Brief, dem terrain.DEM, atA, atB orb.Point, opt terrain.ProfileOptions, a, b *PreparedStation) error {
	*f = Brief{}
	if err := e.profile.Sample(dem, atA, atB, opt); err != nil {
		return err
	}
	e.work.evaluation.brief(f, &e.profile, a, b, e.work.prepared.conditions(e.profile.LengthM()))
	if f.Verdict == Unknown {
		return nil
	}
	var err error
	if f.Delivery, err = e.delivery(f.Weaker().SNRDB); err != nil {
		*f = Brief{}
	}
	return err
}

// Explain makes r what Evaluate returns for the path that Survey looked at last,
// whose figures are f. It writes over r and the memory of its slices. Nothing may
// have been evaluated in between.
func (e *Evaluator) Explain(r *Result, f *Brief) { e.work.explain(r, f) }

// Profile is the ground that Survey sampled last, until it samples again.
func (e *Evaluator) Profile() *terrain.Profile { return &e.profile }

// Delivery is Result.Delivery for a result of this Evaluator.
func (e *Evaluator) Delivery(r *Result) (float64, error) { return e.delivery(r.Weaker().SNRDB) }

func (e *Evaluator) delivery(snr DB) (float64, error) {
	if e.waterfall == (Waterfall{}) {
		var err error
		if e.waterfall, err = e.env.packetError().Waterfall(); err != nil {
			return 0, fmt.Errorf("packet delivery: %w", err)
		}
	}
	if e.env.Fading.Kind == FadingNone && e.waterfall.surely(snr) {
		return 1, nil
	}
	return Delivery(e.waterfall.PER, snr, e.env.Fading), nil
}

// workspace is the scratch memory of an evaluation. No Result holds on to it.
type workspace struct {
	evaluation
	prepared preparedEnvironment
	ends     [2]PreparedStation
	given    givenPath // to Evaluate
	// terrainSource is the source of the terrain's doubt for terrainSigmaM.
	terrainSource string
	terrainSigmaM float64
}

// givenPath is a path given by value.
type givenPath struct {
	profile terrain.Profile
	a, b    Station
}

// workspaces serve Evaluate.
var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// release lets go of the profile and the stations.
func (w *workspace) release() {
	w.evaluation.path = path{}
	w.ends, w.given = [2]PreparedStation{}, givenPath{}
	w.ground.distM, w.ground.groundM, w.ground.clutterM = nil, nil, nil
}

// sourceOfTerrain puts the text together once per model error.
func (w *workspace) sourceOfTerrain(sigmaM float64) string {
	if w.terrainSource == "" || w.terrainSigmaM != sigmaM {
		w.terrainSigmaM = sigmaM
		w.terrainSource = fmt.Sprintf("ground off by the terrain model's error of %g m, against both antennas", sigmaM)
	}
	return w.terrainSource
}

// resultMemory is where the lists of a Result go.
type resultMemory struct {
	terms, doubt      []Term
	forward, backward directionMemory
}

type directionMemory struct{ items, noise []Term }

// memory returns the lists a Result has, emptied.
func (r *Result) memory() resultMemory {
	return resultMemory{
		terms: r.Terms[:0], doubt: r.Doubt.Items[:0],
		forward:  directionMemory{r.Forward.Items[:0], r.Forward.Noise[:0]},
		backward: directionMemory{r.Backward.Items[:0], r.Backward.Noise[:0]},
	}
}

// make fills in what is not there: lists cut from one piece, long enough for
// what is usual.
func (m *resultMemory) make() {
	if m.terms != nil {
		return
	}
	const terms, doubt, items, noise = 5, 6, 8, 2
	piece := make([]Term, terms+doubt+2*(items+noise))
	cut := func(n int) []Term {
		part := piece[:0:n]
		piece = piece[n:]
		return part
	}
	m.terms, m.doubt = cut(terms), cut(doubt)
	m.forward, m.backward = directionMemory{cut(items), cut(noise)}, directionMemory{cut(items), cut(noise)}
}
