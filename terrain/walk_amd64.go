//go:build !purego

package terrain

import (
	"math"

	"github.com/paulmach/orb"
	"golang.org/x/sys/cpu"
)

// walkCall is what the kernel of walk needs, and its answer, sum. The kernel counts
// on the order of the fields (see _kernel).
type walkCall struct {
	lon, lat       cubic
	stepM, perM    float64
	west, north    float64
	perLon, perLat float64
	first          [4]float64 // number of the point in each lane
	sum            [4]float64 // of the heights, some twice: no number if one is missing
	posts, below   *float32
	dist, height   *float64
	points         *orb.Point
	cols           int64
	lastCol        int64 // with one after it
	lastRow        int64
}

// walkQuickly is walk for four points at once; done is false where it cannot be.
// What remains of the points after the last four is done with some before it, which
// come out as they are.
func (p *Profile) walkQuickly(grid *Grid, lon, lat cubic, lengthM float64) (done, known bool) {
	n := len(p.DistM)
	if !cpu.X86.HasAVX2 || n < 4 || len(grid.HeightM) > math.MaxInt32 {
		return false, false
	}
	_, _, _ = p.HeightM[n-1], p.Points[n-1], grid.HeightM[grid.Rows*grid.Cols-1]
	call := walkCall{
		lon: lon, lat: lat, stepM: lengthM / float64(n-1), perM: 1 / lengthM,
		west: grid.WestDeg, north: grid.NorthDeg, perLon: 1 / grid.StepLonDeg, perLat: 1 / grid.StepLatDeg,
		posts: &grid.HeightM[0], below: &grid.HeightM[grid.Cols],
		cols: int64(grid.Cols), lastCol: int64(grid.Cols - 2), lastRow: int64(grid.Rows - 2),
	}
	call.walk(p, 0, n/4)
	if n%4 != 0 {
		call.walk(p, n-4, 1)
	}
	return true, finite(call.sum[0] + call.sum[1] + call.sum[2] + call.sum[3])
}

// walk does so many times four points from one on, and adds their heights to the sum.
func (c *walkCall) walk(p *Profile, from, vectors int) {
	first := float64(from)
	c.first = [4]float64{first, first + 1, first + 2, first + 3}
	c.dist, c.height, c.points = &p.DistM[from], &p.HeightM[from], &p.Points[from]
	walkVectors(c, vectors)
}

// walkVectors, of _kernel, does walk for so many times four points, at least one.
//
//go:noescape
func walkVectors(call *walkCall, vectors int)
