package region

import (
	"image"
	"testing"
)

// However many poles there are and wherever they stand, a batch holds no more blocks than it may, and
// no pole is left out: 10,000 poles over a square of 60 blocks a side.
func TestBatchesAreBounded(t *testing.T) {
	const across = 60
	var all []reach
	for i := range 10_000 {
		at := image.Pt(i*7919%(across*side-700), i*104729%(across*side-500))
		all = append(all, reach{i, image.Rect(0, 0, 700, 500).Add(at)})
	}
	g := &Region{reach: all}
	g.order()
	b := batchRun{g: g, across: across, held: 96}
	batches, most, taken, written := 0, 0, 0, 0
	for rest := g.reach; len(rest) > 0; batches++ {
		n := b.batch(rest)
		if n < 1 {
			t.Fatal("a batch of no pole")
		}
		most, taken, rest = max(most, len(b.blocks)), taken+n, rest[n:]
		for _, number := range b.leaving(rest) {
			b.drop(number)
			written++
		}
	}
	if most > b.held || len(b.spare) > b.held || len(b.blocks) > 0 || taken != len(all) {
		t.Errorf("%d poles in %d batches of up to %d blocks, %d made, %d left, allowed %d", taken, batches, most,
			len(b.spare), len(b.blocks), b.held)
	}
	if written > 3*across*across {
		t.Errorf("%d blocks written of %d: neighbours do not follow each other", written, across*across)
	}
	t.Logf("%d batches, %d blocks written of %d", batches, written, across*across)
}
