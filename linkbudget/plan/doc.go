// Package plan reads, checks and writes back the plan file, and nothing else: stations, wanted
// links and ground where a pole may stand, as a GeoJSON FeatureCollection (RFC
// 7946) that any GIS can draw and edit. Positions are [longitude, latitude] in
// degrees, WGS 84, without altitude.
//
// A Point is a station, a LineString a wanted link or a road, a Polygon ground
// where a pole may stand. All else stands in the properties, since editors lose foreign
// members. [Keys] lists the keys with unit, range and meaning, as does the help of the
// command plan; what else a Point says, such as panel_* and cell_*, is kept for others,
// see Station.Property. A line may also be a [Road] or a [Result], and no link.
//
// A key that is absent or null is not given; its value then comes from the
// settings. The names of a link decide, its line need not touch the stations,
// and from A to B is the same link as from B to A.
//
// Read reports the faults of a file at once, up to MaxFaults, each with the feature, the key,
// what was found and what is allowed. It is stricter than RFC 7946 where a
// silent reading could mislead: no third coordinate (it could pass for the
// height of the antenna), no null geometry, no multi-part geometry, no key
// twice in one object, no key that looks like a known one the feature lacks
// ("Height", "height_ft"), no coordinate system but WGS 84. It is no stricter
// about the winding of rings. Other unknown keys are kept. Plan.Warnings names
// what is allowed and looks like a slip: poles and names that are nearly the same,
// longitude and latitude exchanged, keys without effect.
//
// Settings fills in what the file leaves out. Package mesh answers for a plan over terrain.
//
// Decibels are plain float64 here, with the unit in the name: the file says
// what a station states, the typed quantities begin where its gaps are filled.
// The geometry types are those of orb; its GeoJSON decoder is not used, because
// it takes a third coordinate and a null geometry without a word.
package plan
