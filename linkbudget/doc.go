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
// P.1812 is implemented, and its equations are numbered, after edition 6 (2021): of
// the current edition 8 (09/2025) only the table of contents was found (clutter still
// §3.2, diffraction §4.3, troposcatter §4.4; location variability now §4.7, was §4.8)
// and the figures of a public implementation that its author, who wrote the reference
// code, calls edition 8 and whose effective earth, delta-Bullington, troposcatter and
// elevation angles are those of edition 6, while what the texts of editions 7 and 8
// changed in these formulas and their numbers could not be found out.
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
//   - Each end stands in something: in open country where nothing is said (P.2108-1
//     §3.1 eq (2b), below 10 m), inside a class (eq (2a)) or a wood (P.833-10), in a
//     town (P.2108-1 §3.2), or free, where somebody looked. In a class and in a town
//     the path is reckoned from the tops, from which those losses count. The other
//     choice is clutter on the profile (P.1812-6 table 2, on bare earth only). Never
//     two of them at one end.
//   - The hardware of each end loses some decibels in the mean. That belongs to the
//     budget, not to the path's loss.
//   - Antennas have patterns (F.1336-5, half-wave dipole, sector), tilt,
//     polarisation, mismatch; receivers have man-made noise (P.372) and noisy
//     neighbours.
//   - The modem is LoRa: symbol time, required signal-to-noise ratio,
//     sensitivity and time on air from the chip makers' datasheets; packet
//     errors from the exact symbol error rate, shifted to the datasheets'
//     sensitivity, and averaged over Rician or Rayleigh fading.
//
// # Doubt
//
// sigma² = model² + ripple² + terrain² + ends² + hardware², each itemised,
// and P(link) = Phi(margin/sigma); fading in time is kept apart. The terrain's part is
// what one standard deviation of the ground's error, against both antennas, moves the
// loss by at the edge where that is most; it is nil at the ends and over level water,
// continuous, and dies away as clearance grows. The ends' part, 6 dB each where nobody
// looked, brings a clear path between low antennas to the spread that was measured
// between sites. On 20,000 simulated links (Cumberland and level ground; terrain
// error, ends, hardware and reflection phase drawn) the stated 50, 80 and 95 %
// intervals held 49.8, 79.9 and 94.8 % of the drawn losses, in sight and behind
// obstacles alike. The method's own figure, 3 dB on a clear path and 6 to 10 dB behind
// obstacles, is engineering judgement and was not drawn; what measurements say of the
// whole stands in the README.
//
// # Range and limits
//
// 100 MHz to 3 GHz; paths from 0.25 km (shorter ones carry a warning) to some
// hundred kilometres; antennas 1 to 300 m above ground. Not modelled: single
// trees and houses, rain, ducting, other people's packets, and everything a
// terrain model does not see.
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
