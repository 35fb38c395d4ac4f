package plan

// checkLinks looks at what links name, once all stations are known.
func (r *reader) checkLinks() {
	first := map[[2]string]int{} // the two ends in order of the alphabet -> feature
	near := nearest{plan: r.plan, budget: suggestBudget}
	for i := range r.plan.Links {
		l := &r.plan.Links[i]
		r.feature, r.name = l.Feature, label(members(find(members(l.raw), "properties")))
		known := true
		for _, end := range [...]struct{ key, name string }{{"from", l.From}, {"to", l.To}} {
			if end.name == "" {
				known = false
			} else if _, ok := r.plan.index[end.name]; !ok && !r.lost[end.name] {
				known = false
				r.add(end.key, "found %s, allowed the name of a station%s", quote(end.name), near.hint(end.name))
			}
		}
		if !known {
			continue
		}
		if l.From == l.To {
			r.add("to", "found %s at both ends, allowed two different stations", quote(l.To))
			continue
		}
		// A to B and B to A are one link: both directions are always examined.
		pair := [2]string{min(l.From, l.To), max(l.From, l.To)}
		if other, taken := first[pair]; taken {
			r.add("", "found a second link between %s and %s, allowed one: feature %d is the first", quote(l.From), quote(l.To), other)
			continue
		}
		first[pair] = l.Feature
	}
}
