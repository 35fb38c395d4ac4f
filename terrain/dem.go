package terrain

import "github.com/paulmach/orb"

// Flag says what stands behind one height.
type Flag uint8

// The four answers a DEM can give about a place.
const (
	Ground  Flag = iota // a height from posts of the source
	Void                // the source covers the place but marks its posts as unknown
	Outside             // no source covers the place
	Filled              // interpolated over a short void, on request only
)

// String returns the word used in messages and output.
func (f Flag) String() string {
	switch f {
	case Ground:
		return "ground"
	case Void:
		return "void"
	case Outside:
		return "outside the terrain"
	case Filled:
		return "filled"
	}
	return "unknown flag"
}

// Known reports whether a height with this flag is a number that may be used.
func (f Flag) Known() bool { return f == Ground || f == Filled }

// A DEM gives ground heights. It must be safe for concurrent use.
//
// Two methods are all that is asked, so that a program can bring its own.
type DEM interface {
	// Extent tells where heights may exist and how close the posts lie.
	Extent() Extent

	// Heights writes the height of the ground in metres above the source's
	// vertical datum at each place to heightM, and what stands behind it to
	// flag. Both slices are as long as at. Where the flag is not Known the
	// height is 0 and means nothing. Places are longitude, latitude in degrees
	// on WGS 84; a longitude may lie outside ±180. An error means that the
	// source could not be read, not that a height is missing.
	Heights(at []orb.Point, heightM []float64, flag []Flag) error
}

// Extent is the area a DEM covers and its finest post spacing.
type Extent struct {
	// Bound holds the outermost posts, degrees, longitude first.
	Bound orb.Bound
	// StepLonDeg and StepLatDeg are the finest post spacings, degrees, above 0.
	StepLonDeg, StepLatDeg float64
	// Irregular says that the posts do not all stand on the lines of longitude and
	// latitude that Bound and the steps make up: a raster in projected coordinates,
	// or lattices that are out of step with each other.
	Irregular bool
}
