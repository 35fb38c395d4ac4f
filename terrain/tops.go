package terrain

import "math"

// leastTopM is how far ground must rise inside a cell above where the line enters and
// leaves it to have a point of its own, m.
const leastTopM = 0.01

// Between two lines of posts the bilinear surface along a line is a parabola; with dz
// the difference of its ends and q what multiplies the square of the way, 0 to 1,
//
//	z = z0 + (dz - q) s + q s²
//
// It has its top inside where |dz| < -q, at s = 1/2 - dz/2q, (|dz| + q)²/-4q above the
// higher end. top returns s; ok tells that the top is inside and high enough.
func top(dz, q float64) (s float64, ok bool) {
	inside := -q - math.Abs(dz)
	// Its own sign kept, one comparison tells both.
	if inside*math.Abs(inside) > 4*leastTopM*math.Abs(q) {
		return 0.5 - dz/(2*q), true
	}
	return 0, false
}

// topsOver adds the tops between the points of the profile, whose heights are known and
// all of whose cells the grid has.
func (p *Profile) topsOver(line *geodesicLine, grid *Grid) error {
	n := len(p.DistM)
	perLon, perLat, h, cols := 1/grid.StepLonDeg, 1/grid.StepLatDeg, grid.HeightM, grid.Cols
	points, heightM := p.Points[:n], p.HeightM[:n]
	x0, y0, z0 := (points[0][0]-grid.WestDeg)*perLon, (grid.NorthDeg-points[0][1])*perLat, heightM[0]
	for i := 1; i < n; i++ {
		x1, y1, z1 := (points[i][0]-grid.WestDeg)*perLon, (grid.NorthDeg-points[i][1])*perLat, heightM[i]
		nw := int((y0+y1)/2)*cols + int((x0+x1)/2)
		upper, lower := h[nw:nw+2:nw+2], h[nw+cols:nw+cols+2:nw+cols+2]
		twist := float64(upper[0]) - float64(upper[1]) - float64(lower[0]) + float64(lower[1])
		if s, ok := top(z1-z0, twist*(x1-x0)*(y1-y0)); ok {
			p.DistM = append(p.DistM, p.DistM[i-1]+s*(p.DistM[i]-p.DistM[i-1]))
		}
		x0, y0, z0 = x1, y1, z1
	}
	if len(p.DistM) == n {
		return nil
	}
	return p.insert(line, grid, n)
}

// tops is topsOver for any DEM, which tells the height half-way between points.
func (p *Profile) tops(line *geodesicLine, dem DEM) error {
	n := len(p.DistM)
	p.lengthen(2*n - 1)
	for i := 1; i < n; i++ {
		p.DistM[n+i-1] = (p.DistM[i-1] + p.DistM[i]) / 2
	}
	line.places(p.DistM[n:], p.Points[n:])
	if err := dem.Heights(p.Points[n:], p.HeightM[n:], p.Flags[n:]); err != nil {
		return err
	}
	found := n
	for i := 1; i < n; i++ {
		if !p.Flags[i-1].Known() || !p.Flags[i].Known() || !p.Flags[n+i-1].Known() {
			continue
		}
		z0, half, z1 := p.HeightM[i-1], p.HeightM[n+i-1], p.HeightM[i]
		if s, ok := top(z1-z0, 2*(z0+z1)-4*half); ok {
			p.DistM[found] = p.DistM[i-1] + s*(p.DistM[i]-p.DistM[i-1])
			found++
		}
	}
	p.DistM = p.DistM[:found]
	return p.insert(line, dem, n)
}

// insert gives the points from number n on, of which the distances alone are known,
// their places and heights, and puts them in order with the n before.
func (p *Profile) insert(line *geodesicLine, dem DEM, n int) error {
	all := len(p.DistM)
	if all > MaxProfilePoints {
		return tooManyPoints(line)
	}
	added := all - n
	p.lengthen(all + added)
	line.places(p.DistM[n:all], p.Points[n:all])
	if err := dem.Heights(p.Points[n:all], p.HeightM[n:all], p.Flags[n:all]); err != nil {
		return err
	}
	move := func(to, from int) {
		p.DistM[to], p.HeightM[to], p.Flags[to], p.Points[to] = p.DistM[from], p.HeightM[from], p.Flags[from], p.Points[from]
	}
	for i := n; i < all; i++ { // out of the way
		move(i+added, i)
	}
	last, next := n-1, all+added-1
	for to := all - 1; next >= all; to-- {
		if p.DistM[last] > p.DistM[next] {
			move(to, last)
			last--
		} else {
			move(to, next)
			next--
		}
	}
	p.lengthen(all)
	return nil
}
