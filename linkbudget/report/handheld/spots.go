package handheld

import (
	"fmt"
	"math"
	"time"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/siting"
	"github.com/polereach/polereach/terrain/fault"
)

// Spots is the sheet of a search: its spots, called by their number from 0, the neighbours,
// and the paths that reach or must. Bearings by compass are of the date, none for the zero
// time. The error is of nothing given, or of an answer put together by hand. What is
// not known is NaN.
func Spots(a *siting.Answer, opt siting.Options, called func(number int) string, date time.Time) (s *Sheet, err error) {
	defer fault.Recovered(&err)
	if a == nil || called == nil {
		return nil, fault.Input("handheld: no answer given, or no names")
	}
	s = &Sheet{Name: "spots", About: fmt.Sprintf("Cells searched: %d, spots found: %d.", a.Cells, len(a.Spots))}
	if len(a.Spots) > 0 {
		s.About += " " + directions(a.Spots[0].At, date)
	}
	at := map[string]int{}
	for i := range a.Spots {
		spot, kind := &a.Spots[i], "spot"
		if !spot.Serves {
			kind = "spot that does not serve"
		}
		s.Marks = append(s.Marks, Mark{Name: called(i), Kind: kind, At: spot.At, GroundM: spot.GroundM,
			HeightM: spot.HeightM})
	}
	for i := range opt.Neighbours {
		n := &opt.Neighbours[i]
		at[n.Station.Name] = len(s.Marks)
		s.Marks = append(s.Marks, Mark{Name: n.Station.Name, Kind: "neighbour", At: n.At, GroundM: math.NaN(),
			HeightM: n.Station.HeightM})
	}
	for i := range s.Marks {
		s.Marks[i].declination(date)
	}
	for i := range a.Spots {
		for k := range a.Spots[i].Links {
			link := &a.Spots[i].Links[k]
			r := &link.Result
			k, ok := at[link.Name]
			if !ok {
				return nil, fault.Input("handheld: %s has a path to %q, which is no neighbour", called(i), link.Name)
			}
			b := &s.Marks[k]
			if r.Verdict != linkbudget.Unknown {
				b.GroundM = r.GroundBM
			}
			if !link.Must && r.Verdict != linkbudget.Reaches {
				continue
			}
			l := Line{From: &s.Marks[i], To: b, Verdict: r.Verdict, Wanted: link.Must, DistM: r.DistM, MarginDB: r.MarginDB,
				SigmaDB: r.Doubt.SigmaDB, Probability: r.Probability, AzimuthDeg: r.AzimuthDeg, BackAzimuthDeg: r.BackAzimuthDeg}
			s.link(l, r.ElevationDeg, r.BackElevationDeg, date)
		}
	}
	s.spelt()
	return s, nil
}
