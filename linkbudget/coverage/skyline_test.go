package coverage

import (
	"math"
	"math/rand/v2"
	"testing"
)

// What stands out of the flattened and of the bare ground is what a look at every point of
// the ground finds, to the rounding of single precision: from one receiver to the next along
// a ray, and on a copy, as where a ray forks. Slopes count in metres at what they lead to.
func TestHorizonAgainstEveryPoint(t *testing.T) {
	const (
		n         = 3000
		curve     = 1 / (2 * 8.495e6)
		roundingM = 0.03 // of distances up to 90 km, heights up to 900 m
	)
	short, long := 0, 0
	for _, name := range groundNames {
		rng := rand.New(rand.NewPCG(11, 4))
		x, h := makeGround(name, n, true, 2)
		antennaM := h[0] + 10
		var u, other skyline
		for i := range n {
			if i%97 == 96 { // goes on with a copy; what becomes of the first does not matter
				other.set(&u)
				u, other = other, u
				other.push(x[i], 5e3, 5e3, i)
				other.horizon(x[i]+90, 0, 0, antennaM, curve)
			}
			u.push(x[i], h[i]-curve*x[i]*x[i], h[i]-antennaM, i)
			if i < 3 {
				continue
			}
			px, rise := x[i]+90+30*rng.Float64(), h[i]+60*(rng.Float64()-0.5)-antennaM
			got := u.horizon(px, rise, rise/px, antennaM, curve)
			want := horizonOfAll(x[:i+1], h[:i+1], px, rise, antennaM, curve)
			if got != got || float64(got.at) > x[i] {
				t.Fatalf("%s, %d points: %+v", name, i+1, got)
			}
			// The point named must stand as high as the one wanted.
			k := min(max(int(math.Round(float64(got.at)/30))-1, 0), i)
			named := (h[k]-antennaM-rise)/(px-x[k]) + curve*x[k]
			if math.Abs(x[k]-float64(got.at)) > 0.02 || (want.flat-named)*(px-x[k]) > roundingM ||
				math.Abs(float64(got.flat)-want.flat)*(px-x[k]) > roundingM {
				t.Fatalf("%s, %d points: flattened slope %.8f at %.2f, the steepest is %.8f", name, i+1, got.flat, got.at,
					want.flat)
			}
			lowM := max((want.bare-float64(got.bare))*(px-want.bareAt), want.over-float64(got.over))
			highM := max((float64(got.bare)-want.bare)*(px-want.bareAt), float64(got.over)-want.over)
			if highM > roundingM {
				t.Fatalf("%s, %d points: %.3f m more than any point stands out: %+v of %+v", name, i+1, highM, got, want)
			}
			if lowM > roundingM {
				t.Fatalf("%s, %d points, %d on the hull: %.3f m less than stands out: %+v of %+v",
					name, i+1, len(u.points), lowM, got, want)
			}
			if len(u.points) <= mostScanned {
				short++
			} else {
				long++
			}
		}
	}
	if short < 1000 || long < 1000 {
		t.Errorf("%d short hulls and %d long ones: too few", short, long)
	}
}

// allHorizon is a horizon in double precision.
type allHorizon struct{ flat, bare, bareAt, over float64 }

// horizonOfAll looks at every point of the ground.
func horizonOfAll(x, h []float64, px, rise, antennaM, curve float64) allHorizon {
	w := allHorizon{flat: math.Inf(-1), bare: math.Inf(-1), over: math.Inf(-1)}
	for k := range x {
		back := (h[k] - antennaM - rise) / (px - x[k])
		w.flat = max(w.flat, back+curve*x[k])
		if back > w.bare {
			w.bare, w.bareAt = back, x[k]
		}
		w.over = max(w.over, h[k]-antennaM-x[k]*rise/px)
	}
	return w
}

// What was pushed before, and what a hull held before it was set to another, does not
// count.
func TestHorizonForgetsWhatIsGone(t *testing.T) {
	var u, other skyline
	for i := range 40 { // a bowl: all points stay
		x := 30 * float64(i+1)
		u.push(x, 1000+x*x*1e-3, 1000+x*x*1e-3, i)
	}
	other.push(30, -8, -8, 0)
	other.push(60, -9, -9, 1)
	other.push(90, -12, -12, 2)
	want := other.horizon(200, -3, -3.0/200, 0, 1e-7)
	u.set(&other)
	if got := u.horizon(200, -3, -3.0/200, 0, 1e-7); got != want {
		t.Errorf("a hull set to another has %+v, the other %+v", got, want)
	}
	u.reset()
	u.push(30, -8, -8, 0)
	if got := u.horizon(60, -8, 0, 0, 0); got.over != -8 || got.at != 30 || got.bare != 0 {
		t.Errorf("a hull of one point 8 m below the antenna, seen from the same height: %+v", got)
	}
}
