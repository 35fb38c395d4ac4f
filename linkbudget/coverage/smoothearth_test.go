package coverage

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/radio"
)

// The closed form beyond the horizon against linkbudget's own function, over
// 20,000 random paths of three frequencies. Tolerance: the two branches of the height
// gain of P.1812-6 eq 34 differ by 0.017 dB where they meet, which a table takes in
// one step, and three tables of straight lines add 0.003 dB each.
func TestBeyondTheHorizonAgainstTheFunction(t *testing.T) {
	for name, env := range map[string]linkbudget.Environment{
		"868 MHz":      {FreqHz: 868e6},
		"433 MHz, k 1": {FreqHz: 433e6, K: 1},
		"2.4 GHz, k 2": {FreqHz: 2.4e9, K: 2},
	} {
		env.Modem = linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}
		area, err := linkbudget.NewArea(linkbudget.DefaultStation("a", 6), linkbudget.DefaultStation("b", 2), env)
		if err != nil {
			t.Fatal(err)
		}
		s, exact := newConstants(area, 0), excess{area: area}
		exact.tell(&s)
		rng := rand.New(rand.NewPCG(2, 9))
		random := func(from, to float64) float64 { return from * math.Pow(to/from, rng.Float64()) }
		worst, told := 0.0, 0
		for range 20_000 {
			d, a, b := random(1e3, MaxRadiusM), random(0.2, 4000), random(0.2, 4000)
			l := lanes{d: row{float32(d)}, hA: row{float32(a)}, hB: row{float32(b)}, smooth: row{1}}
			s.smoothEarths(&l, 1)
			got, ok := float64(l.excess[0]), l.within[0] == 0
			horizonM := math.Sqrt(2*radio.EffectiveRadiusM(area.Env.K)) * (math.Sqrt(a) + math.Sqrt(b))
			if ok && d < horizonM*(1-1e-6) || !ok && d > horizonM*(1+1e-6) && d > 4e3 {
				t.Fatalf("%s: %.0f m, %.2f and %.2f m, horizon %.0f m: told %v", name, d, a, b, horizonM, ok)
			}
			if !ok {
				continue
			}
			told++
			off := math.Abs(got - max(exact.exact(d, a, b, 1), 0))
			if !(off <= 0.017+3*0.003) {
				t.Errorf("%s: %.0f m, %.2f and %.2f m: %.3f dB, off by %.4f", name, d, a, b, got, off)
			}
			worst = math.Max(worst, off)
		}
		t.Logf("%s: %d paths, largest difference %.4f dB", name, told, worst)
		if told < 3000 {
			t.Errorf("%s: only %d paths beyond the horizon", name, told)
		}
	}
}

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
	s := newConstants(area, 0)
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
