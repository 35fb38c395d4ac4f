// Package linkbudget computes the budget of one radio path over terrain, for
// small LoRa nodes on poles: what arrives, what is needed, what stands between.
//
// # Models
//
// The median basic transmission loss is free space over the slant distance
// (ITU-R P.525-4) plus diffraction by the delta-Bullington method (ITU-R
// P.526-15 §4.5.2, identical in P.1812-6 §4.3 and P.452-18), with troposcatter
// as a ceiling (P.1812-6 §4.4). This choice is one continuous formula from a
// clear path to deep shadow, can be reproduced against official data, and
// meets the flat-ground limit within 1 to 2 dB.
//
//   - Fresnel clearance (P.526-15 §2.1) is judged at every profile point; 0.6
//     of the first zone counts as clear.
//   - The ground-reflected ray (Parsons ch. 2, P.530 for the geometry) is
//     computed and shown. It is never added to diffraction: low over smooth
//     ground the diffraction term already holds it.
//   - On a path with one obstacle the exact knife edge is shown beside the
//     method's figure: for a clean sharp ridge it is the lower bound, about
//     10 dB below.
//   - The path is computed for k = 4/3 and again for a pessimistic k.
//   - The modem is LoRa: symbol time, required signal-to-noise ratio,
//     sensitivity and time on air from the chip makers' datasheets.
//
// # Range and limits
//
// 100 MHz to 3 GHz; paths from 0.25 km (shorter ones carry a warning) to some
// hundred kilometres; antennas 1 to 300 m above ground. Not modelled: single
// trees and houses, rain, ducting, interference, and everything a terrain
// model does not see. Comparisons of such methods with measurements leave
// residuals of 6 to 10 dB (standard deviation) on obstructed paths and about
// 3 dB on clear ones. A plain margin is no promise.
//
// # Names and units
//
// DB is a ratio and DBm a level; every other number is a float64 whose name
// ends in its unit: M metres, Hz, Deg degrees, Rad radians (inside formulas),
// S seconds. Losses and gains are both positive and meet once, in the sum.
//
// # Errors
//
// Bad input gives an error that lists every fault with the allowed range. A
// path over unknown ground is not an error: its verdict is Unknown and says
// where. No function returns NaN or an infinity for input in range.
package linkbudget
