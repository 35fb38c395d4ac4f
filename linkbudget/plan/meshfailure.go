package plan

import (
	"context"
	"fmt"
)

// maxFailurePoles is the most poles for which the failure of each is worked
// out: the work grows with the square of their number, some ten seconds here.
const maxFailurePoles = 10_000

// failures works out what each pole is worth.
func (m *Mesh) failures(ctx context.Context, l *layout, workers int) error {
	if n := len(m.Stations); n > maxFailurePoles {
		m.Warnings = append(m.Warnings, fmt.Sprintf("%d poles: what the failure of single poles and of links that are no bridges costs is worked out up to %d", n, maxFailurePoles))
		return nil
	}
	standing := l.g.among(func(v int32) bool { return m.Stations[v].Status == Standing })
	base := certificate(standing)
	return eachChunk(ctx, workers, len(m.Stations), func(ctx context.Context, from, to int) error {
		x := newLossFinder(l, m.Gateways)
		for v := from; v < to; v++ {
			if err := ctx.Err(); err != nil {
				return err
			}
			s := &m.Stations[v]
			s.Loss = x.ofVertex(v)
			if s.Status == Proposed {
				gain := m.gain(l.g, base, v)
				s.Gain = &gain
			}
		}
		return nil
	})
}

// gain is what a proposed pole adds to the standing ones: what these would lose
// again without it. base is a certificate of their graph; with the links of the
// pole added it is one of the larger graph, since what it leaves out stays three
// times connected.
func (m *Mesh) gain(all, base *graph, v int) Effect {
	ends := append([][2]int32(nil), base.ends...)
	for _, a := range all.from(int32(v)) {
		if m.Stations[a.to].Status == Standing {
			ends = append(ends, [2]int32{int32(v), a.to})
		}
	}
	sparse := newGraph(all.size(), ends)
	var gateways []int
	for _, w := range m.Gateways {
		if w == v || m.Stations[w].Status == Standing {
			gateways = append(gateways, w)
		}
	}
	x := newLossFinder(layoutBy(sparse, sparse), gateways)
	if len(m.Gateways) > 0 && len(gateways) == 0 {
		x.noGateway()
	}
	return x.ofVertex(v)
}
