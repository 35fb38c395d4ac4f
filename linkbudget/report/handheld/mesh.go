package handheld

import (
	"fmt"
	"time"

	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// Mesh is the sheet of a checked plan: its poles, the links of the plan, and other pairs
// that reach. Bearings by compass are of the date, none for the zero time. The error is of
// nothing given, or of a mesh put together by hand. What is not known is NaN.
func Mesh(m *mesh.Mesh, date time.Time) (s *Sheet, err error) {
	defer fault.Recovered(&err)
	if m == nil || m.Plan == nil {
		return nil, fault.Input("handheld: no mesh given")
	}
	s = &Sheet{Name: m.Plan.Source, About: fmt.Sprintf("%d poles, %s; the mesh: %s.", len(m.Stations), m.Verdict,
		m.Connected), Marks: make([]Mark, len(m.Stations))}
	if len(m.Stations) > 0 {
		s.About += " " + directions(m.Stations[0].At, date)
	}
	gateway := map[int]bool{}
	for _, v := range m.Gateways {
		gateway[v] = true
	}
	for v := range m.Stations {
		p, kind := &m.Stations[v], "pole"
		switch {
		case gateway[v]:
			kind = "gateway"
		case p.Status == plan.Proposed:
			kind = "proposed pole"
		}
		s.Marks[v] = Mark{Name: p.Station.Name, Kind: kind, At: p.At, GroundM: groundOf(p.GroundM, p.GroundFlag),
			HeightM: p.Station.HeightM}
		s.Marks[v].declination(date)
	}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		if !p.Wanted() && !p.Solid() {
			continue
		}
		a, b := &s.Marks[p.A], &s.Marks[p.B]
		l := Line{From: a, To: b, Verdict: p.Verdict, Wanted: p.Wanted(), DistM: p.DistM, MarginDB: p.MarginDB,
			SigmaDB: p.SigmaDB, Probability: p.Probability, AzimuthDeg: p.AzimuthDeg, BackAzimuthDeg: p.BackAzimuthDeg}
		s.link(l, p.ElevationDeg, p.BackElevationDeg, date)
	}
	s.spelt()
	return s, nil
}
