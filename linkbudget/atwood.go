package linkbudget

import (
	"fmt"
	"math"
	"sort"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// atWood is a wood at an end of a path: the end stands in it, or less than 50 m before it.
//
// From inside two ways lead out. Through the trees is the loss of ITU-R P.833-10 §2.1 over the
// depth along the ray, beside that of the antenna over open country. Over the tops is the loss of a
// knife edge at the rim, P.526-15 §4.1, in the place of both. The smaller one counts, and never
// less than open country's. The trees so counted stand on the profile no more.
//
// A wood that begins before the antenna counts so in part, the less the farther away: from 50 m on
// it is on the profile as any other. So no edge that moves past an antenna makes a jump.
type atWood struct {
	is     bool
	wood   terrain.Wood
	own    bool    // the loss of the end counts the trees already
	kept   float64 // share of the loss with the wood on the profile
	lossDB DB      // over that of open country, of the last pass
	depthM float64 // along the ray
	over   bool    // the way over the tops counts
}

// firstTrees are those of the wood at an end that stand nearest to it on the profile.
func (s *standing) firstTrees(end int) terrain.Standing {
	p := s.profile
	w, last := p.Woods[end], len(p.DistM)-1
	if w.FarM == 0 {
		return w.Rim
	}
	from, step := sort.SearchFloat64s(p.DistM, w.NearM), 1
	if end == 1 {
		from, step = sort.SearchFloat64s(p.DistM, p.LengthM()-w.NearM), -1
	}
	from = min(from, last)
	s.read(max(from-1, 0), min(from+2, last+1))
	for i := from; i >= max(from-1, 0) && i <= min(from+1, last); i += step {
		if p.Standing[i].Class == terrain.CoverWood {
			return p.Standing[i]
		}
	}
	return w.Rim
}

// find looks what is at an end, with the trees nearest to it. Where the plan says that the end stands
// in a wood its own loss counts those trees. Above the tops the wood is on the profile alone.
func (w *atWood) find(p *terrain.Profile, end int, trees terrain.Standing, s *PreparedStation, env *Environment) {
	*w = atWood{wood: p.Woods[end]}
	around := s.station.Surroundings
	w.own = around.WoodM > 0 || around.Inside == clutter.Wood
	free := !around.Stated() || s.told && around.Inside == clutter.Open
	low := free && s.heightM < StandsM(trees, env.Cover)
	if w.is = w.wood.FarM > 0 && (w.own || low); w.is && !w.own {
		w.kept = w.wood.NearM / terrain.AtWoodM
	}
}

// clear takes the trees off a profile that has nothing else, with those at the rim.
func (w *atWood) clear(p *terrain.Profile, end int, onM []float64) {
	from, to := w.points(p, end)
	clear(onM[from:to])
}

// points are those of the wood, with its rim, from one on and before another.
func (w *atWood) points(p *terrain.Profile, end int) (from, to int) {
	near, far, lengthM, n := w.wood.NearM-terrain.WoodEdgeM, w.wood.FarM+terrain.WoodEdgeM, p.LengthM(), len(p.DistM)
	if end == 0 {
		from = sort.Search(n, func(i int) bool { return p.DistM[i] >= near })
		return from, max(sort.Search(n, func(i int) bool { return p.DistM[i] > far }), from)
	}
	from = sort.Search(n, func(i int) bool { return lengthM-p.DistM[i] <= far })
	return from, max(sort.Search(n, func(i int) bool { return lengthM-p.DistM[i] < near }), from)
}

// cost finds the loss from an end of which open country costs so much, along the ray that rises by
// slope over the level of its antenna.
func (w *atWood) cost(s *standing, end int, sight *diffraction.Sightline, slope float64, open DB,
	c *conditions) {
	w.lossDB, w.over, w.depthM = 0, false, 0
	if !w.is || w.own {
		return
	}
	p, lengthM, curve, fromM := s.profile, s.profile.LengthM(), 1/(2*sight.EffectiveRadiusM), sight.AHeightM
	if end == 1 {
		fromM = sight.BHeightM
	}
	leavesM, lowM := w.wood.FarM, 0.0 // where the ray leaves, and how far it is below the tops there
	beforeM, before := 0.0, math.Inf(1)
	lastM, lastGroundM := 0.0, 0.0
	for k := range p.DistM {
		i, d := k, p.DistM[k]
		if end == 1 {
			i = len(p.DistM) - 1 - k
			d = lengthM - p.DistM[i]
		}
		groundM, stands := p.HeightM[i], p.Standing[i]
		rim := d >= w.wood.FarM
		if rim && d > lastM {
			groundM = lastGroundM + (groundM-lastGroundM)*(w.wood.FarM-lastM)/(d-lastM)
			d, stands = w.wood.FarM, w.wood.Rim
		}
		if d >= w.wood.NearM && stands.Class == terrain.CoverWood {
			lowM = groundM + StandsM(stands, s.whole) + curve*d*(lengthM-d) - fromM - slope*d
			if lowM < 0 { // out through the tops
				if leavesM = d; before < math.Inf(1) {
					leavesM = beforeM + (d-beforeM)*before/(before-lowM)
				}
				lowM = 0
				break
			}
			beforeM, before = d, lowM
		}
		if rim {
			break
		}
		lastM, lastGroundM = d, groundM
	}
	w.depthM = max(leavesM-w.wood.NearM, 0)
	w.lossDB = c.trees.Loss(w.depthM)
	// The nearer the rim to the other end, the less of the way over it.
	restM := lengthM - leavesM
	share := DB(min(restM/terrain.AtWoodM, 1))
	edge := diffraction.Edge{HeightM: lowM, D1M: leavesM, D2M: max(restM, terrain.AtWoodM),
		WavelengthM: sight.WavelengthM}
	if over := max(diffraction.KnifeEdge(edge.Nu())-open, 0); over < w.lossDB && share > 0 {
		w.lossDB, w.over = w.lossDB+share*(over-w.lossDB), true
	}
}

const woodTerm = "wood at " // and the station

// term is its line of the budget.
func (w *atWood) term(s *Station) Term {
	if w.over {
		return Term{woodTerm + s.Name, w.lossDB, "over its rim, ITU-R P.526-15 §4.1, less open country's"}
	}
	return Term{woodTerm + s.Name, w.lossDB, fmt.Sprintf("%.0f m through it, ITU-R P.833-10 §2.1", w.depthM)}
}
