package coverage_test

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// mountains is a square of posts at 1" with rough ground, made by a fixed
// formula: eight octaves of noise, each half as wide and half as high as the
// one before, down to two posts. The slopes are those of a low range.
func mountains(n int) *terrain.Grid {
	g := &terrain.Grid{
		Lattice: terrain.Lattice{WestDeg: -85, NorthDeg: 37, StepLonDeg: 1.0 / 3600, StepLatDeg: 1.0 / 3600, Cols: n,
			Rows: n},
		HeightM: make([]float32, n*n),
	}
	for r := range n {
		for c := range n {
			h := 400.0
			for octave := range 9 {
				width := 512 / math.Exp2(float64(octave))
				h += 500 / math.Exp2(float64(octave)) * noise(float64(c)/width, float64(r)/width, uint32(octave))
			}
			g.HeightM[r*n+c] = float32(math.Round(h))
		}
	}
	return g
}

// noise is smooth between random values, 0 to 1, at whole numbers.
func noise(x, y float64, seed uint32) float64 {
	i, j := math.Floor(x), math.Floor(y)
	u, v := x-i, y-j
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	at := func(di, dj float64) float64 {
		k := uint32(int32(i+di))*374761393 + uint32(int32(j+dj))*668265263 + seed*2246822519
		k = (k ^ k>>13) * 1274126177
		return float64(k^k>>16) / math.MaxUint32
	}
	return (1-v)*((1-u)*at(0, 0)+u*at(1, 0)) + v*((1-u)*at(0, 1)+u*at(1, 1))
}

// middle is a place near the middle, off the posts.
func middle(g *terrain.Grid) orb.Point {
	p := g.Post(g.Cols/2, g.Rows/2)
	return orb.Point{p[0] + 0.3*g.StepLonDeg, p[1] + 0.4*g.StepLatDeg}
}
