package coverage

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Raster is the answer for an area, row by row from the north, each row from
// the west. Cells lie at the posts of the terrain, or at every so many.
type Raster struct {
	// Lattice places the cell centres. West may lie outside ±180, so that an
	// area across the antimeridian stays in one piece.
	terrain.Lattice
	Cells []Cell
	// At is the pole; RadiusM and WantPercent are those of the sweep.
	At                   orb.Point
	RadiusM, WantPercent float64
}

// Index returns the index of the cell nearest to a place, degrees, and false
// where the raster does not reach.
func (r *Raster) Index(p orb.Point) (int, bool) {
	lon := p[0] + 360*math.Round((r.centreLon()-p[0])/360)
	x, y := math.Round((lon-r.WestDeg)/r.StepLonDeg), math.Round((r.NorthDeg-p[1])/r.StepLatDeg)
	if !(x >= 0 && x < float64(r.Cols) && y >= 0 && y < float64(r.Rows)) {
		return 0, false
	}
	return int(y)*r.Cols + int(x), true
}

func (r *Raster) centreLon() float64 { return r.WestDeg + float64(r.Cols-1)/2*r.StepLonDeg }

// CellAreaM2 returns the area of a cell in a row, m²: the zone of the ellipsoid
// between two parallels, taken as the product of the two radii of curvature.
func (r *Raster) CellAreaM2(row int) float64 {
	lonM, latM := terrain.DegreeSizesM(r.NorthDeg - float64(row)*r.StepLatDeg)
	return r.StepLonDeg * math.Abs(lonM) * r.StepLatDeg * latM
}
