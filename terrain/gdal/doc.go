// Package gdal reads the rasters the GDAL library opens as terrain: GeoTIFF,
// DTED, VRT, ESRI grids, NetCDF and many more, in any coordinate system PROJ
// knows. It is built with -tags gdal, which needs Debian's libgdal-dev or the
// like; without the tag every call returns [ErrNotBuilt], so that callers need
// no tags of their own. The program asks the built-in readers of package terrain first, which
// take GeoTIFF in degrees themselves.
//
// # Heights
//
// A height is the bilinear interpolation between the four posts around a place,
// in the raster's own grid. A post is the centre of a pixel, as the
// geotransform of GDAL places it, which is the same for files that count
// pixels and files that count points.
//
// Longitude and latitude in degrees keep their posts. Where the spacing is an
// even part of a degree, positions are counted from the whole degrees, by the
// arithmetic of the built-in readers: an SRTM tile read by them and the same
// posts in a GeoTIFF give the same bits. Such a spacing is snapped when the
// posts move by less than 1e-4 of it over the whole raster. Datums that PROJ
// does not tell from WGS 84 (NAD83, ETRS89) are read like it.
//
// All else (projected systems, other datums, rotated, upside-down or mirrored
// rasters) is read by taking the place into the system of the file with PROJ
// and through the inverse of the geotransform. Within 0.2 mm of a post the
// post counts alone, so that a void beside it does no harm.
//
// A post is a void where the no-data value, the mask, or a NaN says so, or where
// its height lies below -500 m or above 9000 m. Scale and offset are applied,
// then the vertical unit: that of the band, else of the vertical coordinate
// system, else metres. Heights stay above the vertical datum of the file.
//
// Refused, with the reason: rasters without coordinate system or without
// geotransform, with several bands of which none is named as heights, with
// colours or complex numbers, in an unknown vertical unit, or whose blocks are
// too large to be read one at a time.
//
// # Many files
//
// [Join] makes one DEM of many rasters. Files that continue each other (same
// system, same spacing, posts in step) are one lattice, so that heights between
// the last posts of one and the first of the next are interpolated; the order
// decides where files overlap. At most 64 files are kept open.
//
// # Memory
//
// Rasters are read in blocks. A [Cache] shared by all rasters of a run bounds
// what is kept, 128 MiB unless told otherwise; GDAL's own cache is held at 32
// MiB. The garbage collector may let the heap grow to twice what is kept.
//
// # Network and untrusted files
//
// Without [Options.AnyFormat] only [Formats] are opened, also behind a VRT: of the many
// others GDAL reads, several take a file that is cut for a whole one. Gaps of a mosaic and
// blocks that a sparse file leaves out are voids. A VRT with a raw band is refused.
//
// Without [Options.AllowRemote] only regular files are opened, only by drivers
// that read local files, and only if every file a VRT names, and what that one
// names in turn, is of the same kind. Below that, GDAL's network layer is shut
// for the calling thread, and PROJ never downloads grids.
//
// A VRT may name rasters in any folder; sources piled more than 64 deep are refused.
//
// A file of Formats that is cut anywhere is refused, or fails or is void where it is cut. The
// checksums of DEFLATE blocks in a local GeoTIFF (COG too) and of DTED are verified, as GDAL
// alone lets some damage through as wrong heights. Formats without a checksum over their
// heights (GeoTIFF uncompressed or with other compressions, AAIGrid, SRTMHGT) and the
// head of any file cannot show that a bit has been turned over; nor can a VRT
// for its sources. GDAL runs in this process: a crash in one of its drivers
// ends it. None was found over the truncated and damaged GeoTIFF files of the
// tests (GDAL 3.6).
//
// On Linux with AMD64 the library is loaded by the first call that needs it: a program that reads
// no raster through it starts without, 30 ms earlier, and runs where it is not installed.
//
// The binding is github.com/lukeroth/gdal. Every call runs on a locked thread
// between a reset and a look at GDAL's error text, so the text belongs to the
// call; nothing is printed by GDAL. GDAL's process-wide error handler is set to
// the quiet one.
package gdal
