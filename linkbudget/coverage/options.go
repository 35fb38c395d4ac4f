package coverage

import (
	"errors"
	"fmt"
	"math"
	"runtime"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
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
	// Environment is that of every path. Its Cover is not supported here; that of the DEM is.
	Environment linkbudget.Environment
	// CellM is the wanted distance between cells, m, rounded to a whole number
	// of posts of the terrain; 0 means one cell for every post.
	CellM float64
	// FillVoidsM is the longest stretch over which voids on a path are
	// interpolated, m; 0: none. A cell that is a void itself is never judged.
	FillVoidsM float64
	// WholePercent keeps the chance alone, in whole per cent rounded down, one byte for a cell: in
	// hills a fraction of the time, as what lies deep in a shadow need not be computed. The
	// raster then has neither margin nor loss, and Environment.WantPercent must be whole.
	WholePercent bool
	// Workers is the number of goroutines; 0 means one for every core. The
	// result does not depend on it.
	Workers int
	// MemoryBytes bounds the heights and the raster together; 0 means 512 MiB.
	// A sweep that needs more is refused, with the spacing that would fit.
	MemoryBytes int64
	// Progress, if set, is told how many of the total pieces are done. Calls
	// come one at a time.
	Progress func(done, total int)

	covered bool // the DEM has a cover
}

// MaxRadiusM is the largest radius of a sweep: no small node reaches farther.
const MaxRadiusM = 300e3

// maxLatitudeDeg bounds the area: nearer to a pole of the earth a raster of
// longitude and latitude has no sensible cells.
const maxLatitudeDeg = 86

const (
	defaultMemoryBytes = 512 << 20
	bytesPerPost       = 4 // height
	bytesPerStanding   = 2 // what stands there
	bytesPerCell       = 8
	bytesPerPercent    = 1
)

// postBytes is what a post takes.
func (o *Options) postBytes() float64 {
	if o.covered {
		return bytesPerPost + bytesPerStanding
	}
	return bytesPerPost
}

// cellBytes is what a cell takes.
func (o *Options) cellBytes() float64 {
	if o.WholePercent {
		return bytesPerPercent
	}
	return bytesPerCell
}

// check returns every fault of the arguments of Sweep.
func check(pole linkbudget.Station, at orb.Point, dem terrain.DEM, opt *Options) error {
	var errs []error
	add := func(err error) {
		if err != nil {
			errs = append(errs, fmt.Errorf("coverage: %w", err))
		}
	}
	if dem == nil {
		add(fault.Input("no DEM given"))
	} else {
		add(checkSteps(dem.Extent()))
	}
	for _, err := range opt.checkArea(at) {
		add(err)
	}
	add(fault.Range("fill_voids_m", opt.FillVoidsM, 0, 10e3, "m"))
	if opt.MemoryBytes < 0 {
		add(fault.Found("memory_bytes", opt.MemoryBytes, "0 (512 MiB) and more"))
	}
	if opt.Environment.Cover > clutter.Open {
		add(fault.Found("cover", opt.Environment.Cover, "none over an area; leave it out, or check single paths"))
	}
	if want := opt.Environment.WantPercent; opt.WholePercent && want != math.Trunc(want) {
		add(fault.Found("want_percent", want, "whole per cents where no others are kept"))
	}
	if opt.MemoryBytes == 0 {
		opt.MemoryBytes = defaultMemoryBytes
	}
	if opt.Workers <= 0 {
		opt.Workers = runtime.GOMAXPROCS(0)
	}
	return errors.Join(errs...)
}

func checkSteps(e terrain.Extent) error {
	if e.StepLonDeg > 0 && e.StepLatDeg > 0 {
		return nil
	}
	return fault.Input("the terrain has posts every %g° by %g°, both must be above 0", e.StepLonDeg, e.StepLatDeg)
}

// checkArea returns every fault of the pole's place and of what says how far from it cells lie.
func (o *Options) checkArea(at orb.Point) (errs []error) {
	if err := terrain.CheckPlace(at); err != nil {
		errs = append(errs, fmt.Errorf("pole: %w", err))
	}
	if !(o.RadiusM > 0 && o.RadiusM <= MaxRadiusM) {
		errs = append(errs, fault.Found("radius_m", o.RadiusM, fmt.Sprintf("above 0 to %g m", float64(MaxRadiusM))))
	}
	if err := fault.Range("cell_m", o.CellM, 0, 10e3, "m, 0 for every post"); err != nil {
		errs = append(errs, err)
	}
	if b := o.Area; b != nil && !(b.Min[0] <= b.Max[0] && b.Min[1] <= b.Max[1] && b.Max[0]-b.Min[0] <= 360) {
		errs = append(errs, fault.Input("area: found %v to %v, the south-west corner must come first", b.Min, b.Max))
	}
	return errs
}
