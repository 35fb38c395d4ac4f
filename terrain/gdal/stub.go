//go:build !gdal

package gdal

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Built reports whether this build reads rasters through GDAL.
const Built = false

// Cache keeps blocks of rasters; in this build there are none.
type Cache struct{}

// NewCache returns a cache for Options.
func NewCache(int64) *Cache { return &Cache{} }

// Raster is one raster file as a DEM; in this build there is none.
type Raster struct{}

var _ terrain.DEM = (*Raster)(nil)

// Open returns ErrNotBuilt with the name of the file.
func Open(path string, _ Options) (*Raster, error) {
	return nil, fmt.Errorf("gdal: %s: %w", path, ErrNotBuilt)
}

// Join returns a DEM that knows nothing.
func Join(...*Raster) terrain.DEM { return terrain.Stack() }

// Info is empty in this build.
func (*Raster) Info() Info { return Info{} }

// Count returns ErrNotBuilt.
func (*Raster) Count(context.Context) (Counts, error) { return Counts{}, ErrNotBuilt }

// Extent is empty in this build.
func (*Raster) Extent() terrain.Extent { return terrain.Extent{} }

// Heights returns ErrNotBuilt.
func (*Raster) Heights([]orb.Point, []float64, []terrain.Flag) error { return ErrNotBuilt }

// Close does nothing in this build.
func (*Raster) Close() error { return nil }
