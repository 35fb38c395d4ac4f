package linkbudget_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/check"
	"github.com/polereach/polereach/terrain"
)

// Two antennas on both sides of a valley of 60 m, in one wood: each path out of it leads through the tops,
// where the ray stands level with them. By hand, P.526-15 eq (31) gives J(0) = 6.9 + 20 log(sqrt(1.01) - 0.1) =
// 6.03 dB, in the place of open country's (P.2108-1 eq (2b), 21.561 log(10/h)) 2.09 dB at 8 m and 4.78 dB at 6 m.
// It costs as much from either side.
func TestOneWoodAcrossAValley(t *testing.T) {
	g := level()
	for i := range g.HeightM {
		x := (float64(i%g.Cols) - 36) / 65 // 0 to 1 along the 2 km
		g.HeightM[i] -= float32(60 * math.Sin(math.Pi*min(max(x, 0), 1)))
	}
	dem := terrain.WithCover(g, stripe{-5000, 9000, 0})
	from, to := orb.Point{10, 0}, terrain.Destination(orb.Point{10, 0}, 90, 2000)
	env := environment()
	env.BareEarth = true
	one, other := linkbudget.DefaultStation("one", 8), linkbudget.DefaultStation("other", 6)
	there, back := bothWays(t, dem, from, to, one, other, env)
	for _, r := range []linkbudget.Result{there, back} {
		check.Near(t, "wood at 8 m", term(r, "wood at one"), 3.94, 0.02)
		check.Near(t, "wood at 6 m", term(r, "wood at other"), 1.25, 0.02)
		if assumed := r.Assumed(); len(assumed.Ends) > 0 {
			t.Errorf("assumed where a wood is known: %v", assumed)
		}
	}
	check.Near(t, "turned round", float64(back.LossDB), float64(there.LossDB), 0.01)
}

// An antenna at 12 m stands in a wood of 20 m, however low the trees are where the wood ends.
func TestWoodIsAsHighAsAtTheAntenna(t *testing.T) {
	env := environment()
	env.BareEarth = true
	var loss []float64
	for _, rimM := range []float32{13, 11} {
		p := wooded(t, 4000, stripes{{-5000, 400, 20}, {400, 700, rimM}})
		r, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 12), linkbudget.DefaultStation("b", 40), env)
		if err != nil {
			t.Fatal(err)
		}
		if term(r, "wood at a") == 0 || term(r, "woods between") != 0 {
			t.Errorf("rim of %v m: %v", rimM, r.Terms)
		}
		loss = append(loss, float64(r.LossDB))
	}
	check.Near(t, "a rim of 11 m after one of 13 m", loss[1], loss[0], 1)
}
