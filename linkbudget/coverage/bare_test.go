package coverage

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What stands out of the bare ground is found on the hull of the flattened one: never
// more than a look at every point finds, and nearly always as much, from one receiver to
// the next along a ray. Slopes count in metres at the receiver's horizon.
func TestBareGroundOnTheFlattenedHull(t *testing.T) {
	const n = 3000
	const c = 1 / (2 * 8.495e6)
	for _, name := range groundNames {
		rng := rand.New(rand.NewPCG(11, 4))
		x, h := makeGround(name, n, true, 2)
		var u hull
		exact, all, worstM := 0, 0, 0.0
		for i := range n {
			u.push(x[i], h[i]-c*x[i]*x[i], i)
			if i < 3 {
				continue
			}
			px, top := x[i]+90+30*rng.Float64(), h[i]+60*(rng.Float64()-0.5)
			u.tangent(px, top-c*px*px)
			slope := (top - h[0] - 10) / px
			tangent, highest, at := math.Inf(-1), math.Inf(-1), 0
			for k := range i + 1 {
				if s := (h[k] - top) / (px - x[k]); s > tangent {
					tangent, at = s, k
				}
				highest = max(highest, h[k]-slope*x[k])
			}
			gotT, gotH := u.bareTangent(px, top, c), u.bareHighest(slope, c)
			if gotT > tangent+1e-9 || gotH > highest+1e-6 || gotT != gotT || gotH != gotH {
				t.Fatalf("%s, %d points: slope %g of %g, height %g of %g", name, i+1, gotT, tangent, gotH, highest)
			}
			lowM := max((tangent-gotT)*(px-x[at]), highest-gotH)
			worstM = max(worstM, lowM)
			if all++; lowM < 1e-6 {
				exact++
			}
		}
		t.Logf("%s: %d of %d found, at most %.2f m too low", name, exact, all, worstM)
		if exact < all*95/100 {
			t.Errorf("%s: only %d of %d found", name, exact, all)
		}
	}
}
