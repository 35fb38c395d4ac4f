package calibrate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// invented is a mesh of which all is known: effects drawn from the model's priors, packets
// with a width, those below the limit lost.
type invented struct {
	model
	truth    []float64 // theta
	path     []float64 // d of each path's own, both ways
	unheard  [][2]int  // ways between nodes without a path
	variance float64
	root     float64 // of the true spread
}

const (
	inventedArea  = 6.0 // dB, standard deviation: twice the stated one
	inventedHW    = 2.0
	inventedPlace = 3.0
	inventedPath  = 6.0
	inventedTime  = 2.0
)

func invent(r *rand.Rand, censored bool) *invented {
	n := 8 + r.IntN(8)
	m := &invented{variance: inventedPath * inventedPath}
	spread := math.Exp(0.5 * r.NormFloat64()) // of the stated variances
	m.season = inventedTime * inventedTime
	m.truth = append(m.truth, inventedArea*r.NormFloat64())
	root := math.Sqrt(spread)
	m.root = root
	for range n {
		m.nodes = append(m.nodes, node{inventedHW * inventedHW, inventedPlace * inventedPlace})
		place := inventedPlace * root * r.NormFloat64()
		m.truth = append(m.truth, place+inventedHW*root*r.NormFloat64(), place+inventedHW*root*r.NormFloat64())
	}
	for a := range n {
		for b := a + 1; b < n; b++ {
			if r.Float64() > 0.5 {
				m.unheard = append(m.unheard, [2]int{a, b})
				continue
			}
			own := inventedPath * root * r.NormFloat64()
			p := observed{ends: [2]int{a, b}, variance: m.variance}
			margin := 5 + 14*r.NormFloat64() // predicted
			for _, way := range [2][2]int{{a, b}, {b, a}} {
				o := observation{from: way[0], to: way[1], width: 2.5, limit: -margin}
				d := common(m.truth, &o) + own + inventedTime*r.NormFloat64()
				const packets = 20
				heard, sum := 0.0, 0.0
				for range packets {
					if level := d + o.width*r.NormFloat64(); level > o.limit && r.Float64() > otherLosses {
						heard, sum = heard+1, sum+level
					}
				}
				if heard > 0 {
					o.mean, o.weight = sum/heard, heard/(o.width*o.width)
				}
				if censored {
					o.lost = packets - heard
				} else if heard == 0 {
					continue
				}
				p.obs = append(p.obs, o)
			}
			if len(p.obs) > 0 {
				m.paths, m.path = append(m.paths, p), append(m.path, own)
			}
		}
	}
	return m
}

// held counts how often an interval of 95 % holds the truth, and sums what it is off by.
type held struct {
	n, in       int
	sum, square float64
}

func (h *held) add(e estimate, truth float64) {
	off := e.mean - truth
	h.n, h.sum, h.square = h.n+1, h.sum+off, h.square+off*off
	if math.Abs(off) <= 1.96*e.sigma {
		h.in++
	}
}

func (h held) percent() float64 { return 100 * float64(h.in) / float64(h.n) }
func (h held) bias() float64    { return h.sum / float64(h.n) }

const inventedMeshes = 500

// simulate fits invented meshes and compares with what is known of each.
func simulate(t *testing.T, meshes int, censored bool) (area, ways, differences, unheard, heard held) {
	r := rand.New(rand.NewPCG(1, 2))
	for range meshes {
		m := invent(r, censored)
		if err := m.fit(9); err != nil {
			t.Fatal(err)
		}
		p, err := m.propagate()
		if err != nil {
			t.Fatal(err)
		}
		area.add(p.at(0), m.truth[0])
		for i := range m.nodes {
			ways.add(p.at(send(i)), m.truth[send(i)])
			ways.add(p.at(receive(i)), m.truth[receive(i)])
			differences.add(p.difference(send(i), receive(i)), m.truth[send(i)]-m.truth[receive(i)])
		}
		// Another time: a season of its own.
		for i := range m.paths {
			q := &m.paths[i]
			for _, way := range [2][2]int{q.ends, {q.ends[1], q.ends[0]}} {
				o := observation{from: way[0], to: way[1]}
				heard.add(p.link(way[0], way[1], [2]node{}, &p.paths[i], q.variance),
					common(m.truth, &o)+m.path[i]+inventedTime*r.NormFloat64())
			}
		}
		for _, way := range m.unheard {
			o := observation{from: way[0], to: way[1]}
			own := inventedPath * m.root * r.NormFloat64()
			unheard.add(p.link(way[0], way[1], [2]node{}, nil, m.variance), common(m.truth, &o)+own+inventedTime*r.NormFloat64())
		}
	}
	return area, ways, differences, unheard, heard
}

// The stated intervals hold what they say, of the area, of nodes and of links at another time;
// a mesh of which only what was heard counts seems better than it is.
func TestIntervalsOfInventedMeshes(t *testing.T) {
	if testing.Short() {
		t.Skip("invents 600 meshes")
	}
	area, ways, differences, unheard, heard := simulate(t, inventedMeshes, true)
	for _, h := range []struct {
		name string
		held
	}{{"area", area}, {"node, one way", ways}, {"node, sending less receiving", differences}, {"link not heard", unheard},
		{"link heard", heard}} {
		t.Logf("%-30s n %6d  bias %+.2f  rms %.2f  95 %% intervals hold %.1f %%", h.name, h.n, h.bias(),
			math.Sqrt(h.square/float64(h.n)), h.percent())
		if !(h.percent() >= 93 && h.percent() <= 97) {
			t.Errorf("%s: 95 %% intervals hold %.1f %%, allowed 93 to 97", h.name, h.percent())
		}
	}
	only, _, _, unheardOnly, _ := simulate(t, inventedMeshes/5, false)
	t.Logf("lost packets left out: bias of the area %+.2f dB, its interval holds %.1f %%; of links not heard %+.2f "+
		"dB, %.1f %%",
		only.bias(), only.percent(), unheardOnly.bias(), unheardOnly.percent())
	if !(only.bias() > 1) || !(math.Abs(area.bias()) < 0.3) {
		t.Errorf("bias of the area %+.2f dB, without lost packets %+.2f dB; allowed less than 0.3, and above 1", area.bias(),
			only.bias())
	}
}
