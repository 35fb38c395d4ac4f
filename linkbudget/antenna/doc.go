// Package antenna holds what lies between a radio's port and the wave: the pattern of an
// antenna and where it looks, its mismatch and polarisation, the feed line, and the power
// that is radiated.
//
//   - Patterns: the half-wave dipole; omnis and sectors after ITU-R
//     F.1336-5 recommends 2 and 3.
//   - Mismatch: transmission line theory.
//   - Cables: makers' attenuation tables, as K1 sqrt(f) + K2 f.
package antenna
