package terrain

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// Profile is the ground along the geodesic between two places.
//
// NewProfile fills all of it but TopM, and Standing only over a DEM with a cover. In a profile
// made by hand, Flags and Points may be nil: then all heights count as known, and places cannot be told.
// Several goroutines may read one at once; Sample writes to it.
type Profile struct {
	// DistM holds the distances from the first place, metres along the geodesic:
	// the first is 0, each is above the one before.
	DistM []float64
	// HeightM holds the heights of the ground, metres above the vertical datum of
	// the DEM. Where the flag is not Known the height is 0 and means nothing.
	HeightM []float64
	// TopM holds the tops of what stands on the ground, woods and houses, metres
	// above the same datum and nowhere below HeightM; nil where nothing is known of
	// it. The ends of the path stand in none of it.
	TopM []float64
	// Flags tells what stands behind each height.
	Flags []Flag
	// Standing holds what stands at each point, nil where nothing is known of it; Woods are then
	// the woods at both ends.
	Standing []Standing
	Woods    [2]Wood
	// Points holds the places, degrees, longitude first and within ±180.
	Points []orb.Point
	// AzimuthDeg and BackAzimuthDeg are the directions at the first place
	// towards the last and at the last towards the first, degrees clockwise
	// from north, from 0 up to but not including 360.
	AzimuthDeg, BackAzimuthDeg float64
}

// ProfileOptions says how NewProfile samples a path.
type ProfileOptions struct {
	// SpacingM is the largest distance between points, metres. The distance used is the largest
	// that divides the path evenly and is no more than this. 0 means a point wherever the path
	// crosses a line of posts, a column or a row, as the bilinear surface has its edges, and so its
	// crests, there; inside a cell it bulges by at most a quarter of the cell's twist. Such points
	// are at unequal distances, from 1 mm (closer ones are one point) to the diagonal of a cell,
	// and about 1.15 times as many as posts fit into the path.
	//
	// Where posts stand on no such lines ([Extent].Irregular), 0 means equal distances of no more
	// than half the finer step of the posts. Among mountains, posts 3" apart, half keeps the loss
	// of 95 of 100 links within 0.45 dB of that over ten times as many points; whole steps within 1
	// dB, thirds within 0.25.
	SpacingM float64
	// FillVoidsM is the longest stretch, metres between the known points on
	// either side, over which voids are interpolated. 0 means none.
	FillVoidsM float64
}

// MaxProfilePoints bounds the points of a profile, which need 33 bytes each.
const MaxProfilePoints = 1 << 20

// shortestPathM is the length below which two ends count as the same place.
const shortestPathM = 1e-3

// NewProfile samples the ground along the geodesic from a to b, both ends included. The places lie
// within 1 mm of the exact geodesic, each as far along as its distance says. From b to a the points
// are the same, within 1 mm but where the path runs nearly along a line of posts, which it then
// meets nearly anywhere, or where it ends on one, once more or not. The error tells every bad
// argument at once, a path shorter than 1 mm, a profile of more than MaxProfilePoints, or a DEM that
// could not be read. Missing ground is no
// error: see [Profile.Unknown].
func NewProfile(dem DEM, a, b orb.Point, opt ProfileOptions) (Profile, error) {
	var p Profile
	err := p.Sample(dem, a, b, opt)
	return p, err
}

// Sample makes p what NewProfile returns, writing over the slices that p has
// where they are long enough: whoever looks at many profiles one after the other
// needs no memory for each. After an error p is empty.
func (p *Profile) Sample(dem DEM, a, b orb.Point, opt ProfileOptions) error {
	dem, cover := GroundAndCover(dem)
	err := p.sample(dem, a, b, opt)
	if err == nil && cover != nil {
		err = p.cover(cover)
	} else {
		p.Standing, p.Woods = nil, [2]Wood{}
	}
	if err != nil {
		*p = Profile{}
	}
	return err
}

func (p *Profile) sample(dem DEM, a, b orb.Point, opt ProfileOptions) error {
	if err := checkProfileArguments(dem, a, b, opt); err != nil {
		return err
	}
	var line geodesicLine
	line.draw(a, b)
	if !(line.DistM >= shortestPathM) {
		return fault.Input("terrain: profile from %v to %v: both ends are the same place", a, b)
	}
	within := func(err error) error { return fmt.Errorf("profile from %v to %v: %w", a, b, err) }
	grid, err := p.place(dem, &line, opt.SpacingM)
	if err != nil {
		return within(err)
	}
	last := len(p.Points) - 1
	p.Points[0], p.Points[last] = orb.Point{longitude180(a[0]), a[1]}, orb.Point{longitude180(b[0]), b[1]}
	if grid != nil && p.endHeights(grid) {
		return nil
	}
	if err := HeightsOf(dem, p.Points, p.HeightM, p.Flags); err != nil {
		return within(err)
	}
	if opt.FillVoidsM > 0 {
		p.fillVoids(opt.FillVoidsM)
	}
	return nil
}

// checkProfileArguments returns every fault of the arguments of NewProfile.
func checkProfileArguments(dem DEM, a, b orb.Point, opt ProfileOptions) error {
	var errs []error
	add := func(err error) {
		if err != nil {
			errs = append(errs, fmt.Errorf("terrain: profile: %w", err))
		}
	}
	if dem == nil {
		add(errNoDEM())
	}
	if err := CheckPlace(a); err != nil {
		add(fmt.Errorf("first place: %w", err))
	}
	if err := CheckPlace(b); err != nil {
		add(fmt.Errorf("last place: %w", err))
	}
	add(fault.Range("spacing_m", opt.SpacingM, 0, math.MaxFloat64, "m, 0 for that of the posts,"))
	add(fault.Range("fill_voids_m", opt.FillVoidsM, 0, math.MaxFloat64, "m"))
	return errors.Join(errs...)
}

// postSpacingM returns the smallest distance on the ground between neighbouring
// posts anywhere along the line: columns close in towards the poles, and a
// degree of latitude is shortest nearest the equator.
func postSpacingM(e Extent, line *geodesicLine) (float64, error) {
	return min(e.StepLonDeg*line.leastLonM, e.StepLatDeg*line.leastLatM), e.checkSteps("profile")
}

// place lays out the points of the profile along the line, at equal distances or
// where it crosses lines of posts. Where one grid alone knows all of them, it returns
// that grid, the heights of inner points filled in.
func (p *Profile) place(dem DEM, line *geodesicLine, spacingM float64) (grid *Grid, err error) {
	if spacingM > 0 {
		return nil, p.alongLine(line, spacingM)
	}
	var posts Lattice
	if grid, err = soleGrid(dem, line); err != nil {
		return nil, err
	} else if grid != nil {
		posts = grid.Lattice
	} else {
		e := decisive(dem, line).Extent()
		if spacingM, err = postSpacingM(e, line); err != nil {
			return nil, err
		}
		var irregular bool
		if posts, irregular = e.lattice(line); irregular {
			return nil, p.alongLine(line, spacingM/2)
		}
	}
	known, err := p.alongPosts(line, &posts, grid)
	if !known {
		grid = nil
	}
	return grid, err
}

// decisive is the DEM whose posts decide where a line is sampled: of a stack the first,
// where all of the line lies within its extent.
func decisive(dem DEM, line *geodesicLine) DEM {
	a := line.area()
	for {
		s, ok := dem.(stack)
		if !ok || len(s) == 0 {
			return dem
		}
		b := s[0].Extent().Bound
		if !(a.west >= b.Min[0] && a.east <= b.Max[0] && a.south >= b.Min[1] && a.north <= b.Max[1]) {
			return dem
		}
		dem = s[0]
	}
}

// endHeights fills in the heights of both ends, which may stand on posts, and the
// flags; it returns false where an end has no height.
func (p *Profile) endHeights(grid *Grid) bool {
	clear(p.Flags)
	last := len(p.Points) - 1
	for _, i := range [2]int{0, last} {
		if p.HeightM[i], p.Flags[i] = grid.height(p.Points[i]); p.Flags[i] != Ground {
			return false
		}
	}
	return true
}

// alongLine makes p a profile of points at equal distances along the line, no more
// than spacingM.
func (p *Profile) alongLine(line *geodesicLine, spacingM float64) error {
	// A billionth more than the spacing is rounding, not a reason for one more point.
	intervals := math.Ceil(line.DistM / (spacingM * (1 + 1e-9)))
	if !(intervals < MaxProfilePoints) {
		return fault.Input("terrain: %.0f m in steps of %g m are more than the %d points allowed; choose a larger spacing",
			line.DistM, spacingM, MaxProfilePoints)
	}
	n := int(intervals) + 1
	p.makeLong(line, n)
	stepM := line.DistM / float64(n-1)
	for i := range p.DistM {
		p.DistM[i] = stepM * float64(i)
	}
	p.DistM[n-1] = line.DistM
	line.places(p.DistM, p.Points)
	return nil
}

// makeLong makes p a profile of n points along the line, none of them found.
func (p *Profile) makeLong(line *geodesicLine, n int) {
	p.AzimuthDeg, p.BackAzimuthDeg, p.TopM = line.AzimuthDeg, line.BackAzimuthDeg, nil
	p.DistM, p.HeightM = ofLength(p.DistM, n), ofLength(p.HeightM, n)
	p.Flags, p.Points = ofLength(p.Flags, n), ofLength(p.Points, n)
}

// ofLength returns a slice of n, s itself if it is long enough. What stands in
// it is not to be relied on.
func ofLength[T any](s []T, n int) []T {
	if cap(s) >= n {
		return s[:n]
	}
	return make([]T, n)
}

// LengthM returns the length of the path, metres, 0 for a profile without points.
func (p Profile) LengthM() float64 {
	if len(p.DistM) == 0 {
		return 0
	}
	return p.DistM[len(p.DistM)-1]
}

// between is the place at a part of the way from the point before point i to it.
func (p *Profile) between(i int, part float64) orb.Point {
	a, b := p.Points[i-1], p.Points[i]
	lon := b[0] - a[0]
	if lon > 180 || lon < -180 {
		lon = math.Remainder(lon, 360)
	}
	return orb.Point{a[0] + part*lon, a[1] + part*(b[1]-a[1])}
}
