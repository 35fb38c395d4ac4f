package plan

import (
	"context"
	"errors"

	"github.com/polereach/polereach/terrain"
)

// Check examines the links of a plan and the mesh they form. Without any
// LineString, or with AllPairs, every pair within the range is examined that
// could close through free space.
//
// Errors are every fault of the options at once, a *CostError, ctx.Err, or
// terrain that could not be read.
func Check(ctx context.Context, p *Plan, dem terrain.DEM, opt CheckOptions) (*Mesh, error) {
	return nil, errors.New("plan: not yet")
}

// CheckPart examines one shard of the pairs.
func CheckPart(ctx context.Context, p *Plan, dem terrain.DEM, opt CheckOptions) (*Part, error) {
	return nil, errors.New("plan: not yet")
}

// Merge makes the Mesh of all parts of one plan, in any order. The error lists
// every part that is missing, given twice or of another plan, settings or
// terrain.
func Merge(parts ...*Part) (*Mesh, error) {
	return nil, errors.New("plan: not yet")
}
