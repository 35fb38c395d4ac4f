package mesh_test

import (
	"context"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/mesh"
)

// What is heard while the air carries far is what single paths have at that share of time: the
// chances of both directions, with the doubt of the median. Over hills many pairs fall short.
func TestFarLoadIsThatOfSinglePaths(t *testing.T) {
	p, opt := hills(40, 6), hillOptions()
	opt.PacketsPerHour, opt.RangeM = 2, 40e3
	m, err := mesh.Check(context.Background(), p, rolling{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	want := make([][2]float64, len(m.Stations))
	for i := range m.Pairs {
		pair := &m.Pairs[i]
		if pair.Verdict == linkbudget.Unknown {
			continue
		}
		for k, percent := range mesh.FarPercents {
			far := opt.Settings
			far.Environment.TimePercent = percent
			if pair.Wanted() {
				far.Environment = opt.Settings.LinkEnvironment(&p.Links[pair.Link])
				far.Environment.TimePercent = percent
			}
			one, err := mesh.CheckPath(context.Background(), m.Stations[pair.A].Station, m.Stations[pair.B].Station,
				p.Stations[pair.A].At, p.Stations[pair.B].At, rolling{}, mesh.SiteOptions{Settings: far})
			if err != nil {
				t.Fatal(err)
			}
			r := &one.Result
			want[pair.B][k] += r.Chance(r.Forward.MarginDB)
			want[pair.A][k] += r.Chance(r.Backward.MarginDB)
		}
	}
	var more float64
	for v := range m.Stations {
		l := m.Stations[v].Load
		for k, percent := range mesh.FarPercents {
			if got := l.Far[k].Heard; !(math.Abs(got-want[v][k]) <= 0.01) {
				t.Errorf("%s at %g %%: hears %.4f, single paths %.4f", m.Stations[v].Station.Name, percent, got, want[v][k])
			}
		}
		more += l.Far[1].Heard - l.Heard
		if own := l.DirectDuty; !(math.Abs(l.Far[1].DirectUtilisation-own*(1+l.Far[1].Heard)) <= 1e-9) {
			t.Errorf("%s: busy %g", m.Stations[v].Station.Name, l.Far[1].DirectUtilisation)
		}
	}
	t.Logf("%d pairs: %.2f more poles are heard at 1 %% of the time, in the mean", len(m.Pairs),
		more/float64(len(m.Stations)))
	if !(more > 1) {
		t.Errorf("nothing more is heard: %g", more)
	}
}
