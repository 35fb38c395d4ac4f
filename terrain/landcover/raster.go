// Package landcover reads what stands on the ground out of rasters: classes by the codes of ESA
// WorldCover v200, and heights above the ground. A cell answers for all of its area: classes are
// never interpolated.
package landcover

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// codes are those of ESA WorldCover v200 (product user manual, table of classes).
var codes = [...]struct {
	code  int
	word  string
	class terrain.CoverClass
}{
	{10, "tree cover", terrain.CoverWood}, {20, "shrubland", terrain.CoverOpen}, {30, "grassland", terrain.CoverOpen}, {40, "cropland", terrain.CoverOpen},
	{50, "built-up", terrain.CoverSuburban}, {60, "bare", terrain.CoverOpen}, {70, "snow and ice", terrain.CoverOpen}, {80, "water", terrain.CoverWater},
	{90, "wetland", terrain.CoverOpen}, {95, "mangroves", terrain.CoverWood}, {100, "moss and lichen", terrain.CoverOpen},
}

// classOf finds the class of a code.
var classOf = func() (of [101]terrain.CoverClass) {
	for _, c := range codes {
		of[c.code] = c.class
	}
	return of
}()

// Codes lists the codes of classes with their words.
func Codes() string {
	var list []string
	for _, c := range codes {
		list = append(list, fmt.Sprint(c.code, " ", c.word))
	}
	return strings.Join(list, ", ")
}

// leastStandingM: what is lower belongs to open country, whose height gain counts grass, fences and
// bushes. Engineering judgement.
const leastStandingM = 2

// raster takes classes and heights from rasters, those of the nearest cell.
type raster struct{ codes, heights terrain.DEM }

// New makes a cover of a raster of classes, the codes of [Codes], and one of heights
// above the ground, m: a canopy's, or those of a surface model less the ground. Either may be nil.
// Where both are known the height decides whether what the class says stands there; heights
// alone, from 2 m on, count as wood. A cell without a value, and code 0, is unknown. The posts of
// each must lie on lines of longitude and latitude.
func New(codes, heights terrain.DEM) (terrain.Cover, error) {
	var errs []error
	if codes == nil && heights == nil {
		errs = append(errs, fault.Input("cover: no raster of classes and none of heights given"))
	}
	for i, dem := range []terrain.DEM{codes, heights} {
		if dem == nil {
			continue
		}
		what, e := [...]string{"classes", "heights"}[i], dem.Extent()
		if e.Irregular {
			errs = append(errs, fault.Input("cover: the cells of the %s do not lie on common lines of longitude and "+
				"latitude; gdalwarp -t_srs EPSG:4326 -r near makes them", what))
		}
		if !(e.StepLonDeg > 0) || !(e.StepLatDeg > 0) {
			errs = append(errs, fault.Input("cover: %s every %g° by %g°, both must be above 0", what, e.StepLonDeg, e.StepLatDeg))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return &raster{codes, heights}, nil
}

// scratch is memory for one call.
type scratch struct {
	posts []orb.Point
	value []float64
	flag  []terrain.Flag
}

var pool = sync.Pool{New: func() any { return new(scratch) }}

// Standing implements [terrain.Cover].
func (c *raster) Standing(at []orb.Point, out []terrain.Standing) error {
	if len(out) != len(at) {
		return fault.Input("cover: room for %d answers about %d places, must be as many", len(out), len(at))
	}
	s := pool.Get().(*scratch)
	defer pool.Put(s)
	n := len(at)
	if cap(s.posts) < n {
		s.posts, s.value, s.flag = make([]orb.Point, n), make([]float64, n), make([]terrain.Flag, n)
	}
	s.posts, s.value, s.flag = s.posts[:n], s.value[:n], s.flag[:n]
	clear(out)
	if c.codes != nil {
		if err := s.nearest(c.codes, at); err != nil {
			return err
		}
		for i, v := range s.value {
			if !s.flag[i].Known() || math.Abs(v) < 0.5 {
				continue
			}
			class := terrain.CoverUnknown
			if v > 0 && v < float64(len(classOf)-1)+0.5 {
				class = classOf[int(v+0.5)]
			}
			if class == terrain.CoverUnknown {
				return fmt.Errorf("cover: %w: code %g at %v, allowed %s, and 0 for unknown", terrain.ErrRead, v, at[i], Codes())
			}
			out[i].Class = class
		}
	}
	if c.heights == nil {
		return nil
	}
	if err := s.nearest(c.heights, at); err != nil {
		return err
	}
	for i, v := range s.value {
		switch {
		case !s.flag[i].Known():
		case v > terrain.MostStandingM:
			return fmt.Errorf("cover: %w: height of %g m at %v, allowed up to %d m above the ground", terrain.ErrRead, v, at[i],
				terrain.MostStandingM)
		case v < leastStandingM:
			if out[i].Class != terrain.CoverWater {
				out[i].Class = terrain.CoverOpen
			}
		case !out[i].Class.Stands():
			out[i] = terrain.Standing{Class: terrain.CoverWood, HeightM: float32(v)}
		default:
			out[i].HeightM = float32(v)
		}
	}
	return nil
}

// nearest asks a DEM at the post next to each place.
func (s *scratch) nearest(dem terrain.DEM, at []orb.Point) error {
	e := dem.Extent()
	west, north, middle := e.Bound.Min[0], e.Bound.Max[1], (e.Bound.Min[0]+e.Bound.Max[0])/2
	perLon, perLat := 1/e.StepLonDeg, 1/e.StepLatDeg
	for i, p := range at {
		lon := p[0]
		if math.Abs(lon-middle) > 180 {
			lon -= 360 * math.Round((lon-middle)/360)
		}
		s.posts[i] = orb.Point{west + e.StepLonDeg*math.Floor((lon-west)*perLon+0.5),
			north - e.StepLatDeg*math.Floor((north-p[1])*perLat+0.5)}
	}
	return terrain.HeightsOf(dem, s.posts, s.value, s.flag)
}
