package mesh

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/graph/simple"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/mesh/internal/brute"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// waves is ground made by formula, unknown in the east.
type waves struct{}

func (waves) Extent() terrain.Extent {
	all := orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}}
	return terrain.Extent{Bound: all, StepLonDeg: 0.001, StepLatDeg: 0.001}
}

func (waves) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i, p := range at {
		heightM[i], flag[i] = 300+60*math.Sin(90*p[0])*math.Cos(70*p[1]), terrain.Ground
		if p[0] > 10.27 {
			heightM[i], flag[i] = 0, terrain.Void
		}
	}
	return nil
}

// randomPlan has poles of unequal power and height, some proposed; every other plan
// has drawn links.
func randomPlan(seed uint64) (*plan.Plan, Options) {
	r := rand.New(rand.NewPCG(seed, 15))
	p := &plan.Plan{}
	for i := range 5 + r.IntN(6) {
		height, tx := 12+40*r.Float64(), -5+28*r.Float64()
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprint("p", i), HeightM: &height, TxDBm: &tx,
			Status: plan.Status(r.IntN(3) / 2), At: orb.Point{10 + 0.29*r.Float64(), 50 + 0.2*r.Float64()}})
	}
	order := r.Perm(len(p.Stations))
	for k := 0; seed%2 == 1 && k < 1+r.IntN(3); k++ {
		p.Links = append(p.Links, plan.Link{From: p.Stations[order[k]].Name, To: p.Stations[order[k+1]].Name,
			Required: k == 0})
	}
	opt := Options{SiteOptions: SiteOptions{RangeM: 18e3, PacketsPerHour: 4, Settings: plan.Settings{
		Station: linkbudget.DefaultStation("", 5),
		Environment: linkbudget.Environment{FreqHz: 868e6, WantPercent: 75,
			Modem: linkbudget.Modem{SF: 10, BWHz: 125e3, CR: 1}}}}}
	if seed%3 == 0 { // then deliveries differ as well
		opt.Settings.Environment.Fading = fading.Law{Kind: fading.Rayleigh}
	}
	for _, v := range r.Perm(len(p.Stations))[:seed%4/2+seed%3/2] {
		opt.Gateways = append(opt.Gateways, p.Stations[v].Name)
	}
	return p, opt
}

// oracle is a plan told from its single paths, by gonum and by removal.
type oracle struct {
	t    *testing.T
	m    *Mesh
	path map[[2]int]PathCheck // each way
	// solid is weighted by thousandths of transmissions, any by -ln p.
	solid, any *simple.WeightedUndirectedGraph
	bits       brute.Graph
}

func newOracle(t *testing.T, seed uint64) *oracle {
	p, opt := randomPlan(seed)
	m, err := Check(context.Background(), p, waves{}, opt)
	if err != nil {
		t.Fatal(err)
	}
	empty := func() *simple.WeightedUndirectedGraph { return simple.NewWeightedUndirectedGraph(0, math.Inf(1)) }
	o := &oracle{t: t, m: m, path: map[[2]int]PathCheck{}, solid: empty(), any: empty()}
	for v := range m.Stations {
		o.solid.AddNode(simple.Node(v))
		o.any.AddNode(simple.Node(v))
	}
	o.bits = brute.New(len(m.Stations), nil)
	examined := map[[2]int]bool{}
	for i := range m.Pairs {
		a, b := int(m.Pairs[i].A), int(m.Pairs[i].B)
		examined[[2]int{min(a, b), max(a, b)}] = true
	}
	for b := range m.Stations {
		for a := range b {
			from, to := &m.Stations[a], &m.Stations[b]
			c, err := CheckPath(context.Background(), from.Station, to.Station, from.At, to.At, waves{}, m.Options.SiteOptions)
			if err != nil {
				t.Fatal(err)
			}
			if !examined[[2]int{a, b}] {
				margin := max(c.Forward.MarginDB, c.Backward.MarginDB)
				if c.DistM < opt.RangeM && c.Verdict != linkbudget.Unknown && margin > -20 {
					t.Errorf("%d - %d, %.0f m apart, margin %.1f dB: not examined", a, b, c.DistM, margin)
				}
				continue
			}
			o.take(a, b, c)
		}
	}
	return o
}

func (o *oracle) take(a, b int, c PathCheck) {
	o.path[[2]int{a, b}] = c
	if c.Verdict == linkbudget.Unknown {
		return
	}
	if c.Probability >= 1e-6 {
		o.any.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(a), T: simple.Node(b), W: likelierWeight(c.Probability)})
	}
	if c.Verdict == linkbudget.Reaches {
		o.solid.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(a), T: simple.Node(b), W: math.Round(1000 / c.Delivery)})
		o.bits.Edge[a] |= 1 << b
		o.bits.Edge[b] |= 1 << a
	}
}

// likelierWeight is -ln p and half a per cent for each link.
func likelierWeight(p float64) float64 { return 0.005 - math.Log(p) }

// probability is that of the weaker direction.
func (o *oracle) probability(a, b int64) float64 {
	return o.path[[2]int{int(min(a, b)), int(max(a, b))}].Probability
}
