package plan

import (
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/terrain"
)

// Ends returns both ends of every link as indices into Stations. The error is that of
// Validate where a link names none, else it lists the links whose stations do not stand
// leastM, m, apart, each a *FieldError.
func (p *Plan) Ends(leastM float64) ([][2]int32, error) {
	index := make(map[string]int32, len(p.Stations))
	for i := range p.Stations {
		index[p.Stations[i].Name] = int32(i)
	}
	f := faults{source: p.Source}
	ends := make([][2]int32, 0, len(p.Links))
	for i := range p.Links {
		l := &p.Links[i]
		a, okA := index[l.From]
		b, okB := index[l.To]
		if !okA || !okB {
			return nil, p.Validate()
		}
		if f.at(l, "Links", i); !(terrain.Inverse(p.Stations[a].At, p.Stations[b].At).DistM >= leastM) {
			f.add("", "both stations stand within %g m, allowed farther apart", leastM)
		}
		ends = append(ends, [2]int32{a, b})
	}
	return ends, f.err()
}

// OutsideBand lists the links that state a frequency outside the rows of the band,
// each a *FieldError; nil without a band.
func (p *Plan) OutsideBand(b band.Band) error {
	if b == "" {
		return nil
	}
	f := faults{source: p.Source}
	for i := range p.Links {
		if l := &p.Links[i]; l.FreqMHz != nil && !b.Covers(*l.FreqMHz*1e6) {
			f.at(l, "Links", i)
			f.add("freq_mhz", "found %g, outside the band %s, whose rows cover %s MHz", *l.FreqMHz, b, b.Spans())
		}
	}
	return f.err()
}
