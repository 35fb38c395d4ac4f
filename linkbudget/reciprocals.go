package linkbudget

import "math"

// reciprocal is 1/x and 1/√x of a distance, in any unit.
type reciprocal struct{ of, ofRoot float64 }

// reciprocals keeps the reciprocals of distances, so that points are compared by
// the slope q/x or the closeness q/√(xy) without a division for each.
type reciprocals struct {
	whole []reciprocal    // of 0, 1, 2, ...; the first is not used
	own   [2][]reciprocal // of the distances of a path with uneven steps
}

// of returns the reciprocals of the distances from A, by index, and of those
// from B, counted from B: in steps where they are even, else in metres.
func (r *reciprocals) of(distM []float64, even bool) (fromA, fromB []reciprocal) {
	n := len(distM)
	if even || evenSteps(distM) {
		for i := len(r.whole); i < n; i++ {
			x := float64(i)
			r.whole = append(r.whole, reciprocal{1 / x, 1 / math.Sqrt(x)})
		}
		return r.whole[:n], r.whole[:n]
	}
	for i := range r.own {
		if cap(r.own[i]) < n {
			r.own[i] = make([]reciprocal, n, n+n/4)
		}
	}
	fromA, fromB = r.own[0][:n], r.own[1][:n]
	last := n - 1
	for i := 1; i < last; i++ {
		x, y := distM[i], distM[last]-distM[i]
		fromA[i] = reciprocal{1 / x, 1 / math.Sqrt(x)}
		fromB[last-i] = reciprocal{1 / y, 1 / math.Sqrt(y)}
	}
	return fromA, fromB
}

// evenSteps reports whether distances rise in equal steps, but for rounding.
func evenSteps(distM []float64) bool {
	last := len(distM) - 1
	stepM, slackM := distM[last]/float64(last), 1e-12*distM[last]
	for i, x := range distM {
		if !(math.Abs(x-stepM*float64(i)) <= slackM) {
			return false
		}
	}
	return true
}
