// Package landcover tells what stands on the ground: out of rasters, of classes by the codes of ESA
// WorldCover v200 and of heights above the ground, where a cell answers for all of its area and
// classes are never interpolated; and out of outlines drawn over them, see [Drawn].
package landcover

import (
	"cmp"
	"errors"
	"fmt"
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
	{10, "tree cover", terrain.CoverWood}, {20, "shrubland", terrain.CoverOpen}, {30, "grassland", terrain.CoverOpen},
	{40, "cropland", terrain.CoverOpen},
	{50, "built-up", terrain.CoverSuburban}, {60, "bare", terrain.CoverOpen}, {70, "snow and ice", terrain.CoverOpen},
	{80, "water", terrain.CoverWater},
	{90, "wetland", terrain.CoverOpen}, {95, "mangroves", terrain.CoverWood}, {100, "moss and lichen",
		terrain.CoverOpen},
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
type raster struct{ codes, heights *layer }

// Heights are kept in steps of stepM, up to mostM.
const (
	stepM = 0.5
	mostM = 126
)

// New makes a cover of rasters of classes, the codes of [Codes], and of heights above the ground, m: a
// canopy's, or those of a surface model less the ground, kept to half a metre and up to 126 m. Either may
// be left out. Where both are known the height decides whether what the class says stands there;
// heights alone, from 2 m on, count as wood. A cell without a value, and code 0, is unknown. Where
// sources of one kind overlap the first that knows answers; their cells must lie on one lattice.
// Of each kind cacheBytes are held, 0 means 96 MiB.
func New(codes, heights []terrain.Source, cacheBytes int64) (terrain.Cover, error) {
	if len(codes)+len(heights) == 0 {
		return nil, fault.Input("cover: no raster of classes and none of heights given")
	}
	limit := cmp.Or(cacheBytes, 96<<20)
	c, err := newLayer("classes", codes, 4, limit, packCode, refuseCode)
	h, err2 := newLayer("heights", heights, 8, limit, packHeight, refuseHeight)
	if err := errors.Join(err, err2); err != nil {
		return nil, err
	}
	return &raster{c, h}, nil
}

// Highest is the class of the codes that stands highest where no height is known, and the greatest height.
func (c *raster) Highest() (s terrain.Standing) {
	s.Class = terrain.CoverWood
	if c.heights != nil {
		s.HeightM = mostM
	}
	return s
}

// packCode makes a class of a code.
func packCode(v float32) uint8 {
	if n := uint32(int32(v)); n < uint32(len(classOf)) && v == float32(n) && classOf[n] != terrain.CoverUnknown {
		return uint8(classOf[n])
	}
	if v == 0 || terrain.IsVoid(v) {
		return 0
	}
	return refused
}

func refuseCode(v float32, at orb.Point) error {
	return fmt.Errorf("code %g at %v, allowed %s, and 0 for unknown", v, at, Codes())
}

// packHeight makes steps of a height, 1 for nothing.
func packHeight(v float32) uint8 {
	switch {
	case terrain.IsVoid(v):
		return 0
	case v > terrain.MostStandingM:
		return refused
	case v < leastStandingM:
		return 1
	}
	return min(uint8(min(v, mostM)/stepM+1.5), refused-1)
}

func refuseHeight(v float32, at orb.Point) error {
	return fmt.Errorf("height of %g m at %v, allowed up to %d m above the ground", v, at, terrain.MostStandingM)
}

// Standing implements [terrain.Cover].
func (c *raster) Standing(at []orb.Point, out []terrain.Standing) error {
	if len(out) != len(at) {
		return fault.Input("cover: room for %d answers about %d places, must be as many", len(out), len(at))
	}
	s := looks.Get().(*scratch)
	defer looks.Put(s)
	if cap(s.cells) < len(at) {
		s.cells = make([]uint8, len(at))
	}
	list := s.cells[:len(at)]
	if c.codes != nil {
		if err := c.codes.look(at, list, s, 0); err != nil {
			return err
		}
		for i, cell := range list {
			out[i] = terrain.Standing{Class: terrain.CoverClass(cell)}
		}
	} else {
		clear(out)
	}
	if c.heights == nil {
		return nil
	}
	if err := c.heights.look(at, list, s, 1); err != nil {
		return err
	}
	for i, cell := range list {
		out[i] = standing(uint8(out[i].Class), cell)
	}
	return nil
}

// standing is what a class and a cell of heights say together: 0 says nothing.
func standing(class, cell uint8) terrain.Standing {
	s := terrain.Standing{Class: terrain.CoverClass(class)}
	switch {
	case cell == 0 || cell == 1 && s.Class == terrain.CoverWater:
	case cell == 1:
		s.Class = terrain.CoverOpen
	default:
		if s.HeightM = (float32(cell) - 1) * stepM; !s.Class.Stands() {
			s.Class = terrain.CoverWood
		}
	}
	return s
}

// scratch is memory for one call, and the windows that answered the one before, of classes and of heights:
// the next is mostly about a place nearby.
type scratch struct {
	cells   []uint8
	numbers [lookAtOnce]int
	last    [2]answering
}

var looks = sync.Pool{New: func() any { return new(scratch) }}
