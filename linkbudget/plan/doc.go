// Package plan reads, checks and writes back the plan file, and nothing else: stations, wanted
// links and ground where a pole may stand, as a GeoJSON FeatureCollection (RFC
// 7946) that any GIS can draw and edit. Positions are [longitude, latitude] in
// degrees, WGS 84.
//
// A Point is a station, a LineString a wanted link or a road, a Polygon ground
// where a pole may stand, or with "stands" or "top_m" what stands there, see [Cover]. All else stands in
// the properties, since editors lose foreign
// members. [Keys] lists the keys with unit, range and meaning, as does polereach plan
// --keys; what else a Point says, such as the keys of the power survey, is kept for others,
// see Station.Property. A line may also be a [Road] or a [Result], and no link.
//
// Polygons that say what stands are laid on the terrain by Plan.OnTerrain. Sides are straight in longitude and
// latitude, none crosses longitude 180, rings count by the even-odd rule, and the later in the file lies
// over the earlier.
//
// A key that is absent, null or empty text is not given; its value then comes from the
// settings. The names of a link decide, its line need not touch the stations,
// and from A to B is the same link as from B to A.
//
// Read reports the faults of a file at once, up to MaxFaults, each with the feature, the key,
// what was found, what is allowed and, of a file that is something else, the command that
// makes a plan of it.
//
// # What is read as people draw it
//
// Each of these is told in Plan.Warnings, once for all features, with the first places:
//
//   - An altitude, the third number of a position, and a fourth are passed over: antennas are
//     as high as height_m says, above ground.
//   - MultiPoint, MultiLineString and MultiPolygon of one part are that part. One of several is refused, but for a
//     MultiPolygon that says what stands there.
//   - A number may be text in digits with a point, behind it the unit of the key and no other:
//     "6", "6.5 m", "22 dBm", "SF9", "4/5". So "6,5" and "20 ft" are refused. Those of the
//     power survey come without a unit.
//   - True and false may be text in any case, yes and no, 1 and 0.
//   - Words may be in any case, with blanks or hyphens: "Standing", "dense urban".
//   - A name, from and to may be numbers.
//   - A Point without name takes on what stands under Name, label, title, fid, id, @id, objectid
//     or gid, in any case and in that order, then the id of the feature, else "Pole 3" by its place
//     among the Points. What would stand twice, or is a name already, is numbered, all of it:
//     "Mast (1)", so that no link can mean one and get the other. A Polygon takes on Name,
//     label or title.
//   - A LineString with neither from nor to, and neither road nor "wanted": false, links the
//     stations within 50 m of its ends. An end with none, or with two about as near (the next at less
//     than twice the distance), is refused; so is a line with one name of two.
//
// It is stricter than RFC 7946 where a silent reading could mislead: no null geometry, no
// geometry of several parts, no name given twice, no key
// twice in one object, no key that looks like a known one the feature lacks
// ("Height", "height_ft"), no coordinate system but WGS 84. It is no stricter
// about the winding of rings. Other unknown keys are kept. Plan.Warnings also names
// what is allowed and looks like a slip: poles and names that are nearly the same,
// longitude and latitude exchanged, keys without effect.
//
// Settings fills in what the file leaves out. Package mesh answers for a plan over terrain.
//
// Decibels are plain float64 here, with the unit in the name: the file says
// what a station states, the typed quantities begin where its gaps are filled.
// The geometry types are those of orb; its GeoJSON decoder is not used, because
// it takes a null geometry without a word.
package plan
