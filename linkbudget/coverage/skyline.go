package coverage

// skyline is what may stand highest as seen from a receiver, of the samples carried so far:
// the hull of the flattened ground.
// What stands out of the bare ground is a point of that hull, too, as flattening only bends
// lines down.
type skyline struct {
	hull
	bare     bareGround
	straight hull // of the bare ground: those of the first points of the hull
	joined   int  // so many

	flatAt, backAt, overAt int // where the last searches ended
}

// push adds point i, the farthest so far, whose bare ground is overM above the pole's
// antenna.
func (u *skyline) push(x, y, overM float64, i int) {
	at := u.hull.push(x, y, i)
	u.bare.put(at, x, overM)
	u.joined = min(u.joined, at)
}

// set makes u a copy of the other.
func (u *skyline) set(other *skyline) {
	points, bare, straight := append(u.points[:0], other.points...), u.bare,
		append(u.straight.points[:0], other.straight.points...)
	bare.set(&other.bare, len(points))
	*u = *other
	u.points, u.bare, u.straight.points = points, bare, straight
}

func (u *skyline) reset() {
	*u = skyline{hull: hull{u.points[:0]}, bare: u.bare, straight: hull{u.straight.points[:0]}}
}

// horizon is what stands highest as seen from a receiver.
type horizon struct {
	flat float32 // the largest slope back to a point of the flattened ground, less the receiver's own drop over the path
	// the distance of that point from the pole; of equals the farthest, where all points are looked at
	at   float32
	bare float32 // the largest slope back to the bare ground
	over float32 // the most that bare ground stands over the straight line between the antennas, m
}

// bareGround is the ground of a hull's points, not flattened: their distances from the
// pole and their heights over its antenna, m.
type bareGround struct{ dist, overM []float32 }

// put keeps the ground of point n, and room for a whole vector from it on.
func (g *bareGround) put(n int, distM, overM float64) {
	if n+len(vector{}) > len(g.dist) {
		g.grow(n + 1)
	}
	g.dist[n], g.overM[n] = float32(distM), float32(overM)
}

// grow makes room for n points and a vector behind them.
func (g *bareGround) grow(n int) {
	n += n/2 + len(vector{})
	g.dist = append(g.dist, make([]float32, n-len(g.dist))...)
	g.overM = append(g.overM, make([]float32, n-len(g.overM))...)
}

// set makes g a copy of the first n points of the other.
func (g *bareGround) set(other *bareGround, n int) {
	if n+len(vector{}) > len(g.dist) {
		g.grow(n)
	}
	copy(g.dist, other.dist[:n])
	copy(g.overM, other.overM[:n])
}

// mostScanned is up to how many points all are looked at.
const mostScanned = 128

// horizon finds it for a receiver at the distance distM, riseM above the pole's antenna at
// antennaM; slope is that of the straight line between both, without the earth's curve.
func (u *skyline) horizon(distM, riseM, slope, antennaM, curve float64) horizon {
	if n := len(u.points); n <= mostScanned {
		return u.bare.horizon(n, receiver{float32(distM), float32(riseM), float32(slope), float32(curve)})
	}
	return u.search(distM, riseM, slope, antennaM, curve)
}

// search goes uphill along the hulls of the flattened and of the bare ground, which have
// one top each, from where the last searches ended: from one receiver to the next along a
// ray little changes.
func (u *skyline) search(distM, riseM, slope, antennaM, curve float64) (found horizon) {
	flatTopM := antennaM + riseM - curve*distM*distM
	k, flat := u.summit(u.flatAt, func(p *hullPoint) float64 { return (p.y - flatTopM) / (distM - p.x) })
	u.flatAt = k
	found.flat, found.at = float32(flat-curve*distM), float32(u.points[k].x)

	u.join()
	var bare, over float64
	u.backAt, bare = u.straight.summit(u.backAt, func(p *hullPoint) float64 { return (p.y - riseM) / (distM - p.x) })
	u.overAt, over = u.straight.summit(u.overAt, func(p *hullPoint) float64 { return p.y - slope*p.x })
	found.bare, found.over = float32(bare), float32(over)
	return found
}

// join makes straight the hull of the bare ground of all points: those pushed since the last
// time are all that is new.
func (u *skyline) join() {
	p := u.straight.points
	for len(p) > 0 && p[len(p)-1].i >= u.joined {
		p = p[:len(p)-1]
	}
	u.straight.points = p
	for k := u.joined; k < len(u.points); k++ {
		u.straight.push(u.points[k].x, float64(u.bare.overM[k]), k)
	}
	u.joined = len(u.points)
}

// receiver is what a horizon is seen from: the distance, the height over the pole's antenna,
// the slope from that one; and 1/(2 ae).
type receiver struct{ distM, riseM, slope, curve float32 }

// horizonByOne looks at all of n points, at least one, where there are no vectors.
//
// Flattened heights are h - c d²: the slope back to such a point is c (D + d) larger, of
// which c D is the same for all.
func (g *bareGround) horizonByOne(n int, b receiver) horizon {
	found := horizon{flat: noGround, bare: noGround, over: noGround}
	over := g.overM[:n]
	dist := g.dist[:len(over)]
	for k := len(over) - 1; k >= 0; k-- {
		x := dist[k]
		back := (over[k] - b.riseM) / (b.distM - x)
		if flat := back + b.curve*x; flat > found.flat {
			found.flat, found.at = flat, x
		}
		found.bare = max(found.bare, back)
		found.over = max(found.over, over[k]-b.slope*x)
	}
	return found
}

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
