package terrain

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// crossing collects the points of a profile: where its line crosses lines of posts
// of a lattice, columns and rows.
type crossing struct {
	p       *Profile
	lattice *Lattice
	grid    *Grid   // whose lattice it is, where heights are wanted; else nil
	n       int     // points up to now
	sumM    float64 // of the heights: no number if one is missing
	inMid   float64 // how near a crossing comes to a post at the most: 1/2 less its way to that, in steps
}

// alongPosts makes p the profile of the line at its ends and wherever it crosses a line of posts.
// Where grid is given, which must reach beyond all of the line, inner heights are filled in too,
// and known tells that none is missing.
func (p *Profile) alongPosts(line *geodesicLine, l *Lattice, grid *Grid) (known bool, err error) {
	a := line.area()
	guess := (a.east-a.west)/l.StepLonDeg + (a.north-a.south)/l.StepLatDeg
	p.makeLong(line, 4+int(min(guess, MaxProfilePoints/16)))
	c := crossing{p: p, lattice: l, grid: grid, n: 1}
	pieces := 0
	for w := line.walk(); w.step(); pieces++ {
		if !c.piece(&w) {
			return false, tooManyPoints(line)
		}
	}
	last := c.n
	p.lengthen(last + 1)
	p.DistM[0], p.DistM[last] = 0, line.DistM
	p.Points[0], p.Points[last] = line.start.place, line.end.place
	if (0.5-c.inMid)*min(l.StepLonDeg*line.leastLonM, l.StepLatDeg*line.leastLatM) < 2*shortestPathM || pieces > 1 ||
		p.endsClose() {
		p.unite()
	}
	// One over a pole has many pieces, and longitudes counted on half a turn beyond it.
	if pieces > 1 || a.west < -180 || a.east > 180 || !(math.Abs(line.end.place[0]) <= 180) {
		for i := range p.Points {
			p.Points[i][0] = longitude180(p.Points[i][0])
		}
	}
	return grid != nil && finite(c.sumM), nil
}

func tooManyPoints(line *geodesicLine) error {
	return fault.Input("terrain: %.0f m cross more lines of posts than the %d points allowed; choose a spacing",
		line.DistM, MaxProfilePoints)
}

// piece adds the crossings of one piece.
func (c *crossing) piece(w *walk) bool {
	if w.lengthM <= leastPieceM { // at a pole, where columns meet
		c.p.lengthen(max(c.n+1, len(c.p.DistM)))
		c.p.DistM[c.n], c.p.Points[c.n] = w.startM, orb.Point{w.from.lon.deg, w.from.lat.deg}
		c.n++
		c.sumM = math.NaN()
		return true
	}
	l := c.lattice
	perLon, perLat := 1/l.StepLonDeg, -1/l.StepLatDeg
	s := stretch{col: w.lon.in(l.WestDeg, perLon), row: w.lat.in(l.NorthDeg, perLat), startM: w.startM, lengthM: w.lengthM}
	begin := spot{0, s.col.c0, s.row.c0}
	end := spot{1, (w.to.lon.deg - l.WestDeg) * perLon, (w.to.lat.deg - l.NorthDeg) * perLat}
	var room [4]float64
	cuts := s.row.turns(s.col.turns(room[:0]))
	slices.Sort(cuts)
	for _, t := range cuts {
		next := s.spot(t)
		if !c.stretch(&s, begin, next) {
			return false
		}
		begin = next
	}
	return c.stretch(&s, begin, end)
}

// stretch is a piece with the columns and rows at which the line is over it.
type stretch struct {
	col, row        cubic
	startM, lengthM float64
}

// spot is a place on a piece: t from 0 to 1, and the column and the row there.
type spot struct{ t, col, row float64 }

func (s *stretch) spot(t float64) spot { return spot{t, s.col.at(t), s.row.at(t)} }

// stretch adds the crossings of a part of a piece along which both coordinates only rise or only
// fall. A crossing of a line has its place among all by the number of lines of the other kind
// before it, so that no order needs to be found. Where the line meets a post, rounding may put two
// crossings in one place and none in another: unite takes that one out.
func (c *crossing) stretch(s *stretch, from, to spot) bool {
	l := c.lattice
	lengthM := (to.t - from.t) * s.lengthM
	cols := newAxis(&s.col, from.t, to.t, from.col, to.col, lengthM)
	rows := newAxis(&s.row, from.t, to.t, from.row, to.row, lengthM)
	if !(float64(c.n)+cols.lines+rows.lines < MaxProfilePoints) {
		return false
	}
	const few = 4 // lines that it costs less to look for one by one
	if !cols.smooth && cols.lines > few || !rows.smooth && rows.lines > few {
		if middle := s.spot((from.t + to.t) / 2); middle.t > from.t && middle.t < to.t {
			return c.stretch(s, from, middle) && c.stretch(s, middle, to)
		}
	}
	cols.lay(l.WestDeg, l.StepLonDeg, 1)
	rows.lay(l.NorthDeg, -l.StepLatDeg, l.Cols)
	rows.coordinate = 1
	first := c.n
	c.n += int(cols.lines) + int(rows.lines)
	c.p.lengthen(max(c.n+1, len(c.p.DistM)))
	if cols.lines > 0 && rows.lines > 0 {
		dist := c.p.DistM[first:c.n]
		for i := range dist {
			dist[i] = -1
		}
	}
	c.lines(s, &cols, &rows, first)
	c.lines(s, &rows, &cols, first)
	return true
}

// axis counts the lines of posts that a stretch crosses, the columns or the rows, from
// the one at or before its start on: they are 1, 2, ... up to lines.
type axis struct {
	at       cubic   // position over t, in lines, rising
	from, to float64 // position at both ends of the stretch
	fromT    float64
	toT      float64
	lines    float64
	first    float64 // number of line 0 in the lattice
	sign     float64 // 1 where numbers rise along the way, else -1

	smooth  bool
	inverse cubic // of at, over the way from from to to, if it is smooth

	originDeg  float64 // coordinate of line 0
	stepDeg    float64 // from one line to the next
	coordinate int     // 0 is longitude
	post       int     // number of the first post of line 0
	stride     int     // posts from one line to the next
}

// newAxis looks at a coordinate, in steps, along a stretch of lengthM.
func newAxis(position *cubic, fromT, toT, from, to, lengthM float64) (a axis) {
	a.fromT, a.toT = fromT, toT
	a.sign, a.first = 1, math.Floor(from)
	if to < from {
		a.sign, a.first = -1, math.Ceil(from)
	}
	a.at = position.in(a.first, a.sign)
	a.from, a.to = (from-a.first)*a.sign, (to-a.first)*a.sign
	if a.to-a.from < snapStep {
		return a // along a line of posts, or not moving
	}
	if a.lines = math.Floor(a.to); a.lines == 0 {
		return a
	}
	// Where the slope changes by the part x of itself along the stretch, the fourth
	// derivative of the inverse is 15 x³ of the length, and the cubic misses it by
	// 15/384 of that (see nodeSpacingM): here by 0.04 mm along the line.
	const mostM = 1e-3
	begin, middle, end := a.at.slopeAt(fromT), a.at.slopeAt((fromT+toT)/2), a.at.slopeAt(toT)
	least := min(begin, middle, end)
	x := (max(begin, middle, end) - least) / least
	if least > 0 && x*x*x*lengthM <= mostM {
		span := a.to - a.from
		a.smooth, a.inverse = true, hermite(slope{fromT, span / begin}, slope{toT, span / end})
	}
	return a
}

// lay tells where the lines are on the ground and among the posts of a grid.
func (a *axis) lay(originDeg, stepDeg float64, stride int) {
	a.originDeg, a.stepDeg = originDeg+stepDeg*a.first, stepDeg*a.sign
	a.post, a.stride = int(a.first)*stride, int(a.sign)*stride
}

// where returns t at a line, not before low.
func (a *axis) where(line, low float64) float64 {
	high := a.toT
	t := low + (high-low)/2
	for range 60 {
		off := a.at.at(t) - line
		if math.Abs(off) <= 1e-9 {
			break
		}
		if off < 0 {
			low = t
		} else {
			high = t
		}
		if t -= off / a.at.slopeAt(t); !(t > low && t < high) {
			t = low + (high-low)/2
		}
	}
	return t
}

// lines adds where the stretch crosses the lines of one axis, x; the other one is y.
func (c *crossing) lines(s *stretch, x, y *axis, first int) {
	var posts []float32
	if c.grid != nil {
		posts = c.grid.HeightM
	}
	n, most := int(x.lines), int(y.lines)
	dist, height, points := c.p.DistM[first:c.n], c.p.HeightM[first:c.n], c.p.Points[first:c.n]
	perSpan := 1 / (x.to - x.from)
	t, sumM, inMid := x.fromT, 0.0, c.inMid
	post := x.post + y.post
	for k := range n {
		line := float64(k + 1)
		if x.smooth {
			t = x.inverse.at((line - x.from) * perSpan)
		} else {
			t = x.where(line, t)
		}
		across := y.at.at(t)
		before := min(max(int(across), 0), most)
		i := k + before
		dist[i] = s.startM + t*s.lengthM
		points[i][x.coordinate&1] = x.originDeg + x.stepDeg*line
		points[i][y.coordinate&1] = y.originDeg + y.stepDeg*across
		post += x.stride
		part := across - float64(before)
		if off := math.Abs(part - 0.5); off > inMid {
			inMid = off
		}
		if posts != nil {
			p := post + before*y.stride
			z := (1-part)*float64(posts[p]) + part*float64(posts[p+y.stride])
			height[i] = z
			sumM += z
		}
	}
	c.sumM, c.inMid = c.sumM+sumM, inMid
}

// endsClose reports whether an end may be one place with the crossing next to it.
func (p *Profile) endsClose() bool {
	d := p.DistM
	last := len(d) - 1
	return last < 2 || d[1] < 2*shortestPathM || d[last]-d[last-1] < 2*shortestPathM
}

// unite takes out inner points less than shortestPathM beyond the one before, or
// before the end: they are the same place.
func (p *Profile) unite() {
	last := len(p.DistM) - 1
	endM := p.DistM[last] - shortestPathM
	kept := 0
	for i := 1; i < last; i++ {
		d := p.DistM[i]
		if !(d-p.DistM[kept] >= shortestPathM && d <= endM) {
			continue
		}
		if kept++; kept != i {
			p.DistM[kept], p.HeightM[kept], p.Points[kept] = d, p.HeightM[i], p.Points[i]
		}
	}
	if kept++; kept != last {
		p.DistM[kept], p.HeightM[kept], p.Points[kept] = p.DistM[last], p.HeightM[last], p.Points[last]
		p.lengthen(kept + 1)
	}
}

// lengthen makes p one of n points, the ones it has kept.
func (p *Profile) lengthen(n int) {
	p.DistM, p.HeightM = slices.Grow(p.DistM, max(0, n-len(p.DistM)))[:n],
		slices.Grow(p.HeightM, max(0, n-len(p.HeightM)))[:n]
	p.Flags, p.Points = slices.Grow(p.Flags, max(0, n-len(p.Flags)))[:n],
		slices.Grow(p.Points, max(0, n-len(p.Points)))[:n]
}
