package coverage

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// BenchmarkLanes is the arithmetic of 64 cells, most of them behind an obstacle.
func BenchmarkLanes(b *testing.B) {
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	area, err := linkbudget.NewArea(linkbudget.DefaultStation("a", 6), linkbudget.DefaultStation("b", 2), env)
	if err != nil {
		b.Fatal(err)
	}
	var j judge
	if err := j.prepare(area, 100, Options{}); err != nil {
		b.Fatal(err)
	}
	x, err := newExcess(context.Background(), area, 90e3, cellsForATable, 1)
	if err != nil {
		b.Fatal(err)
	}
	x.tell(&j.constants)
	var l lanes
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range lanesAtOnce {
		d := 5e3 + 40e3*rng.Float64()
		l.d[i], l.rise[i], l.steady2[i] = float32(d), float32(100*rng.Float64()), 4
		l.farA[i], l.farB[i], l.farX[i], l.farR[i] = 0.001+0.01*rng.Float32(), 0.01*rng.Float32(), float32(d/3), float32(d/4)
		l.smooth[i], l.hA[i], l.hB[i] = 1, 6+50*rng.Float32(), 2+20*rng.Float32()
		for m := range nearSamples {
			l.nearH[m][i], l.nearR[m][i] = -10*rng.Float32(), 30*float32(nearSamples-m)
		}
	}
	for name, f := range map[string]func(*lanes, int){"edges": j.constants.edges, "smooth earth": j.constants.smoothEarths,
		"verdicts": j.constants.verdicts} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				f(&l, lanesAtOnce)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/lanesAtOnce, "ns/cell")
		})
	}
}
