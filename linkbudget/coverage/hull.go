package coverage

// hull is the upper hull of the points added so far, nearest to the pole first.
type hull struct{ points []hullPoint }

type hullPoint struct {
	x, y float64
	i    int // number of the sample
}

// push adds point i, the farthest so far, and returns its place on the hull.
func (u *hull) push(x, y float64, i int) (at int) {
	p := u.points
	n := len(p)
	for n >= 2 {
		a, b := &p[n-2], &p[n-1]
		if (b.y-a.y)*(x-a.x) > (y-a.y)*(b.x-a.x) {
			break
		}
		n--
	}
	if n == cap(p) {
		p = append(p[:n], hullPoint{})
	}
	p = p[:n+1]
	q := &p[n]
	q.x, q.y, q.i = x, y, i
	u.points = p
	return n
}

// summit goes uphill along the hull from point k, or from the last one, to where no
// neighbour is higher.
func (u *hull) summit(k int, height func(*hullPoint) float64) (top int, at float64) {
	k = min(k, len(u.points)-1)
	higher := func(a, b *hullPoint) bool { return height(b) > height(a) }
	if top = u.gallop(k, -1, higher); top == k {
		top = u.gallop(k, 1, higher)
	}
	return top, height(&u.points[top])
}

// gallop goes on from point k in a direction while the next point is better,
// which it is up to the best one and never after: with doubled steps, then by
// halving. better(a, b) says so of b against its neighbour a.
func (u *hull) gallop(k, direction int, better func(a, b *hullPoint) bool) int {
	p := u.points
	uphill := func(k int) bool { // from k on
		next := k + direction
		return next >= 0 && next < len(p) && better(&p[k], &p[next])
	}
	step := 1
	for uphill(k) {
		next := k + direction*step
		if next < 0 || next >= len(p) || !uphill(next-direction) {
			break
		}
		k = next
		step *= 2
	}
	// The best one lies from k up to the next step.
	low, high := 0, len(p)-1-k
	if direction < 0 {
		high = k
	}
	high = min(high, step)
	for low < high {
		mid := (low + high) / 2
		if uphill(k + direction*mid) {
			low = mid + 1
		} else {
			high = mid
		}
	}
	return k + direction*low
}
