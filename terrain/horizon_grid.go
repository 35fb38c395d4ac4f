package terrain

import "github.com/paulmach/orb"

// gather reads the heights of many places from one grid in two passes, first where each place lies,
// then the posts, so that the processor has many reads under way at once: over a grid far larger
// than its caches, waiting for them is what a walk spends its time on.
type gather struct {
	post []int // of the north-western of four posts
	u, v []float64
}

func newGather(longest int) gather {
	return gather{make([]int, longest), make([]float64, longest), make([]float64, longest)}
}

// heights writes the heights at all places, or reports false if one of them lies
// outside or needs a void: then the answer is that of Grid.Heights.
func (s *gather) heights(g *Grid, at []orb.Point, heightM []float64) bool {
	n := len(at)
	post, u, v, heightM := s.post[:n], s.u[:n], s.v[:n], heightM[:n]
	perLon, perLat := 1/g.StepLonDeg, 1/g.StepLatDeg
	lastCol, lastRow := float64(g.Cols-1), float64(g.Rows-1)
	for k, p := range at {
		x, y := (p[0]-g.WestDeg)*perLon, (g.NorthDeg-p[1])*perLat
		if !(x >= 0 && x < lastCol && y >= 0 && y < lastRow) {
			return false
		}
		col, row := int(x), int(y)
		post[k], u[k], v[k] = row*g.Cols+col, x-float64(col), y-float64(row)
	}
	h, cols := g.HeightM, g.Cols
	sum := 0.0
	for k, i := range post {
		upper, lower := h[i:i+2], h[i+cols:i+cols+2]
		a, b := float64(upper[0]), float64(lower[0])
		a += u[k] * (float64(upper[1]) - a)
		b += u[k] * (float64(lower[1]) - b)
		z := a + v[k]*(b-a)
		heightM[k] = z
		sum += z
	}
	return finite(sum) // one void is enough to poison it
}
