package diffraction

import (
	"cmp"
	"math"
	"slices"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Over or through.
//
// A stand is a run of points on which trees stand. A path passes it over its tops, which then are part
// of the profile as ITU-R P.1812-6 §3.2 has it, or through it, at a price, and its trees are not on the
// profile. It is never both. The price is for the depth of trees that rise over the edge of the
// Bullington construction over the rest, the ground and what else stands on it:
//
//	behind horizons   over the lower of the two rays from A and B to their horizons
//	in line of sight  over the ellipsoid in which a knife edge would lose more than the rest
//	                  does, or anything at all (ν = -0.78)
//
// What stays below that edge changes nothing, be it there or not; what rises over it costs from 0 on. So
// the choice of the ways that lose least in sum makes no jump where tops grow through the ray.
//
// A point of trees covers the profile from half way to the point before it to half way to the one
// behind: that is all that a sample tells. Of a point whose tops rise over the edge by less than half
// of what the trees are high, only the part counts that they rise by, as only crowns are there (engineering
// judgement).

// Crest is what decides the edge of the Bullington construction: how steep the horizons are where anything
// comes up to the direct ray, and elsewhere the largest ν.
type Crest struct {
	Blocked bool
	Slopes
	Nu float64 // where not Blocked
}

// Crest is that of a path over which DeltaBullington has found a loss and slopes.
func (d *Loss) Crest(s Slopes) Crest { return Crest{!d.LineOfSight, s, d.Nu} }

// nu is ν of the edge.
func (c *Crest) nu(distM, wavelengthM float64) float64 {
	if c.Blocked {
		return math.Sqrt(2 * distM * c.A * c.B / wavelengthM)
	}
	return c.Nu
}

// raise puts another crest beside this one.
func (c *Crest) raise(o *Crest) {
	switch {
	case o.Blocked && c.Blocked:
		c.A, c.B = max(c.A, o.A), max(c.B, o.B)
	case o.Blocked:
		*c = *o
	case !c.Blocked:
		c.Nu = max(c.Nu, o.Nu)
	}
}

// Stand is a run of points on which trees stand.
type Stand struct {
	Span
	DepthM    float64  // of it over the edge of the rest, along the path
	ThroughDB radio.DB // what that costs, above 0: for the caller to fill in
	Through   bool     // passed through it
	crest     Crest    // of its tops
}

// Span is some points of a profile, from From on and before To.
type Span struct{ From, To int }

// Reached appends the spans to list outside of which nothing that is up to mostM high rises over the
// edge of the rest. The relief is that of the bare ground.
func (r *Relief) Reached(list []Span, rest Crest, mostM, wavelengthM float64) []Span {
	v := reliefView{curve: r.curve}
	below := r.below(&rest, wavelengthM)
	last := -1
	for k := range r.blocks {
		b := &r.blocks[k]
		edge := min(rest.A*b.nearM, rest.B*b.farM)
		if !rest.Blocked {
			edge = below * math.Sqrt(b.mostM2)
		}
		if !(b.top(r.bareM[k], &v)+mostM > edge) {
			continue
		}
		from, to := r.block(k)
		if from, to = r.reach(from, to, &rest, mostM, below); from == to {
			continue
		}
		if last >= 0 && list[last].To == from {
			list[last].To = to
		} else {
			list = append(list, Span{from, to})
			last = len(list) - 1
		}
	}
	return list
}

// reach narrows the points of a block down to those from the first to the last that rise over the edge.
func (r *Relief) reach(from, to int, rest *Crest, mostM, below float64) (first, end int) {
	first, end = to, to
	dist, heights, d, curve := r.distM[from:to], r.heightM[from:to], r.lengthM, r.curve
	for i, x := range dist {
		y := d - x
		q := heights[i] + curve*(x*y) + mostM
		if rest.Blocked && q <= rest.A*x && q <= rest.B*y || !rest.Blocked && q < 0 && q*q >= below*below*(x*y)*
			alittle {
			continue
		}
		first, end = min(first, from+i), from+i+1
	}
	if first == to {
		return to, to
	}
	return first, end
}

// alittle is above the rounding of squares.
const alittle = 1 + 1e-9

// below is the ellipsoid's height over the direct ray by the root of x y, not above 0.
func (r *Relief) below(rest *Crest, wavelengthM float64) float64 {
	return max(rest.Nu, knifeEdgeZeroNu) * math.Sqrt(wavelengthM/(2*r.lengthM))
}

// over is how far the top of something at a point, as high as told, rises over the edge of the rest, and its crest.
func (r *Relief) over(i int, standsM, below, wavelengthM float64, rest *Crest) (overM float64, c Crest) {
	x := r.distM[i]
	y := r.lengthM - x
	q := r.heightM[i] + r.curve*(x*y) + standsM
	edge := min(rest.A*x, rest.B*y)
	if !rest.Blocked {
		edge = below * math.Sqrt(x*y)
	}
	if !(q > edge) {
		return 0, c
	}
	c = Crest{Blocked: q >= 0, Slopes: Slopes{q / x, q / y}}
	if q < 0 {
		c.Nu = q * math.Sqrt(2*r.lengthM/(wavelengthM*x*y))
	}
	return q - edge, c
}

// Raised is a crest with what stands on the bare ground in some spans beside it, so high at each point.
func (r *Relief) Raised(rest Crest, standsM []float64, spans []Span, wavelengthM float64) Crest {
	for _, s := range spans {
		for i := s.From; i < s.To; i++ {
			if !(standsM[i] > 0) {
				continue
			}
			if overM, c := r.over(i, standsM[i], r.below(&rest, wavelengthM), wavelengthM, &rest); overM > 0 {
				rest.raise(&c)
			}
		}
	}
	return rest
}

// Stands appends the stands in some spans that rise over the edge of the rest to list: treesM is how high
// trees stand at each point, 0 for none. The relief is that of the bare ground, whatever else stands on it.
func (r *Relief) Stands(list []Stand, treesM []float64, spans []Span, rest Crest, wavelengthM float64) []Stand {
	below := r.below(&rest, wavelengthM)
	for _, span := range spans {
		for i := span.From; i < span.To; i++ {
			if !(treesM[i] > 0) {
				continue
			}
			s := Stand{Span: Span{From: i}, crest: Crest{Nu: noEdgeNu}}
			for ; i < span.To && treesM[i] > 0; i++ {
				overM, c := r.over(i, treesM[i], below, wavelengthM, &rest)
				if overM == 0 {
					continue
				}
				s.DepthM += (r.distM[i+1] - r.distM[i-1]) / 2 * min(2*overM/treesM[i], 1)
				s.crest.raise(&c)
			}
			if s.To = i; s.DepthM > 0 {
				list = append(list, s)
			}
		}
	}
	return list
}

// Ways makes d the loss of the ways over or through stands that lose least in sum, marks those passed
// through, and returns what they cost in sum and the crest of what is left. Before, d is the loss over
// the bare ground; EdgeAtM stays so. The diffraction is lost in any case up to floor, the most
// that it may be without losing anything more.
//
// The edge over what is left is decided by two slopes. Whoever wants it no steeper passes through all
// stands that are steeper as seen from A, or from B: so the first of the stands in either order are
// all sets that can lose least.
func (p *Path) Ways(d *Loss, stands []Stand, rest Crest, floor radio.DB) (through radio.DB, left Crest) {
	left = rest
	w := ways{stands: stands, rest: rest, distM: p.DistM[len(p.DistM)-1], wavelengthM: p.wavelengthM(),
		leastDB: radio.DB(math.Inf(1))}
	w.floorDB = max(floor-d.LossDB+d.BullingtonDB, w.bullington(&rest))
	if len(stands) > 0 {
		w.search()
	}
	for i := range stands {
		s := &stands[i]
		if s.Through = w.passed(s, &w.best); s.Through {
			through += s.ThroughDB
		} else {
			left.raise(&s.crest)
		}
	}
	d.Nu, d.LineOfSight = left.nu(w.distM, w.wavelengthM), !left.Blocked
	loss := w.bullington(&left)
	d.BullingtonDB, d.LossDB = loss, d.LossDB+loss-d.BullingtonDB
	return through, left
}

// ways is a search for the least loss.
type ways struct {
	stands             []Stand
	rest               Crest
	distM, wavelengthM float64
	floorDB, leastDB   radio.DB // of the Bullington part; what is found
	best               Crest    // what nothing that is passed over surpasses
}

func (w *ways) bullington(c *Crest) radio.DB {
	return bullingtonLoss(c.nu(w.distM, w.wavelengthM), w.distM)
}

// passed reports whether a stand surpasses a limit, and so is passed through.
func (w *ways) passed(s *Stand, limit *Crest) bool {
	if limit.Blocked {
		return s.crest.Blocked && (s.crest.A > limit.A || s.crest.B > limit.B)
	}
	return s.crest.Blocked || s.crest.Nu > limit.Nu
}

// try looks at a limit, and reports whether passing through what surpasses it may yet pay.
func (w *ways) try(limit *Crest) bool {
	sum := radio.DB(0)
	for i := range w.stands {
		if w.passed(&w.stands[i], limit) {
			sum += w.stands[i].ThroughDB
		}
	}
	if !(w.floorDB+sum < w.leastDB) {
		return false
	}
	if sum += max(w.bullington(limit), w.floorDB); sum < w.leastDB {
		w.leastDB, w.best = sum, *limit
	}
	return true
}

func (w *ways) search() {
	all := w.rest
	var room [3][16]float64                                       // no memory for each path
	as, bs, nus := room[0][:0:16], room[1][:0:16], room[2][:0:16] // steepest first
	for i := range w.stands {
		c := &w.stands[i].crest
		all.raise(c)
		if c.Blocked {
			as, bs = append(as, max(c.A, w.rest.A)), append(bs, max(c.B, w.rest.B))
		} else {
			nus = append(nus, c.Nu)
		}
	}
	w.try(&all)
	if w.leastDB == w.floorDB {
		return
	}
	if w.rest.Blocked {
		as, bs = append(as, w.rest.A), append(bs, w.rest.B)
	} else {
		nus = append(nus, w.rest.Nu)
	}
	down := func(list []float64) { slices.SortFunc(list, func(a, b float64) int { return cmp.Compare(b, a) }) }
	down(as)
	down(bs)
	down(nus)
	for i, a := range as {
		if i > 0 && !w.try(&Crest{Blocked: true, Slopes: Slopes{a, bs[0]}}) { // the first is all
			break
		}
		for _, b := range bs[1:] {
			if !w.try(&Crest{Blocked: true, Slopes: Slopes{a, b}}) {
				break
			}
		}
	}
	if !w.rest.Blocked {
		for _, nu := range nus {
			if !w.try(&Crest{Nu: nu}) {
				break
			}
		}
	}
}
