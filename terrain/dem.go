package terrain

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

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
	if f > Filled {
		return "unknown flag"
	}
	return [...]string{"ground", "void", "outside the terrain", "filled"}[f]
}

// Known reports whether a height with this flag is a number that may be used.
func (f Flag) Known() bool { return f == Ground || f == Filled }

// A DEM gives ground heights. It must be safe for concurrent use.
//
// Two methods are all that is asked, so that a program can bring its own.
type DEM interface {
	// Extent tells where heights may exist and how close the posts lie.
	Extent() Extent

	// Heights writes the height of the ground in metres above the source's vertical datum at each
	// place to heightM, and what stands behind it to flag. Both slices are as long as at. Where the
	// flag is not Known the height is 0 and means nothing. Places are longitude, latitude in
	// degrees on WGS 84; a longitude may lie outside ±180. An error means that the source could not
	// be read, not that a height is missing.
	Heights(at []orb.Point, heightM []float64, flag []Flag) error
}

// ErrRead is behind every error of terrain that could not be read: a file that is broken
// or gone, a DEM that fails or gives as known what is no number. It is not the caller's
// fault, as [fault.ErrInput] is.
var ErrRead = errors.New("the terrain could not be read")

// unread makes an error one of [ErrRead], its text as it is.
func unread(err error) error {
	if err == nil || errors.Is(err, ErrRead) {
		return err
	}
	return &readError{err}
}

type readError struct{ error }

func (e *readError) Is(target error) bool { return target == ErrRead }
func (e *readError) Unwrap() error        { return e.error }

func errNoDEM() error { return fault.Input("no DEM given") }

// HeightsOf asks dem for heights and makes sure of them: they are 0 where not known. The
// error is [fault.ErrInput] without a DEM or with lists of different lengths, and
// [ErrRead] where it fails or a known height is not finite. Whoever asks a DEM that somebody else wrote asks here.
func HeightsOf(dem DEM, at []orb.Point, heightM []float64, flag []Flag) error {
	if dem == nil {
		return errNoDEM()
	}
	if len(heightM) != len(at) || len(flag) != len(at) {
		return fault.Input("%d heights and %d flags for %d places, must be as many", len(heightM), len(flag), len(at))
	}
	if err := dem.Heights(at, heightM, flag); err != nil {
		return unread(err)
	}
	for i, f := range flag {
		if !f.Known() {
			heightM[i] = 0
		} else if !finite(heightM[i]) {
			return unread(fmt.Errorf("the terrain gives %g m as a known height at %v", heightM[i], at[i]))
		}
	}
	return nil
}

// mustMatch panics unless the slices of a call of Heights are as long as each other.
func mustMatch(at []orb.Point, heightM []float64, flag []Flag) {
	if len(at) != len(heightM) || len(at) != len(flag) {
		panic("terrain: Heights needs three slices of the same length")
	}
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

// checkSteps refuses posts without a distance, for the subject told.
func (e Extent) checkSteps(subject string) error {
	if e.StepLonDeg > 0 && e.StepLatDeg > 0 {
		return nil
	}
	return fault.Input("terrain: %s: the terrain has posts every %g° by %g°, both must be above 0",
		subject, e.StepLonDeg, e.StepLatDeg)
}
