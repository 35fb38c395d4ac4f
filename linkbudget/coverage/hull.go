package coverage

// hull is the upper hull of the points seen so far along a ray, for every
// length of the ray at once: before[i] is the point before i on the hull of the
// points 0 to i. To follow it back from i is to walk that hull from its end,
// also long after further points were added.
//
// far[i] skips ahead on the same walk, so that a search takes a logarithmic
// number of steps however many points a smooth ground leaves on the hull
// (E. Myers, An applicative random-access stack, 1983).
type hull struct {
	before, far, depth []int32
}

func newHull(capacity int) hull {
	return hull{make([]int32, capacity), make([]int32, capacity), make([]int32, capacity)}
}

// push adds point i, the farthest so far.
func (u *hull) push(x, y []float32, i int32) {
	if i == 0 {
		u.before[0], u.far[0], u.depth[0] = -1, 0, 0
		return
	}
	j := u.tangent(x, y, i-1, float64(x[i]), float64(y[i]))
	u.before[i] = j
	u.depth[i] = u.depth[j] + 1
	if f := u.far[j]; u.depth[j]-u.depth[f] == u.depth[f]-u.depth[u.far[f]] {
		u.far[i] = u.far[f]
	} else {
		u.far[i] = j
	}
}

// tangent returns the point of the hull of points 0 to last that stands highest
// as seen from (px, py), px beyond them all: the largest (y - py)/(px - x). The
// slope rises along the walk up to that point and falls after it.
func (u *hull) tangent(x, y []float32, last int32, px, py float64) int32 {
	j := last
	rise, run := float64(y[j])-py, px-float64(x[j])
	for steps := 0; ; steps++ {
		k := u.before[j]
		if k < 0 {
			return j
		}
		r, n := float64(y[k])-py, px-float64(x[k])
		if r*run <= rise*n {
			return j
		}
		j, rise, run = k, r, n
		if steps >= nearSteps {
			if j = u.skip(j, func(k, b int32) bool {
				return (float64(y[b])-py)*(px-float64(x[k])) > (float64(y[k])-py)*(px-float64(x[b]))
			}); j != k {
				rise, run = float64(y[j])-py, px-float64(x[j])
			}
		}
	}
}

// nearSteps are walked before a search skips ahead: nearly all end before.
const nearSteps = 8

// skip goes back along the hull as far as far pointers lead while further is
// still better: better(k, b) says so of point k and the one before it, b.
func (u *hull) skip(j int32, better func(k, b int32) bool) int32 {
	for {
		k := u.far[j]
		b := u.before[k]
		if k == j || b < 0 || !better(k, b) {
			return j
		}
		j = k
	}
}

// support returns the point of the hull of points 0 to last with the largest
// y - slope*x.
func (u *hull) support(x, y []float32, last int32, slope float64) int32 {
	over := func(j int32) float64 { return float64(y[j]) - slope*float64(x[j]) }
	j := last
	at := over(j)
	for steps := 0; ; steps++ {
		k := u.before[j]
		if k < 0 {
			return j
		}
		next := over(k)
		if next <= at {
			return j
		}
		j, at = k, next
		if steps >= nearSteps {
			j = u.skip(j, func(k, b int32) bool { return over(b) > over(k) })
			at = over(j)
		}
	}
}
