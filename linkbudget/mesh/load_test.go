package mesh

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

// Published figure: SF9/125 kHz, 50 bytes (328.704 ms), 30 messages an hour in
// the network, 20 transmissions of each heard: U = 5.48 %. Computed from U = lambda T N.
func TestRepeatAllLoad(t *testing.T) {
	const poles = 20 // all hear each other for certain: 19 repeats and one's own
	p := &plan.Plan{}
	j := &job{p: p, opt: Options{SiteOptions: SiteOptions{PacketsPerHour: 30.0 / poles}}.withDefaults(),
		stations: make([]linkbudget.Station, poles)}
	j.opt.Settings.Environment = linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1},
		Packet: linkbudget.Packet{PayloadB: 50, PreambleSymbols: 8}}
	var pairs []Pair
	for b := range poles {
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprint("p", b)})
		for a := range b {
			one := Pair{A: int32(a), B: int32(b), Link: -1}
			one.Verdict, one.Probability, one.Delivery = linkbudget.Reaches, 1, 1
			pairs = append(pairs, one)
		}
	}
	slices.SortFunc(pairs, inOrder)
	m, err := j.assemble(context.Background(), pairs, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(m.AirtimeS-0.328704) <= 1e-9) {
		t.Errorf("airtime %g s, want 0.328704", m.AirtimeS)
	}
	for v, s := range m.Stations {
		l := s.Load
		for _, c := range []struct {
			what      string
			got, want float64
			tol       float64
		}{
			{"poles heard", l.Heard, 19, 1e-9},
			{"utilisation with repeats", l.RepeatAllUtilisation, 0.0548, 0.00005},
			{"direct utilisation", l.DirectUtilisation, 0.0548 / 20, 0.0000025}, // nobody repeats
			{"own duty with repeats", l.RepeatAllDuty, 30 * 0.328704 / 3600, 1e-9},
		} {
			if !(math.Abs(c.got-c.want) <= c.tol) {
				t.Errorf("pole %d: %s %g, want %g", v, c.what, c.got, c.want)
			}
		}
	}
}
