package coverage

import (
	"errors"
	"fmt"
	"runtime"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/terrain"
)

// Options says which area is swept and for what.
type Options struct {
	// RadiusM is how far from the pole cells are judged, m; above 0, at most
	// MaxRadiusM.
	RadiusM float64
	// Area limits the raster to the cells inside it, degrees; nil: all within
	// the radius. The pole may stand outside.
	Area *orb.Bound
	// Receiver is the station that might stand in a cell. Both directions are
	// computed, so its transmitter counts too.
	Receiver linkbudget.Station
	// Environment is that of every path. Cover is not supported here.
	Environment linkbudget.Environment
	// CellM is the wanted distance between cells, m, rounded to a whole number
	// of posts of the terrain; 0 means one cell for every post.
	CellM float64
	// FillVoidsM is the longest stretch over which voids on a path are
	// interpolated, m; 0: none. A cell that is a void itself is never judged.
	FillVoidsM float64
	// Workers is the number of goroutines; 0 means one for every core. The
	// result does not depend on it.
	Workers int
	// MemoryBytes bounds the heights and the raster together; 0 means 512 MiB.
	// A sweep that needs more is refused, with the spacing that would fit.
	MemoryBytes int64
	// Progress, if set, is told how many of the total pieces are done. Calls
	// come one at a time.
	Progress func(done, total int)
}

// MaxRadiusM is the largest radius of a sweep: no small node reaches farther.
const MaxRadiusM = 300e3

// maxLatitudeDeg bounds the area: nearer to a pole of the earth a raster of
// longitude and latitude has no sensible cells.
const maxLatitudeDeg = 86

const (
	defaultMemoryBytes = 512 << 20
	bytesPerPost       = 4 // height
	bytesPerCell       = 8
)

// check returns every fault of the arguments of Sweep.
func check(pole linkbudget.Station, at orb.Point, dem terrain.DEM, opt *Options) error {
	var errs []error
	fault := func(format string, args ...any) {
		errs = append(errs, fmt.Errorf("coverage: "+format, args...))
	}
	if dem == nil {
		fault("no DEM given")
	} else if e := dem.Extent(); !(e.StepLonDeg > 0) || !(e.StepLatDeg > 0) {
		fault("the terrain has posts every %g° by %g°, both must be above 0", e.StepLonDeg, e.StepLatDeg)
	}
	if err := terrain.CheckPlace(at); err != nil {
		fault("pole: %w", err)
	}
	if !(opt.RadiusM > 0 && opt.RadiusM <= MaxRadiusM) {
		fault("radius: found %g m, allowed above 0 to %g m", opt.RadiusM, float64(MaxRadiusM))
	}
	if !(opt.CellM >= 0 && opt.CellM <= 10e3) {
		fault("cell spacing: found %g m, allowed 0 (every post) to 10000 m", opt.CellM)
	}
	if !(opt.FillVoidsM >= 0 && opt.FillVoidsM <= 10e3) {
		fault("voids filled up to: found %g m, allowed 0 to 10000 m", opt.FillVoidsM)
	}
	if opt.MemoryBytes < 0 {
		fault("memory: found %d bytes, allowed 0 (512 MiB) and more", opt.MemoryBytes)
	}
	if opt.Environment.Cover > clutter.Open {
		fault("cover: clutter along the paths is not supported over an area; leave it out, or check single paths")
	}
	if b := opt.Area; b != nil && !(b.Min[0] <= b.Max[0] && b.Min[1] <= b.Max[1] && b.Max[0]-b.Min[0] <= 360) {
		fault("area: found %v to %v, the south-west corner must come first", b.Min, b.Max)
	}
	if opt.MemoryBytes == 0 {
		opt.MemoryBytes = defaultMemoryBytes
	}
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	return errors.Join(errs...)
}
