package gdal

import (
	"errors"

	"github.com/polereach/polereach/terrain"
)

// ErrNotBuilt is behind every error of a build without the tag gdal.
var ErrNotBuilt = errors.New("this build reads .hgt, .hgt.gz, .hgt.zip (SRTM tiles), GeoTIFF and ESRI ASCII grids in " +
	"degrees only; for other rasters run: apt-get install libgdal-dev, then: go build -tags gdal ./cmd/polereach " +
	"(or go run -tags gdal ./cmd/polereach)")

// ErrRemote is behind the errors about files that are, or that name, something
// other than local files, without [Options.AllowRemote].
var ErrRemote = errors.New("not a local file; allowed only with --allow-remote")

// ErrFormat is behind the errors about formats outside [Formats], without
// [Options.AnyFormat].
var ErrFormat = errors.New("a file of this format that is cut or damaged may be read without a word, with wrong " +
	"heights or much memory; convert it with gdal_translate, or allow it with --any-format")

// Formats are GDAL's names of the formats of which a file that is cut or damaged is told,
// as far as the format itself can tell.
const Formats = "GTiff COG VRT AAIGrid SRTMHGT DTED"

// Options says how a raster is opened. The zero value suits local files.
type Options struct {
	// AllowRemote admits the network and GDAL's virtual files: names such as
	// /vsicurl/https://... and /vsizip/..., files that name such sources, and
	// drivers that are services.
	AllowRemote bool
	// AnyFormat admits every format of local rasters that GDAL reads, not only Formats: for
	// them nothing is promised of files that are cut or damaged.
	AnyFormat bool
	// Cache holds the blocks read. Rasters of one run should share one; nil
	// means one shared by the whole program.
	Cache *Cache
}

// Info tells what a raster is, without its heights.
type Info struct {
	// Path is the name it was opened by, Driver GDAL's short name of the format.
	Path, Driver string
	// CRS is the name of the horizontal coordinate system, VerticalCRS that of
	// the vertical one, empty if the file names none.
	CRS, VerticalCRS string
	// Cols and Rows count posts.
	Cols, Rows int
	// Extent holds the outermost posts and the finest spacing, degrees.
	Extent terrain.Extent
	// Degrees tells that the posts keep the longitudes and latitudes of the
	// file, so that the steps of Extent are theirs.
	Degrees bool
	// SpacingColM and SpacingRowM are the ground distances between neighbouring
	// columns and rows in the middle of the raster, metres.
	SpacingColM, SpacingRowM float64
	// DataType is GDAL's name of the stored numbers, such as Int16.
	DataType string
	// VerticalUnit is the unit of the stored heights, "metre" if the file tells
	// none; UnitM is its length in metres. Heights are always given in metres.
	VerticalUnit string
	UnitM        float64
	// Surface is what the metadata say about the model: "surface" (with trees
	// and roofs), "bare earth", or empty if they say nothing or both.
	Surface string
}

// Counts is what a look at the posts of a raster gives.
type Counts struct {
	// LowestM and HighestM are the extremes of the known heights, metres; they
	// mean nothing where all posts are voids.
	LowestM, HighestM float64
	// Posts counts all posts, Looked those that were looked at: fewer where a
	// raster is very large. Of these, Voids counts those without a height, and
	// Implausible those among the voids that were marked as heights, but below
	// -500 m or above 9000 m.
	Posts, Looked, Voids, Implausible int64
}
