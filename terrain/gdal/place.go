//go:build gdal

package gdal

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// place settles where the posts lie.
func (r *Raster) place(h head, system crs) error {
	t, err := r.cache.transformer(system)
	if err != nil {
		return err
	}
	g := h.transform
	// The centre of the first pixel is the first post.
	g[0], g[3] = transform(g, 0.5, 0.5)
	inv, ok := invert(g)
	if !ok {
		return fmt.Errorf("its geotransform %v cannot be inverted", h.transform)
	}
	plain, err := isPlain(t, g, h.cols, h.rows)
	if err != nil {
		return err
	}
	if plain && g[1] > 0 && g[5] < 0 && g[2] == 0 && g[4] == 0 {
		return r.placeLonLat(terrain.Lattice{
			WestDeg: g[0], NorthDeg: g[3], StepLonDeg: g[1], StepLatDeg: -g[5], Cols: h.cols, Rows: h.rows,
		})
	}
	f := &affineFrame{system: t, toPost: inv, forth: g, lonFrom: math.NaN()}
	if plain {
		f.system = nil
	}
	if system.geographic {
		// Half a step west of the westernmost corner, so that a place a hair
		// beyond the edge is not taken for one a full turn east.
		half := (math.Abs(g[1]) + math.Abs(g[2])) / 2
		west := math.Inf(1)
		for _, c := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			x, _ := transform(g, c[0]*float64(h.cols-1), c[1]*float64(h.rows-1))
			west = math.Min(west, x)
		}
		f.lonFrom = west - half
	}
	return r.placeAffine(f)
}

// isPlain reports whether the system is longitude and latitude on WGS 84 or on a
// datum that PROJ does not tell from it: nine places in the raster keep their
// coordinates to 1e-9°, a tenth of a millimetre.
func isPlain(t *transformer, g [6]float64, cols, rows int) (bool, error) {
	if !t.crs.geographic {
		return false, nil
	}
	var lon, lat []float64
	for _, u := range []float64{0.1, 0.5, 0.9} {
		for _, v := range []float64{0.1, 0.5, 0.9} {
			px, py := transform(g, u*float64(cols-1), v*float64(rows-1))
			lon, lat = append(lon, px), append(lat, py)
		}
	}
	x, y := slices.Clone(lon), slices.Clone(lat)
	if err := t.to.apply(x, y, make([]float64, len(lon))); err != nil {
		return false, err
	}
	for i := range x {
		if !(math.Abs(math.Remainder(x[i]-lon[i], 360)) <= 1e-9 && math.Abs(y[i]-lat[i]) <= 1e-9) {
			return false, nil
		}
	}
	return true, nil
}

// placeLonLat places a raster that keeps its longitudes and latitudes.
func (r *Raster) placeLonLat(l terrain.Lattice) error {
	if err := l.Check(); err != nil {
		return err
	}
	r.frame, r.col, r.row = lonLatLattice(l)
	r.info.Extent, r.info.Degrees = l.Extent(), true
	centre := r.info.Extent.Bound.Center()
	r.info.SpacingColM = terrain.Inverse(centre, orb.Point{centre[0] + l.StepLonDeg, centre[1]}).DistM
	r.info.SpacingRowM = terrain.Inverse(centre, orb.Point{centre[0], centre[1] - l.StepLatDeg}).DistM
	return nil
}

// edgePlaces is the number of intervals along each edge of a raster that are
// looked at to find its extent.
const edgePlaces = 32

// placeAffine places a raster in a system of its own.
func (r *Raster) placeAffine(f *affineFrame) error {
	cols, rows := float64(r.info.Cols-1), float64(r.info.Rows-1)
	around := make([]orb.Point, 0, 4*edgePlaces+5)
	for k := range edgePlaces + 1 {
		u := float64(k) / edgePlaces
		around = append(around, orb.Point{u * cols, 0}, orb.Point{u * cols, rows}, orb.Point{0, u * rows},
			orb.Point{cols, u * rows})
	}
	centre := orb.Point{cols / 2, rows / 2}
	at, err := f.places(append(around, centre))
	if err != nil {
		return err
	}
	middle := at[len(at)-1]
	bound, whole := boundOf(at, middle)
	if bound == nil {
		return errors.New("no post of it lies at a longitude and latitude")
	}
	// A pole inside makes it reach round the earth.
	for _, pole := range []float64{90, -90} {
		if f.holds(orb.Point{0, pole}, cols, rows) {
			whole = false
			bound.Min[0], bound.Max[0] = -180, 180
			bound.Min[1], bound.Max[1] = math.Min(bound.Min[1], pole), math.Max(bound.Max[1], pole)
		}
	}
	if whole && bound.Max[0]-bound.Min[0] < 350 {
		// Between the places looked at, an edge may bulge.
		near := *bound
		dLon, dLat := (near.Max[0]-near.Min[0])*0.01+1e-6, (near.Max[1]-near.Min[1])*0.01+1e-6
		near.Min[0], near.Max[0] = near.Min[0]-dLon, near.Max[0]+dLon
		near.Min[1], near.Max[1] = near.Min[1]-dLat, near.Max[1]+dLat
		f.near = &near
	}
	colM, rowM, err := r.spacing(f, cols, rows)
	if err != nil {
		return err
	}
	// 0.2 mm on the ground.
	f.snapX = math.Min(math.Max(snapStep, 2e-4/colM), 0.01)
	f.snapY = math.Min(math.Max(snapStep, 2e-4/rowM), 0.01)
	r.frame = f
	r.info.Extent = terrain.Extent{Bound: *bound, Irregular: true}
	r.info.Extent.StepLonDeg, r.info.Extent.StepLatDeg = degreesOf(*bound, math.Min(colM, rowM))
	return nil
}

// places returns the longitudes and latitudes of posts, NaN where there are
// none.
func (f *affineFrame) places(posts []orb.Point) ([]orb.Point, error) {
	x, y := make([]float64, len(posts)), make([]float64, len(posts))
	for i, p := range posts {
		x[i], y[i] = transform(f.forth, p[0], p[1])
	}
	if f.system != nil {
		if err := f.system.fro.apply(x, y, make([]float64, len(posts))); err != nil {
			return nil, err
		}
	}
	at := make([]orb.Point, len(posts))
	for i := range at {
		at[i] = orb.Point{x[i], y[i]}
	}
	return at, nil
}

// holds reports whether a place lies among the posts.
func (f *affineFrame) holds(p orb.Point, cols, rows float64) bool {
	x, y := []float64{p[0]}, []float64{p[1]}
	if f.system != nil {
		if err := f.system.to.apply(x, y, make([]float64, 1)); err != nil {
			return false // a pole without an image is not in it
		}
	}
	col, row := transform(f.toPost, x[0], y[0])
	return col >= 0 && col <= cols && row >= 0 && row <= rows
}

// boundOf spans the places that exist, longitudes taken within a half turn of
// the middle; all tells whether every one did. It returns nil if none does.
func boundOf(at []orb.Point, middle orb.Point) (b *orb.Bound, all bool) {
	all = true
	for _, p := range at {
		if !finite(p[0]) || !finite(p[1]) || !(math.Abs(p[1]) <= 90+1e-9) {
			all = false
			continue
		}
		if finite(middle[0]) {
			p[0] = middle[0] + math.Remainder(p[0]-middle[0], 360)
		}
		if b == nil {
			b = &orb.Bound{Min: p, Max: p}
		}
		*b = b.Extend(p)
	}
	return b, all
}

// spacing measures the ground distance of neighbouring columns and rows in the
// middle, for Info, and returns the finest found over the raster.
func (r *Raster) spacing(f *affineFrame, cols, rows float64) (colM, rowM float64, err error) {
	var posts []orb.Point
	for _, u := range []float64{0.5, 0, 1} {
		for _, v := range []float64{0.5, 0, 1} {
			p := orb.Point{u * cols, v * rows}
			posts = append(posts, p, orb.Point{p[0] + 1, p[1]}, orb.Point{p[0], p[1] + 1})
		}
	}
	at, err := f.places(posts)
	if err != nil {
		return 0, 0, err
	}
	colM, rowM = math.Inf(1), math.Inf(1)
	for i := 0; i < len(at); i += 3 {
		if terrain.CheckPlace(at[i]) != nil || terrain.CheckPlace(at[i+1]) != nil || terrain.CheckPlace(at[i+2]) != nil {
			continue
		}
		c, w := terrain.Inverse(at[i], at[i+1]).DistM, terrain.Inverse(at[i], at[i+2]).DistM
		if r.info.SpacingColM == 0 {
			r.info.SpacingColM, r.info.SpacingRowM = c, w
		}
		colM, rowM = math.Min(colM, c), math.Min(rowM, w)
	}
	if !(colM > 0) || !(rowM > 0) || math.IsInf(colM, 1) || math.IsInf(rowM, 1) {
		return 0, 0, fmt.Errorf("its posts are %g m by %g m apart on the ground, must be above 0", colM, rowM)
	}
	return colM, rowM, nil
}

// degreesOf turns a distance into degrees of longitude and latitude, at the
// latitude of the area where they are fewest.
func degreesOf(b orb.Bound, m float64) (lonDeg, latDeg float64) {
	const probeDeg = 1e-3
	lowest := math.Min(math.Abs(b.Min[1]), math.Abs(b.Max[1]))
	if b.Min[1] <= 0 && b.Max[1] >= 0 {
		lowest = 0
	}
	highest := math.Min(math.Max(math.Abs(b.Min[1]), math.Abs(b.Max[1])), 90-2*probeDeg)
	lowest = math.Min(lowest, highest)
	lonM := terrain.Inverse(orb.Point{0, lowest}, orb.Point{probeDeg, lowest}).DistM
	latM := terrain.Inverse(orb.Point{0, highest}, orb.Point{0, highest + probeDeg}).DistM
	return m / lonM * probeDeg, m / latM * probeDeg
}
