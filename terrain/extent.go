package terrain

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
		u.Bound = u.Bound.Union(e.Bound)
		u.StepLonDeg = min(u.StepLonDeg, e.StepLonDeg)
		u.StepLatDeg = min(u.StepLatDeg, e.StepLatDeg)
	}
	return u
}
