package plan

import (
	"errors"

	"github.com/polereach/polereach/terrain"
)

// Cost is what a check would take, known before it starts.
type Cost struct {
	Stations int
	// Pairs is how many would be examined, over all shards; Hopeless how many
	// within the range could not close even through free space.
	Pairs, Hopeless int64
	// ProfilePoints is how many heights they need.
	ProfilePoints float64
	// CPUSeconds is about what that takes on one core (60 ns a point, measured).
	CPUSeconds float64
	// Exact is false where there were too many pairs to count and the figures
	// are estimated from some poles.
	Exact bool
}

// CostError says that a check would take more than its options allow.
type CostError struct {
	Cost
	MaxPairs  int64 // over all shards
	MaxPoints float64
}

// Error says how much it would be, and the ways out.
func (e *CostError) Error() string { return "too costly" }

// Estimate returns the cost of a check without reading terrain heights. The
// time it takes does not grow with the number of pairs.
func Estimate(p *Plan, dem terrain.DEM, opt CheckOptions) (Cost, error) {
	return Cost{}, errors.New("plan: not yet")
}
