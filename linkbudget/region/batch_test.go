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
	b := batchRun{g: g, across: across}
	batches, most, taken := 0, 0, 0
	for rest := g.reach; len(rest) > 0; batches++ {
		n := b.batch(rest)
		if n < 1 {
			t.Fatal("a batch of no pole")
		}
		for _, one := range b.blocks {
			b.spare = append(b.spare, one)
		}
		most, taken, rest = max(most, len(b.blocks)), taken+n, rest[n:]
	}
	if most > blocksHeld || len(b.spare) > 2*blocksHeld || taken != len(all) {
		t.Errorf("%d poles in %d batches of up to %d blocks, %d made, allowed %d", taken, batches, most, len(b.spare),
			blocksHeld)
	}
	if batches > len(all)/20 {
		t.Errorf("%d batches of 10,000 poles: neighbours do not follow each other", batches)
	}
}
