package linkbudget

import "slices"

// worst is Sightline.Worst for the path the relief was gathered from.
func (r *relief) worst(sight *Sightline, skipM float64) (Clearance, bool) {
	from, to := sight.inner(skipM)
	v := sight.reliefView()
	if r.sightCurve != 0 && r.sightCurve == v.curve && r.nearest >= from && r.nearest < to {
		return sight.At(r.nearest), true // the closest of all is that of a part
	}
	p, ok := r.closest(v, from, to, anyCloseness)
	r.nearest, r.sightCurve = p.i, 0
	if !ok {
		return Clearance{}, false
	}
	return sight.At(p.i), true
}

func (s *Sightline) reliefView() reliefView {
	return reliefView{curve: halfCurvature(s.EffectiveRadiusM)}
}

// class is Classify of the least clearance: for a class it is enough to look at
// what leaves less than 0.6 Fresnel radii. The point that worst found, with the
// same skipM, in other air is asked first.
func (r *relief) class(sight *Sightline, skipM float64) PathClass {
	v := sight.reliefView()
	if r.nearest > 0 && r.point(r.nearest, v).qM > 0 {
		return PathBlocked
	}
	from, to := sight.inner(skipM)
	// A fraction f of F1 = sqrt(λ x y/d) below the ray is q|q|/(x y) = -f² λ/d.
	floor := closeness{-clearFraction * clearFraction * sight.WavelengthM, r.lengthM}
	p, ok := r.closest(v, from, to, floor)
	switch {
	case !ok:
		return PathClear
	case p.qM > 0:
		return PathBlocked
	}
	return PathGrazing
}

// obstacles is Sightline.Obstacles for the path the relief was gathered from.
func (r *relief) obstacles(sight *Sightline, skipM float64) []Obstacle {
	v := sight.reliefView()
	from, to := sight.inner(skipM)
	var memory [8]Obstacle
	found := memory[:0]
	first, worst := 0, 0
	var most closeness
	end := func(after int) {
		if first > 0 {
			found = append(found, sight.obstacle(first, after-1, worst))
			first = 0
		}
	}
	for k := range r.blocks {
		block := &r.blocks[k]
		if !(block.top(v) > 0) {
			end(min(block.from, to))
			continue
		}
		for i := max(block.from, from); i < min(block.to, to); i++ {
			p := r.point(i, v)
			if !(p.qM > 0) {
				end(i)
				continue
			}
			if c := p.closeness(); first == 0 || c.above(most) {
				worst, most = i, c
			}
			if first == 0 {
				first = i
			}
		}
	}
	end(to)
	return slices.Clone(found)
}
