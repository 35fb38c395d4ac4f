// Package plan reads, checks and writes back the plan file, and nothing else: stations, wanted
// links and ground where a pole may stand, as a GeoJSON FeatureCollection (RFC
// 7946) that any GIS can draw and edit. Positions are [longitude, latitude] in
// degrees, WGS 84, without altitude.
//
// A Point is a station, a LineString a wanted link or a road, a Polygon ground
// where a pole may stand. All else stands in the properties, since editors lose foreign
// members:
//
//	Point        name             text, unique, required
//	             status           standing (default), proposed
//	             height_m         antenna above ground      above 0 to 300 m
//	             tx_dbm           transmitter output        -30 to 40 dBm
//	             gain_dbi         antenna, main lobe        -20 to 30 dBi
//	             feed_loss_db     cable and connectors      0 to 40 dB
//	             hardware_db      lost against data sheets, each way  0 to 40 dB
//	             noise_figure_db  receiver                  above 0 to 30 dB
//	             noise_rise_db    man-made, above thermal   0 to 60 dB
//	             tilt_deg         main lobe over horizontal  -45 to 45 deg
//	             beam             omni, sector (needs azimuth_deg)
//	             azimuth_deg      clockwise from true north 0 to 360 deg
//	             polarisation     vertical, horizontal
//	             inside           free (looked at: nothing rises near), open, suburban, wood, urban, dense_urban
//	             clutter_top_m    top of that clutter       0 (that of the class) to 100 m
//	             wood_m           wood in front of it       0 to 2000 m
//	             beamwidth_deg    of a sector, half power   5 to 180 deg
//	             coax, coax_m     cable class and length    0 to 200 m
//	             vswr             of the antenna            1 to 10
//	             mount            top (default), side of the mast
//	             noise            rural, suburb, city: man-made noise
//	             nearby_tx_dbm, nearby_offset_mhz, nearby_isolation_db
//	                              a transmitter close by, all three
//	             panel_*, cell_*  kept for the power survey, see Station.Property
//	LineString   from, to         names of two stations, required
//	             required         true (default), false
//	             sf               spreading factor          5 to 12
//	             cr               coding rate 4/5 to 4/8 by its denominator, 5 to 8
//	             bw_khz           7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500
//	             freq_mhz         carrier                   100 to 3000 MHz
//	             name             label for messages
//	             a line with road true, or with the OpenStreetMap key highway, is a
//	             road and no link: see Road
//	             a line with wanted false is what an earlier run wrote down of a
//	             pair that nobody asked for, and no link: see Result
//	Polygon      name             text
//	             status           searchable (default)
//	             height_m         antenna of a pole there   above 0 to 300 m
//
// A key that is absent or null is not given; its value then comes from the
// settings. The names of a link decide, its line need not touch the stations,
// and from A to B is the same link as from B to A.
//
// Read reports every fault of a file at once, each with the feature, the key,
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
