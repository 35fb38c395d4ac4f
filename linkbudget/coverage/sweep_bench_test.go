package coverage_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

// BenchmarkSweep reports the time for a cell, which must not grow with the
// number of cells but by a logarithm.
func BenchmarkSweep(b *testing.B) {
	for _, n := range []int{600, 1200, 3601, -600, -3601} {
		name, whole := fmt.Sprintf("%dx%d", n, n), n < 0
		if n = max(n, -n); whole {
			name = fmt.Sprintf("%dx%d whole per cents", n, n)
		}
		b.Run(name, func(b *testing.B) {
			g := mountains(n)
			pole, rx := linkbudget.DefaultStation("pole", 10), linkbudget.DefaultStation("receiver", 2)
			area := g.Extent().Bound
			opt := coverage.Options{RadiusM: 90e3, Area: &area, Receiver: rx, Environment: env, WholePercent: whole}
			b.ReportAllocs()
			for b.Loop() {
				r, err := coverage.Sweep(context.Background(), pole, middle(g), g, opt)
				if err != nil {
					b.Fatal(err)
				}
				if r.Cols*r.Rows != n*n {
					b.Fatalf("%d cells, want %d", r.Cols*r.Rows, n*n)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n*n), "ns/cell")
		})
	}
}

// BenchmarkSweepOverSea is a sweep from an island: long hulls, long gaps in hulls, and
// most cells in sight.
func BenchmarkSweepOverSea(b *testing.B) {
	g := mountains(1200)
	for i, h := range g.HeightM {
		g.HeightM[i] = max(h-1000, 0)
	}
	at := middle(g)
	col, row := int((at[0]-g.WestDeg)/g.StepLonDeg), int((g.NorthDeg-at[1])/g.StepLatDeg)
	for r := row - 10; r <= row+10; r++ {
		for c := col - 10; c <= col+10; c++ {
			g.HeightM[r*g.Cols+c] = 60
		}
	}
	pole, rx := linkbudget.DefaultStation("pole", 10), linkbudget.DefaultStation("receiver", 2)
	area := g.Extent().Bound
	for b.Loop() {
		if _, err := coverage.Sweep(context.Background(), pole, at, g,
			coverage.Options{RadiusM: 90e3, Area: &area, Receiver: rx, Environment: env}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSinglePaths is the exact evaluation of cells of the same area.
func BenchmarkSinglePaths(b *testing.B) {
	g := mountains(3601)
	pole, rx := linkbudget.DefaultStation("pole", 10), linkbudget.DefaultStation("receiver", 2)
	at := middle(g)
	i := 0
	for b.Loop() {
		i = (i + 7919*3601 + 104729) % (3601 * 3601)
		p, err := terrain.NewProfile(g, at, g.Post(i%3601, i/3601), terrain.ProfileOptions{})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := linkbudget.Evaluate(p, pole, rx, env); err != nil {
			b.Fatal(err)
		}
	}
}
