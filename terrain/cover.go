package terrain

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"
)

// CoverClass is the kind of what stands on the ground at a place.
type CoverClass uint8

// The classes: those of ITU-R P.1812-6 table 2, with trees apart from houses.
const (
	CoverUnknown CoverClass = iota // nobody says
	CoverWater
	CoverOpen
	CoverSuburban
	CoverWood
	CoverUrban
	CoverDenseUrban
)

// String returns the word of the class.
func (c CoverClass) String() string {
	if c > CoverDenseUrban {
		return fmt.Sprintf("cover %d", uint8(c))
	}
	return [...]string{"unknown", "water", "open", "suburban", "wood", "urban", "dense_urban"}[c]
}

// Stands reports whether the class rises above the ground: woods and houses.
func (c CoverClass) Stands() bool { return c > CoverOpen && c <= CoverDenseUrban }

// Standing is what stands at one place.
type Standing struct {
	Class CoverClass
	// HeightM is its height above the ground, m; 0 where only the class is known.
	HeightM float32
	// Drawn says that somebody drew its outline: it ends where it is drawn to end, and stands on a
	// profile up to an antenna too.
	Drawn bool
}

// String is class and height in braces.
func (s Standing) String() string {
	return fmt.Sprintf("{%v %v%s}", s.Class, s.HeightM, map[bool]string{true: " drawn"}[s.Drawn])
}

// MostStandingM is more than anything that stands on the ground is high, m.
const MostStandingM = 500

func (s Standing) sound() bool {
	return s.Class <= CoverDenseUrban && s.HeightM >= 0 && s.HeightM <= MostStandingM
}

// A Cover tells what stands on the ground. It must be safe for concurrent use.
type Cover interface {
	// Standing writes what stands at each place to out, which is as long as at. Places are as in
	// [DEM.Heights]. An error means that the source could not be read, or says what is none.
	//
	// A Cover may have a method Highest, which returns a Standing of the last of the classes that it tells, and of
	// the greatest height: fewer places are asked then.
	Standing(at []orb.Point, out []Standing) error
}

// covered is a DEM of which is known what stands on it.
type covered struct {
	DEM
	cover Cover
}

// WithCover lays a cover on a DEM: profiles over it tell what stands on the ground. The
// heights are those of the DEM. Without one of both it is the DEM as it is.
func WithCover(dem DEM, cover Cover) DEM {
	if dem == nil || cover == nil {
		return dem
	}
	return covered{dem, cover}
}

// GroundAndCover takes apart what WithCover put together; the cover is nil where none is known.
func GroundAndCover(dem DEM) (DEM, Cover) {
	if c, ok := dem.(covered); ok {
		return c.DEM, c.cover
	}
	return dem, nil
}

// Wood is the wood that an end of a path stands in, or that begins within AtWoodM before it. The
// zero Wood is none.
type Wood struct {
	// NearM and FarM are where the way enters and leaves it, m from that end: NearM is 0 for an
	// end inside. FarM is the length of the path where the other end stands in the same wood.
	NearM, FarM float64
	// Rim is what stands at the far edge.
	Rim Standing
}

func (w Wood) sound(lengthM float64) bool {
	return w.NearM >= 0 && w.FarM >= w.NearM && w.FarM <= lengthM && w.Rim.sound()
}

// AtWoodM is how far before an antenna a wood may begin to stand around that end: nearer than that
// P.452-18 lets nothing stand on a profile.
const AtWoodM = 50

// WoodEdgeM is to what an edge of a wood is looked for, m: the last trees of one may stand so far beyond its FarM.
const WoodEdgeM = 0.5

// A clearing no wider than clearingM does not end a wood: a road, a ride. An edge is
// looked for in steps of lookM near an end; up to markedM from one it is a point of the profile. Engineering
// judgement.
const (
	clearingM = 100
	lookM     = 10
	markedM   = 200

	mostHalved = 40 // times that a way is halved; no path on the earth needs more
)

// LatticeCover is a Cover that can be asked about all posts of a lattice at once, which is cheaper by
// far than place by place.
type LatticeCover interface {
	Cover
	// StandingOn writes what stands at each post of the lattice to out, row by row, the first posts of two
	// rows stride apart, as the number that it has; what lies between rows may be spoiled. Number may be
	// called from several goroutines, from one alone for a single row. The error is that of Standing, or the context's.
	StandingOn(ctx context.Context, on Lattice, stride int, number func(Standing) uint16, out []uint16) error
}
