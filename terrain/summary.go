package terrain

import "math"

// Summary tells what one terrain file holds.
type Summary struct {
	Name    string
	Lattice Lattice
	// SpacingEastM and SpacingNorthM are the ground distances of neighbouring
	// posts in the middle of the lattice, metres.
	SpacingEastM, SpacingNorthM float64
	// LowestM and HighestM are the extremes of the known heights, metres; they
	// mean nothing where Voids is the number of all posts.
	LowestM, HighestM float64
	// Voids counts the posts without a height.
	Voids int
}

// Summarise loads a source and counts. The error is that of loading it.
func Summarise(s Source) (Summary, error) {
	grid, err := s.Load()
	if err != nil {
		return Summary{}, err
	}
	out := Summary{Name: s.Name, Lattice: grid.Lattice, LowestM: math.Inf(1), HighestM: math.Inf(-1)}
	middle := grid.Extent().Bound.Center().Lat()
	lonM, latM := degreeSizesM(middle)
	out.SpacingEastM, out.SpacingNorthM = grid.StepLonDeg*lonM, grid.StepLatDeg*latM
	for _, h := range grid.HeightM {
		if IsVoid(h) {
			out.Voids++
			continue
		}
		out.LowestM = math.Min(out.LowestM, float64(h))
		out.HighestM = math.Max(out.HighestM, float64(h))
	}
	if out.Voids == len(grid.HeightM) {
		out.LowestM, out.HighestM = 0, 0
	}
	return out, nil
}
