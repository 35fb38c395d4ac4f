package terrain

import (
	"cmp"
	"context"
	"fmt"
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

// mostSummarised bounds the posts that Summarise looks at, a few seconds of work.
const mostSummarised = 1 << 26

// Summarise loads the source of a file, or all that a large one is served as, and counts. Of more than
// 2^26 posts it looks at parts spread evenly over the file. The error is that of loading a source,
// [ErrRead], [fault.ErrInput] without Load or without a source, or that of ctx when it ends.
func Summarise(ctx context.Context, parts []Source) (Summary, error) {
	if len(parts) == 0 {
		return Summary{}, fault.Input("terrain: no source to summarise")
	}
	extents, posts, across := make([]Extent, len(parts)), int64(0), 0
	for i, p := range parts {
		if p.Load == nil {
			return Summary{}, fault.Input("terrain: source %q: no Load function", p.Name)
		}
		if err := p.Lattice.Check(); err != nil {
			return Summary{}, fmt.Errorf("source %q: %w", p.Name, err)
		}
		extents[i] = p.Lattice.Extent()
		posts += int64(p.Lattice.Cols) * int64(p.Lattice.Rows)
		if p.Lattice.NorthDeg == parts[0].Lattice.NorthDeg {
			across++
		}
	}
	step := max(1, int((posts-1)/mostSummarised)+1)
	for step > 1 && gcd(step, across) > 1 { // else whole columns of parts are never met
		step++
	}
	var out Summary
	for i := 0; i < len(parts); i += step {
		if err := ctx.Err(); err != nil {
			return Summary{}, err
		}
		s, err := summarise(parts[i])
		if err != nil {
			return Summary{}, err
		}
		if i == 0 {
			out = s
			continue
		}
		if s.Voids < s.Looked {
			if out.Voids == out.Looked {
				out.LowestM, out.HighestM = s.LowestM, s.HighestM
			}
			out.LowestM, out.HighestM = math.Min(out.LowestM, s.LowestM), math.Max(out.HighestM, s.HighestM)
		}
		out.Looked, out.Voids = out.Looked+s.Looked, out.Voids+s.Voids
	}
	if len(parts) > 1 {
		out.Posts, out.Extent = posts, unionExtent(extents)
		b := out.Extent.Bound
		out.Cols = int(math.Round((b.Max[0]-b.Min[0])/out.Extent.StepLonDeg)) + 1
		out.Rows = int(math.Round((b.Max[1]-b.Min[1])/out.Extent.StepLatDeg)) + 1
		lonM, latM := DegreeSizesM(b.Center().Lat())
		out.SpacingEastM, out.SpacingNorthM = out.Extent.StepLonDeg*lonM, out.Extent.StepLatDeg*latM
	}
	return out, nil
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// summarise loads a source and counts.
func summarise(s Source) (Summary, error) {
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
