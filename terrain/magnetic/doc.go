// Package magnetic turns true bearings into those a compass shows.
//
// [NewCompass] tells it for a month. [Declination] is of the World Magnetic Model 2025 of
// NOAA/NCEI and the British Geological Survey, "The US/UK World Magnetic Model for
// 2025-2030": spherical harmonics of the field of the earth's core to degree 12 and their
// yearly change. The coefficients are embedded; there is no clock. NOAA calls declinations of
// such models good to half a degree; ore, steel and currents nearby turn a compass by any
// amount. Near the magnetic poles a compass has little to hold on to: see [Zone].
//
// Equations are numbered as in the report for 2020-2025, from memory.
package magnetic
