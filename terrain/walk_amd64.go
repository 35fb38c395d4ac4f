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
	sum            [4]float64
	posts, below   *float32
	dist, height   *float64
	points         *orb.Point
	cols           int64
	lastCol        int64 // with one after it
	lastRow        int64
}

// walkQuickly does walk for the first points, as many as go by fours, and returns
// how many those are and the sum of their heights.
func (p *Profile) walkQuickly(grid *Grid, lon, lat cubic, lengthM float64) (n int, sum float64) {
	vectors := len(p.DistM) / 4
	if !cpu.X86.HasAVX2 || vectors == 0 || len(grid.HeightM) > math.MaxInt32 {
		return 0, 0
	}
	_, _, _ = p.HeightM[4*vectors-1], p.Points[4*vectors-1], grid.HeightM[grid.Rows*grid.Cols-1]
	call := walkCall{
		lon: lon, lat: lat, stepM: lengthM / float64(len(p.DistM)-1), perM: 1 / lengthM,
		west: grid.WestDeg, north: grid.NorthDeg, perLon: 1 / grid.StepLonDeg, perLat: 1 / grid.StepLatDeg,
		first: [4]float64{0, 1, 2, 3}, posts: &grid.HeightM[0], below: &grid.HeightM[grid.Cols],
		dist: &p.DistM[0], height: &p.HeightM[0], points: &p.Points[0],
		cols: int64(grid.Cols), lastCol: int64(grid.Cols - 2), lastRow: int64(grid.Rows - 2),
	}
	walkVectors(&call, vectors)
	return 4 * vectors, call.sum[0] + call.sum[1] + call.sum[2] + call.sum[3]
}

// walkVectors, of _kernel, does walk for so many times four points, at least one.
//
//go:noescape
func walkVectors(call *walkCall, vectors int)
