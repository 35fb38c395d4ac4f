package linkbudget

import (
	"errors"
	"fmt"
	"sync"

	"github.com/polereach/polereach/terrain"
)

// Evaluator evaluates many paths through one environment, one after the other:
// what the environment alone decides is done once, and memory is kept. It is
// not safe for concurrent use; each goroutine has its own.
type Evaluator struct {
	env       Environment
	work      workspace
	waterfall Waterfall // for Delivery, once asked
}

// NewEvaluator checks the environment; the error lists every fault at once.
func NewEvaluator(env Environment) (*Evaluator, error) {
	if err := env.Validate(); err != nil {
		return nil, err
	}
	return &Evaluator{env: env}, nil
}

// Evaluate makes r what the function [Evaluate] returns for the path. It writes
// over the slices that r has, where they are long enough; r holds on to no memory
// of the Evaluator. After an error r is empty. The error is that of Evaluate.
func (e *Evaluator) Evaluate(r *Result, p *terrain.Profile, a, b *Station) error {
	if err := errors.Join(p.Validate(), a.Validate(), b.Validate(), e.env.Contradictions(*a, *b)); err != nil {
		*r = Result{}
		return err
	}
	err := e.work.evaluate(r, p, a, b, &e.env)
	e.work.release()
	return err
}

// Delivery is Result.Delivery for a result of this Evaluator.
func (e *Evaluator) Delivery(r *Result) (float64, error) {
	if e.waterfall == (Waterfall{}) {
		var err error
		if e.waterfall, err = e.env.packetError().Waterfall(); err != nil {
			return 0, fmt.Errorf("packet delivery: %w", err)
		}
	}
	return Delivery(e.waterfall.PER, r.Weaker().SNRDB, e.env.Fading), nil
}

// workspace is the scratch memory of an evaluation. No Result holds on to it.
type workspace struct {
	ground relief
	// terrainSource is the source of the terrain's doubt for terrainSigmaM.
	terrainSource string
	terrainSigmaM float64
}

// workspaces serve Evaluate.
var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// release lets go of the profile.
func (w *workspace) release() { w.ground.distM, w.ground.clutterM = nil, nil }

// sourceOfTerrain puts the text together once per model error.
func (w *workspace) sourceOfTerrain(sigmaM float64) string {
	if w.terrainSource == "" || w.terrainSigmaM != sigmaM {
		w.terrainSigmaM = sigmaM
		w.terrainSource = fmt.Sprintf("ground shifted by the terrain model's error of %g m", sigmaM)
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
	const terms, doubt, items, noise = 3, 4, 6, 2
	piece := make([]Term, terms+doubt+2*(items+noise))
	cut := func(n int) []Term {
		part := piece[:0:n]
		piece = piece[n:]
		return part
	}
	m.terms, m.doubt = cut(terms), cut(doubt)
	m.forward, m.backward = directionMemory{cut(items), cut(noise)}, directionMemory{cut(items), cut(noise)}
}
