package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// How far the sweep may differ from linkbudget.Evaluate over the ground that it sampled
// itself.
const (
	// The aim. Found up to 0.0004 dB, with the table of a town's clutter 0.003 dB.
	sameDB = 0.01

	// What the smooth earth adds beyond its horizon comes from tables, see
	// TestBeyondTheHorizonAgainstTheFunction.
	tableDB = 0.026

	// Of the effective antenna heights over the smooth earth. Found up to 0.0005 m.
	sameM = 0.005

	// Found up to 0.05 dB: for a cell beside its ray the slopes of the far ground are those
	// at the ray, which is nearer to the pole, or farther, by up to half the way to the next.
	besideDB = 0.06

	// The chance of 95 % of the cells of a ground. Found 0.0004, over plains 0.012.
	sameChance = 0.015
)

// The Go code of the sweep, which the vectors are bit-equal to, against linkbudget.Evaluate
// over the very same samples: the loss and the margin of cells on rays and beside them, at
// random places of the whole area, before and after the rays forked.
//
// One thing differs: the Bullington edge of the smooth earth may lie at any distance in the
// sweep, in Evaluate at a sample only, which is up to 0.13 dB less of it. So what the smooth
// earth adds is compared with DeltaBullington over a bare sphere with a point every 2000th of
// the path, and is then taken from Evaluate for the sum.
func TestSweepIsEvaluateOverItsOwnSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	kinds := map[string]int{}
	for _, g := range comparedGrounds {
		t.Run(g.name, func(t *testing.T) {
			dem := g.dem(t)
			var chances []float64
			for _, receiverM := range []float64{2, 10} {
				for polarisation := range 3 {
					e := ends(receiverM, polarisation)
					s := sweepWithoutTable(t, &e, g.at, dem, g.radiusM)
					c := comparison{t: t, s: s, ends: &e, kinds: kinds, rng: rand.New(rand.NewPCG(2, uint64(polarisation)))}
					c.compare(300)
					chances = append(chances, c.chances...)
				}
			}
			slices.Sort(chances)
			n := len(chances)
			t.Logf("chance of %d cells: median %.4f, 95 %% %.4f, worst %.4f", n, chances[n/2], chances[n*95/100], chances[n-1])
			if !(chances[n*95/100] <= sameChance) {
				t.Errorf("95 %% of the chances differ by up to %.4f, allowed %g", chances[n*95/100], sameChance)
			}
		})
	}
	t.Log(kinds)
	for kind, least := range map[string]int{
		"on a ray": 5000, "beside a ray": 3000, "in sight": 1000, "behind an obstacle": 1000,
		"smooth earth tells": 1000, "beyond the horizon": 200, "troposcatter tells": 200,
	} {
		if kinds[kind] < least {
			t.Errorf("only %d cells %s, want %d", kinds[kind], kind, least)
		}
	}
}

// sweepWithoutTable has the smooth earth's part within its horizon from the function.
func sweepWithoutTable(t *testing.T, e *pathEnds, at orb.Point, dem terrain.DEM, radiusM float64) *sweep {
	t.Helper()
	s, err := newSweep(context.Background(), e.pole, at, dem,
		Options{RadiusM: radiusM, Receiver: e.receiver, Environment: e.env})
	if err != nil {
		t.Fatal(err)
	}
	s.judge.excess.value = nil
	s.judge.excess.tell(&s.judge.constants)
	return s
}

// comparison compares cells of one sweep.
type comparison struct {
	t     *testing.T
	s     *sweep
	ends  *pathEnds
	kinds map[string]int
	rng   *rand.Rand

	chances []float64 // how far apart both are
}

// compare takes about so many samples, and a cell beside each that has one.
func (e *comparison) compare(about int) {
	w, all := e.s.newWorker(), 0
	w.forSamples(func(*crossings, int) { all++ })
	var onRay, beside differences
	w.forSamples(func(c *crossings, i int) {
		r := w.ray
		if e.rng.IntN(all) >= about || r.dist[i] > e.s.opt.RadiusM {
			return
		}
		e.kinds["on a ray"]++
		e.note(&onRay, w.pathAt(e.t, e.ends, c, i, r.cross[i], r.h[i]))
		if x := float64(r.low[i]); r.low[i] < r.high[i] && c.onLine[i] {
			if h := c.height(&c.samples[i], x); h == h {
				e.kinds["beside a ray"]++
				e.note(&beside, w.pathAt(e.t, e.ends, c, i, x, h))
			}
		}
	})
	a, b := &e.ends.pole, &e.ends.receiver
	e.t.Logf("receiver at %g m, %v and %v, %g MHz: on rays %+.5f; beside them %+.5f",
		b.HeightM, a.Polarisation, b.Polarisation, e.ends.env.FreqHz/1e6, onRay, beside)
	if !(max(onRay.lossDB, onRay.marginDB, onRay.edgeDB) <= sameDB) {
		e.t.Errorf("cells on rays differ by up to %+.4f, allowed %g dB", onRay, sameDB)
	}
	if !(onRay.heightM <= sameM) {
		e.t.Errorf("effective heights differ by up to %.4f m, allowed %g", onRay.heightM, sameM)
	}
	if !(max(onRay.withinDB, beside.withinDB) <= sameDB && max(onRay.beyondDB, beside.beyondDB) <= tableDB) {
		e.t.Errorf("the smooth earth differs by up to %+.4f on rays, %+.4f beside them, allowed %g and %g dB",
			onRay, beside, sameDB, tableDB)
	}
	if !(max(beside.lossDB, beside.marginDB) <= besideDB) {
		e.t.Errorf("cells beside rays differ by up to %+.4f, allowed %g dB", beside, besideDB)
	}
}

// differences are the largest of some cells: of loss, margin and Bullington's loss, of
// effective heights, of what the smooth earth adds within its horizon and beyond, from the
// fine sphere, and, of that, from Evaluate.
type differences struct{ lossDB, marginDB, edgeDB, heightM, withinDB, beyondDB, evaluateDB float64 }

// keep makes most the larger one; NaN stays.
func keep(most *float64, a, b float64) { *most = max(*most, math.Abs(a-b)) }

// note takes a cell in.
func (e *comparison) note(most *differences, p *sampledPath) {
	r, l := &p.evaluate, p.sweep
	d := &r.Diffraction
	keep(&most.heightM, max(float64(l.hA[0]), 0.1), d.EffectiveAM)
	keep(&most.heightM, max(float64(l.hB[0]), 0.1), d.EffectiveBM)
	excessDB, found := float64(d.LossDB-d.BullingtonDB), float64(l.excess[0])
	horizon := &most.withinDB
	if k := &e.s.judge.constants; l.d[0]*k.rootCurve[0] >= root(l.hA[0])+root(l.hB[0]) {
		horizon = &most.beyondDB
		e.kinds["beyond the horizon"]++
	}
	keep(horizon, found, e.fineSphere(p))
	keep(&most.evaluateDB, found, excessDB)
	l.excess[0] = float32(excessDB)
	e.s.judge.constants.verdict(&l, 0)
	keep(&most.lossDB, float64(l.loss[0]), float64(r.LossDB))
	keep(&most.marginDB, float64(l.margin[0]), float64(r.MarginDB))
	e.chances = append(e.chances, math.Abs(float64(l.probability[0])-r.Probability))
	keep(&most.edgeDB, float64(edgeLoss(l.nu[0], lengthDB(l.d[0]))), float64(d.BullingtonDB))
	e.kinds[map[bool]string{true: "in sight", false: "behind an obstacle"}[d.LineOfSight]]++
	if excessDB > 0 {
		e.kinds["smooth earth tells"]++
	}
	if slices.ContainsFunc(r.Terms, func(t linkbudget.Term) bool { return t.Name == "troposcatter" }) {
		e.kinds["troposcatter tells"]++
	}
}

// fineSphere is what the smooth earth adds under the antennas of a path, by DeltaBullington
// over a bare sphere, from the last sample before either end.
func (e *comparison) fineSphere(p *sampledPath) float64 {
	const parts = 2000
	l, area := &p.sweep, e.s.judge.excess.area
	d, n := float64(l.d[0]), len(p.profile.DistM)
	clearM := min(d-p.profile.DistM[n-2], d/2)
	path := diffraction.Path{
		DistM: []float64{0}, GroundM: make([]float64, parts+3), AHeightM: max(float64(l.hA[0]), 0.1),
		BHeightM:         max(float64(l.hB[0]), 0.1),
		EffectiveRadiusM: radio.EffectiveRadiusM(area.Env.K), FreqHz: area.Env.FreqHz, Polarisation: area.Polarisation,
	}
	for k := range parts + 1 {
		path.DistM = append(path.DistM, clearM+(d-2*clearM)*float64(k)/parts)
	}
	path.DistM = append(path.DistM, d)
	var relief diffraction.Relief
	var sphere diffraction.Loss
	relief.Gather(&path, diffraction.TerrainError{})
	relief.DeltaBullington(&sphere, &path)
	return max(float64(sphere.SphericalDB-sphere.BullingtonDB), 0)
}
