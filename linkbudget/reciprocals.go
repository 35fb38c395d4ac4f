package linkbudget

import "math"

// reciprocals keeps the reciprocals of distances, so that points are compared by
// the slope q/x or the closeness q/√(xy) without a division for each.
type reciprocals struct {
	whole reciprocalsOf    // of 0, 1, 2, ...; the first is not used
	own   [2]reciprocalsOf // of the distances of a path with uneven steps
}

// reciprocalsOf are 1/x and 1/√x of distances, in any unit.
type reciprocalsOf struct{ of, ofRoot []float64 }

func (r *reciprocalsOf) add(x float64) {
	r.of, r.ofRoot = append(r.of, 1/x), append(r.ofRoot, 1/math.Sqrt(x))
}

// of returns the reciprocals of the distances from A, by index, and of those
// from B, counted from B, in a unit: steps where they are even, else metres. There may
// be more of them than distances.
func (r *reciprocals) of(distM []float64, even bool) (fromA, fromB *reciprocalsOf, unitM float64) {
	n := len(distM)
	if even || evenSteps(distM) {
		for i := len(r.whole.of); i < n; i++ {
			r.whole.add(float64(i))
		}
		return &r.whole, &r.whole, distM[n-1] / float64(n-1)
	}
	last := n - 1
	for i := range r.own {
		own := &r.own[i]
		own.of, own.ofRoot = own.of[:0], own.ofRoot[:0]
		for k := range n {
			if i == 0 {
				own.add(distM[k])
			} else {
				own.add(distM[last] - distM[last-k])
			}
		}
	}
	return &r.own[0], &r.own[1], 1
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
