package terrain

import "math"

// unionExtent returns the area that spans all extents, with the finest steps
// among them; the zero Extent for none. An extent with a step of 0 covers
// nothing and is left out.
func unionExtent(extents []Extent) Extent {
	var u Extent
	for _, e := range extents {
		if !(e.StepLonDeg > 0) || !(e.StepLatDeg > 0) {
			continue
		}
		if u.StepLonDeg == 0 {
			u = e
			continue
		}
		both := Extent{
			Bound:      u.Bound.Union(e.Bound),
			StepLonDeg: min(u.StepLonDeg, e.StepLonDeg),
			StepLatDeg: min(u.StepLatDeg, e.StepLatDeg),
		}
		both.Irregular = !both.holds(u) || !both.holds(e)
		u = both
	}
	return u
}

// holds reports whether all posts of another extent stand on lines of e's.
func (e Extent) holds(other Extent) bool {
	whole := func(deg, stepDeg float64) bool {
		steps := deg / stepDeg
		return math.Abs(steps-math.Round(steps)) <= alignedSteps
	}
	// A step that is off adds up over the extent.
	west, east := other.Bound.Min[0]-e.Bound.Min[0], other.Bound.Max[0]-e.Bound.Min[0]
	north, south := e.Bound.Max[1]-other.Bound.Max[1], e.Bound.Max[1]-other.Bound.Min[1]
	return !other.Irregular && whole(other.StepLonDeg, e.StepLonDeg) && whole(other.StepLatDeg, e.StepLatDeg) &&
		whole(west, e.StepLonDeg) && whole(east, e.StepLonDeg) && whole(north, e.StepLatDeg) && whole(south, e.StepLatDeg)
}

// lattice returns where the lines of posts lie, in the turn of longitudes in which the
// line meets them; irregular is true where the posts along the line stand on none.
func (e Extent) lattice(line *geodesicLine) (l Lattice, irregular bool) {
	l = Lattice{WestDeg: e.Bound.Min[0], NorthDeg: e.Bound.Max[1], StepLonDeg: e.StepLonDeg, StepLatDeg: e.StepLatDeg}
	if e.Irregular || !finite(l.WestDeg) || !finite(l.NorthDeg) {
		return l, true
	}
	a := line.area()
	l.WestDeg += 360 * math.Round(((a.west+a.east)-(e.Bound.Min[0]+e.Bound.Max[0]))/720)
	widthDeg := e.Bound.Max[0] - e.Bound.Min[0]
	if a.west >= l.WestDeg && a.east <= l.WestDeg+widthDeg {
		return l, false
	}
	// Elsewhere the line may meet the extent in another turn too.
	turn := 360 / l.StepLonDeg
	return l, !(math.Abs(turn-math.Round(turn)) <= alignedSteps || max(a.east, l.WestDeg+widthDeg)-min(a.west,
		l.WestDeg) < 360)
}
