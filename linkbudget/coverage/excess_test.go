package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

// The table of a large sweep against the function it stands for, at 20,000
// random distances and effective heights of its own range.
func TestExcessTableAgainstTheFunction(t *testing.T) {
	station := linkbudget.DefaultStation("a", 6)
	area, err := linkbudget.NewArea(station, linkbudget.DefaultStation("b", 2),
		linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}})
	if err != nil {
		t.Fatal(err)
	}
	const radiusM = 60e3
	table, err := newExcess(context.Background(), area, radiusM, 100e6, 2)
	if err != nil {
		t.Fatal(err)
	}
	if table.value == nil {
		t.Fatal("no table for a hundred million cells")
	}
	s := newScene(area, 0)
	table.tell(&s)
	rng := rand.New(rand.NewPCG(1, 7))
	random := func(from, to float64) float64 { return from * math.Pow(to/from, rng.Float64()) }
	worst := 0.0
	for range 20_000 {
		d, a, b := random(2*tableFromM, radiusM), random(6, 500), random(2, 500)
		want := math.Max(table.exact(d, a, b, tableFromM/2), 0)
		l := lanes{d: row{float32(d)}, hA: row{float32(a)}, hB: row{float32(b)}, smooth: row{1}}
		s.smoothEarths(&l, 1)
		if l.within[0] != 0 {
			t.Fatalf("%.0f m, %.2f and %.2f m: not in the table", d, a, b)
		}
		off := math.Abs(float64(l.excess[0]) - want)
		if !(off <= 0.2) { // as stated at excess
			t.Errorf("%.0f m, %.2f and %.2f m: off by %.3f dB", d, a, b, off)
		}
		worst = math.Max(worst, off)
	}
	t.Logf("largest difference %.3f dB", worst)
}
