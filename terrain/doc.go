// Package terrain gives the height of the ground at a place and along the path
// between two places, and says where it does not know.
//
// # From files to a profile
//
// [OpenSources] finds tiles in a file system and knows where each one lies
// before any height is read. [Grid] holds the posts of one tile in memory,
// [Tiles] many tiles within a bound of memory, [Stack] puts fine terrain over
// coarse; each is a [DEM], and a program can bring its own. [NewProfile] asks a
// DEM for the heights along a path.
//
// Built in are, in pure Go:
//
//   - SRTM tiles (.hgt): one square degree of 1201 × 1201 posts (3") or
//     3601 × 3601 posts (1"), big-endian 16-bit metres, named by the south-west
//     corner; also packed by gzip, or one by one in a .zip archive.
//   - GeoTIFF (.tif) in degrees, see package terrain/geotiff. It is read by these readers in every
//     build, so that heights and seams are the same.
//   - ESRI ASCII grids (.asc) in degrees. A .prj file beside one must name
//     longitude and latitude on WGS 84 or on a datum within a few metres of it.
//
// Everything else, projected grids among it, is for package terrain/gdal.
//
// # Model
//
// Heights are posts, values at points. Between four posts the height is
// bilinear: continuous, never above the highest or below the lowest of the
// four. It cuts off what rises between posts, such as a sharp ridge; that error
// is the caller's to budget for. A profile has a point at every line of posts, where
// the surface has its edges.
//
// Distances and directions are geodesics on WGS 84, solved by Karney's method
// through github.com/tidwall/geodesic; a profile follows the geodesic, not a
// straight line on the map.
//
// [Horizon] is the skyline round a place: the curved earth, light bent with
// k = 0.13, every post that can matter, and how high missing ground could
// stand. Package terrain/sun puts the sun over it.
//
// Heights are metres above the vertical datum of the source, which is passed on
// as it is: SRTM heights are above the EGM96 geoid. Two sources with different
// vertical datums do not mix. An SRTM height is that of the radar surface,
// which lies somewhere between the ground and the top of a forest.
//
// # What stands on the ground
//
// [WithCover] lays a [Cover] on a DEM: profiles then tell class and height of what stands at their
// points, and the woods that their ends stand in or just before. Package terrain/landcover reads
// covers out of rasters, and lays over them what is drawn: of that a profile has a point before and behind every
// edge that it crosses, so that a house counts that is smaller than a cell ([Outlined]).
//
// # What is not known
//
// A void never becomes 0 m. Posts marked unknown, and values below -500 m or
// above 9000 m, are voids; a height that needs one is flagged [Void], a place
// without posts around it [Outside], and both heights are 0 and mean nothing.
// Only on request are short voids filled, and then flagged [Filled]. A file
// that names 0 as its void mark loses its sea: its word is taken.
//
// # Limits
//
// Latitudes to ±90°, longitudes in any turn; a grid that touches 180° answers
// on both sides of it. A grid is not closed round the earth: between its last
// column and its first there is no ground. A place counts as on a post within
// 1e-7 of a step, and float32 posts are good to 0.5 mm up to 9000 m.
//
// A file that promises more than it holds is refused before memory is taken: a
// tile needs 52 MB at most, an ASCII grid at most twice the size of its file, a GeoTIFF, which may be
// sparse, 64 MB at a time and one block, of 64 MB at most, on each core.
//
// # Sources
//
//   - USGS/NASA, SRTM Topography (SRTM_Topo.txt, delivered with the data):
//     layout, naming and void mark of .hgt.
//   - GeoTIFF: see package terrain/geotiff.
//   - Esri, Esri ASCII raster format (ArcGIS documentation): .asc.
//   - OGC 01-009 and ISO 19162, well-known text of coordinate systems: .prj.
//   - C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43-55.
package terrain
