package sun

import (
	"slices"
	"sync"
)

// Arcs keeps the ways of the sun over the sky between calls for sites of one latitude, such as places in
// a row of a raster; the answers are the same. The zero Arcs is ready, and safe for concurrent use.
type Arcs struct {
	mu   sync.RWMutex
	kept map[arcKey]*arc
}

// arcKey is all that an arc under a free sky depends on.
type arcKey struct {
	method    method
	latDeg, n float64
	panel     Panel
}

// mostArcs are kept at once: 10 kB each.
const mostArcs = 1000

// of is newArc.
func (k *Arcs) of(m method, latDeg, n float64, over *sky, view float64, p Panel) arc {
	if k == nil {
		return newArc(m, latDeg, n, over, view, p)
	}
	key := arcKey{m, latDeg, n, p}
	k.mu.RLock()
	free := k.kept[key]
	k.mu.RUnlock()
	if free == nil {
		a := newArc(m, latDeg, n, over, view, p)
		k.mu.Lock()
		defer k.mu.Unlock()
		if len(k.kept) >= mostArcs || k.kept == nil {
			k.kept = map[arcKey]*arc{}
		}
		k.kept[key] = &a
		return a
	}
	a := *free
	a.steps, a.view = slices.Clone(a.steps), view
	for i := range a.steps {
		a.steps[i].look(over)
	}
	return a
}
