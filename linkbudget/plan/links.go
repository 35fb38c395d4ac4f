package plan

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/terrain"
)

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

// Ends returns both ends of every link as indices into Stations. Read has checked the
// names, but a plan may be made by hand: the error lists every link without two
// stations, a second one between the same two, and every one whose stations do not
// stand leastM, m, apart, each a *FieldError.
func (p *Plan) Ends(leastM float64) ([][2]int32, error) {
	index := make(map[string]int32, len(p.Stations))
	for i := range p.Stations {
		index[p.Stations[i].Name] = int32(i)
	}
	var errs []error
	ends := make([][2]int32, 0, len(p.Links))
	first := map[[2]int32]bool{}
	for i := range p.Links {
		l := &p.Links[i]
		fault := func(key, format string, args ...any) {
			errs = append(errs, &FieldError{Source: p.Source, Feature: l.Feature, Name: l.From + " - " + l.To, Key: key,
				Problem: fmt.Sprintf(format, args...)})
		}
		a, okA := index[l.From]
		b, okB := index[l.To]
		switch {
		case !okA:
			fault("from", "found %s, allowed the name of a station", quote(l.From))
		case !okB:
			fault("to", "found %s, allowed the name of a station", quote(l.To))
		case first[[2]int32{min(a, b), max(a, b)}]:
			fault("", "found a second link between the two, allowed one")
		case !(terrain.Inverse(p.Stations[a].At, p.Stations[b].At).DistM >= leastM):
			fault("", "both stations stand within %g m, allowed farther apart", leastM)
		default:
			ends = append(ends, [2]int32{a, b})
			first[[2]int32{min(a, b), max(a, b)}] = true
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return ends, nil
}

// OutsideBand lists the links that state a frequency outside the rows of the band,
// each a *FieldError; nil without a band.
func (p *Plan) OutsideBand(b band.Band) error {
	if b == "" {
		return nil
	}
	var errs []error
	for i := range p.Links {
		if l := &p.Links[i]; l.FreqMHz != nil && !b.Covers(*l.FreqMHz*1e6) {
			errs = append(errs, &FieldError{Source: p.Source, Feature: l.Feature, Name: l.From + " - " + l.To, Key: "freq_mhz",
				Problem: fmt.Sprintf("found %g, outside the band %s, whose rows cover %s MHz", *l.FreqMHz, b, b.Spans())})
		}
	}
	return errors.Join(errs...)
}
