package terrain

import (
	"cmp"
	"math"

	"github.com/polereach/polereach/terrain/fault"
)

// Summary tells what one terrain file holds.
type Summary struct {
	Name string
	// Format is the name of the file format.
	Format string
	// CRS names the coordinate system of the posts, VerticalCRS that of the
	// heights, if the file tells.
	CRS, VerticalCRS string
	Cols, Rows       int
	// Extent holds the outermost posts. Its steps are those of the posts only if
	// Degrees is true; else they are the finest spacing found, in degrees.
	Extent  Extent
	Degrees bool
	// SpacingEastM and SpacingNorthM are the ground distances of neighbouring
	// posts in the middle, along a row and along a column, metres.
	SpacingEastM, SpacingNorthM float64
	// LowestM and HighestM are the extremes of the known heights, metres; they
	// mean nothing where Voids is the number of those looked at.
	LowestM, HighestM float64
	// Posts counts all posts, Looked those that were looked at: a sample where
	// they are very many. Of these, Voids counts those without a height,
	// Implausible those among the voids that were given as heights but cannot be
	// ground.
	Posts, Looked, Voids, Implausible int64
	// VerticalUnit is the unit the heights are stored in.
	VerticalUnit string
	// Surface is what the file says of its model: "surface" (with trees and
	// roofs), "bare earth", or empty if it says nothing.
	Surface string
}

// Summarise loads a source and counts. The error is that of loading it,
// [ErrRead], or [fault.ErrInput] without Load.
func Summarise(s Source) (Summary, error) {
	if s.Load == nil {
		return Summary{}, fault.Input("terrain: source %q: no Load function", s.Name)
	}
	grid, err := loadTile(s)
	if err != nil {
		return Summary{}, unread(err)
	}
	out := Summary{
		Name: s.Name, Format: s.Format, CRS: cmp.Or(s.CRS, "WGS 84"), VerticalCRS: s.VerticalCRS, Surface: s.Surface,
		Cols: grid.Cols, Rows: grid.Rows,
		Extent: grid.Extent(), Degrees: true, Posts: int64(len(grid.HeightM)), Looked: int64(len(grid.HeightM)),
		VerticalUnit: "metre",
		LowestM:      math.Inf(1), HighestM: math.Inf(-1),
	}
	lonM, latM := DegreeSizesM(out.Extent.Bound.Center().Lat())
	out.SpacingEastM, out.SpacingNorthM = grid.StepLonDeg*lonM, grid.StepLatDeg*latM
	for _, h := range grid.HeightM {
		if IsVoid(h) {
			out.Voids++
			continue
		}
		out.LowestM = math.Min(out.LowestM, float64(h))
		out.HighestM = math.Max(out.HighestM, float64(h))
	}
	if out.Voids == out.Posts {
		out.LowestM, out.HighestM = 0, 0
	}
	return out, nil
}
