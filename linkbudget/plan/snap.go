package plan

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// snapM, m, is how near to a station a line that names none has to end: drawn by hand on a
// screen it ends beside the symbol. Engineering judgement.
const snapM = 50

// mostAround is how many stations an end is held against, so that the time stays that of the file.
const mostAround = 1000

// clearlyNearer: a station this many times nearer than the next is the one that was meant.
const clearlyNearer = 2

// snap gives the lines that name no station the stations at their ends. An end without one, or
// with two about as near, is a fault: a link to the wrong pole would be worse than none.
func (r *reader) snap() {
	var near *cubes
	misplaced := false
	for i := range r.plan.Links {
		l := &r.plan.Links[i]
		if l.From != "" || l.To != "" {
			continue
		}
		r.feature, r.name = l.Feature, nameIn(members(find(members(l.raw), "properties")), "name")
		if near == nil {
			near, misplaced = newCubes(snapM), r.misplaced()
			for k := range r.plan.Stations {
				near.add(k, near.of(r.plan.Stations[k].At))
			}
		}
		if r.said[spot{l.Feature, anyKey}] || misplaced {
			r.tell("from") // which stations it means follows from that
			r.tell("to")
			continue
		}
		a, whyA := r.stationAt(near, l.Line[0])
		b, whyB := r.stationAt(near, l.Line[len(l.Line)-1])
		if a != nil && b == a {
			whyB = "is the same station " + quote(a.Name)
		}
		const wayOut = `: draw it to a station, or give the names of two in "from" and "to"; "road": true makes a road of ` +
			`it, "wanted": false a mere drawing`
		if whyA != "" {
			r.add("from", "missing, and the beginning of the line %s%s", whyA, wayOut)
		}
		if whyB != "" {
			r.add("to", "missing, and the end of the line %s%s", whyB, wayOut)
		}
		if whyA+whyB != "" {
			r.tell("from")
			r.tell("to")
			continue
		}
		l.From, l.To = a.Name, b.Name
		r.took(snapped, "%s (%.0f m) to %s (%.0f m)", quote(a.Name), terrain.Inverse(a.At, l.Line[0]).DistM,
			quote(b.Name), terrain.Inverse(b.At, l.Line[len(l.Line)-1]).DistM)
	}
	r.feature, r.name = -1, ""
}

// misplaced tells whether any Point has no place that could be read.
func (r *reader) misplaced() bool {
	if r.grid.count > 0 || len(r.lost) > 0 {
		return true
	}
	for i := range r.plan.Stations {
		if r.said[spot{r.plan.Stations[i].Feature, path{-1, -1, -1}.String()}] {
			return true
		}
	}
	return false
}

// stationAt is the station that an end of a line means, or why none can be told.
func (r *reader) stationAt(near *cubes, at orb.Point) (meant *Station, why string) {
	first, next := math.Inf(1), math.Inf(1)
	var other *Station
	looked := 0
	for k := range near.around(near.of(at)) {
		if looked++; looked > mostAround {
			return nil, fmt.Sprintf("has more than %d stations around", mostAround)
		}
		s := &r.plan.Stations[k]
		switch distM := terrain.Inverse(s.At, at).DistM; {
		case distM > snapM:
		case distM < first:
			meant, other, first, next = s, meant, distM, first
		case distM < next:
			other, next = s, distM
		}
	}
	switch {
	case meant == nil:
		return nil, fmt.Sprintf("(%.5f, %.5f) has no station within %d m", at[0], at[1], snapM)
	case other != nil && next < clearlyNearer*first || other != nil && next == 0:
		return nil, fmt.Sprintf("has two stations about as near, %s and %s", quote(meant.Name), quote(other.Name))
	}
	return meant, ""
}
