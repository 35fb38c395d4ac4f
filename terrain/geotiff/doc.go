// Package geotiff reads elevation rasters in GeoTIFF whose posts lie on lines of longitude and
// latitude on WGS 84, as open distributions deliver them, and writes rasters of whole numbers on
// such lines ([Write]), in pure Go.
//
// # What it takes
//
// Classic TIFF and BigTIFF in both byte orders; one band of whole numbers of 8, 16 or 32 bits or of
// floating-point numbers of 32 or 64; strips and tiles; no compression, LZW, DEFLATE (8 and 32946)
// or PackBits; predictors 1 to 3. Of a file of many images the first is read: the overviews of a
// cloud-optimised file come behind it and are passed over.
//
// The place comes from a tie point and a pixel scale, or from a matrix without rotation, for pixels
// that are areas and for pixels that are points; the first post is the centre of the first pixel. The
// coordinate system is WGS 84 or one of those that PROJ does not tell from it (ETRS89, NAD83, ...),
// degrees from Greenwich. Heights are metres above the datum that the file names or leaves open.
// The no-data value of the tag that GDAL introduced (42113) and blocks that a sparse file leaves out
// are voids.
//
// Everything else is refused by [ErrRefused] with the command that converts it: projected
// coordinates, other datums and units, rotated rasters, several bands, colours, masks, scaled heights,
// other compressions. Files beside the raster (.tfw, .aux.xml, .msk) are not read.
//
// # Damage
//
// Every size is compared with the file before memory is taken, directories that lead to each other in
// a circle end, and blocks that reach beyond the file are told before any height is read. The
// checksums of DEFLATE are verified. Without compression, in LZW and PackBits, and in the head of
// any file a bit that is turned over cannot be seen.
//
// # Sources
//
//   - Adobe, TIFF Revision 6.0 (1992): layout, LZW, PackBits, horizontal differencing.
//   - Adobe Photoshop TIFF Technical Notes (2002), DEFLATE; Technical Note 3 (2005), floating-point
//     predictor.
//   - BigTIFF: the format description of the TIFF library (libtiff), version 43.
//   - OGC 19-008r4, GeoTIFF 1.1: tags and keys of the place and the coordinate system.
//   - GDAL, GTiff driver documentation: tags 42112 (metadata) and 42113 (no data).
package geotiff
