// Package timepercent says how the loss of a path changes with time: what is not exceeded for
// 1 to 99.9 per cent of an average year.
//
//   - The good half, 1 to 50 %: all of ITU-R P.1812-6 §4 but the diffraction itself, which the
//     relief of package diffraction has: focusing, ducts and layers, diffraction and
//     troposcatter in time, and their combination ([Course]). Held to every column of the
//     official results. At 50 % it is the median.
//   - The bad half, 50 to 99.9 %, where P.1812 ends: multipath fading of P.530-17 in clear
//     view, the variability of P.617 behind horizons, joined without a step and held to what
//     was measured ([Fades], for whole areas [FadeTable]).
//
// Both ask only the ground that is gathered already, and no second walk of the profile is
// made for a percentage. The median air is one setting with the effective earth radius, k =
// 157/(157 - ΔN) (P.1812-6 eq 6). Water is the caller's to tell:
// [Along] finds the sea in it, [Inland] knows none.
//
// Not modelled: rain, and the days on which it snows on an antenna.
package timepercent
