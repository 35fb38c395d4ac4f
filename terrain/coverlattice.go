package terrain

import "context"

// LatticeCover is a Cover that can be asked about all posts of a lattice at once, which is cheaper by
// far than place by place.
type LatticeCover interface {
	Cover
	// StandingOn writes what stands at each post of the lattice to out, row by row, the first posts of two
	// rows stride apart, as the number that it has; what lies between rows may be spoiled. Number may be
	// called from several goroutines, from one alone for a single row. The error is that of Standing, or the context's.
	StandingOn(ctx context.Context, on Lattice, stride int, number func(Standing) uint16, out []uint16) error
}
