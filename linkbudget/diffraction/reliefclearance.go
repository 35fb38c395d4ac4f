package diffraction

import "github.com/polereach/polereach/linkbudget/radio"

// Worst makes c what Sightline.Worst returns for the path the relief was gathered
// from; without such a point it leaves it.
func (r *Relief) Worst(c *Clearance, sight *Sightline, skipM float64) bool {
	from, to := sight.inner(skipM)
	v := sight.reliefView()
	if v.curve == r.curve && r.closestAt == 0 {
		p, _ := r.closest(&v, 1, len(r.distM)-1, anyCloseness)
		r.closestAt = p.i
	}
	if at := r.closestAt; v.curve == r.curve && at > 0 && at >= from && at < to {
		r.nearest = at // the closest of all is that of a part
		sight.at(c, at)
		return true
	}
	p, ok := r.closest(&v, from, to, anyCloseness)
	r.nearest = p.i
	if ok {
		sight.at(c, p.i)
	}
	return ok
}

func (s *Sightline) reliefView() reliefView {
	return reliefView{curve: radio.HalfCurvature(s.EffectiveRadiusM)}
}

// Class is Classify of the least clearance: for a class it is enough to look at
// what leaves less than 0.6 Fresnel radii. The point that Worst found, with the
// same skipM, in other air is asked first.
func (r *Relief) Class(sight *Sightline, skipM float64) PathClass {
	v := sight.reliefView()
	if r.nearest > 0 && r.point(r.nearest, &v).qM > 0 {
		return PathBlocked
	}
	from, to := sight.inner(skipM)
	p, ok := r.closest(&v, from, to, r.nearClearance(sight.WavelengthM))
	switch {
	case !ok:
		return PathClear
	case p.qM > 0:
		return PathBlocked
	}
	return PathGrazing
}

// Obstacles returns each run of points that cut the line of sight of the path the relief
// was gathered from, in path order, farther than skipM from both ends.
func (r *Relief) Obstacles(sight *Sightline, skipM float64) []Obstacle {
	v := sight.reliefView()
	from, to := sight.inner(skipM)
	type run struct{ first, last, worst int }
	var memory [16]run
	runs := memory[:0]
	first, worst := 0, 0 // first is 0 outside a run
	var most closeness
	for k := range r.blocks {
		begin, end := r.block(k)
		if !(r.blocks[k].top(r.topM[k], &v) > 0) {
			if first > 0 {
				runs, first = append(runs, run{first, min(begin, to) - 1, worst}), 0
			}
			continue
		}
		r.settle(k)
		for i := max(begin, from); i < min(end, to); i++ {
			x := r.distM[i]
			m2 := x * (r.lengthM - x)
			q := r.heightM[i] + v.curve*m2
			if r.clutterM != nil {
				q += r.clutterM[i]
			}
			if !(q > 0) {
				if first > 0 {
					runs, first = append(runs, run{first, i - 1, worst}), 0
				}
				continue
			}
			if c := (closeness{q * q, m2}); first == 0 || c.above(most) {
				worst, most = i, c
			}
			if first == 0 {
				first = i
			}
		}
	}
	if first > 0 {
		runs = append(runs, run{first, to - 1, worst})
	}
	if len(runs) == 0 {
		return nil
	}
	found := make([]Obstacle, len(runs))
	for i, n := range runs {
		found[i] = Obstacle{FromM: r.distM[n.first], ToM: r.distM[n.last], Worst: sight.At(n.worst)}
	}
	return found
}
