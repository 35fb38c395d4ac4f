// Package radio holds what all rooms of a link budget speak in: decibels and levels,
// polarisation, the loss of free space, the first Fresnel zone, the effective earth, the
// electrical constants of the ground, and the normal distribution of levels.
//
// [DB] is a ratio and [DBm] a level; every other number is a float64 whose name ends in
// its unit. Losses and gains are both positive and meet once, in the sum.
//
//   - Free space: ITU-R P.525-4 §2.3, with the exact constant.
//   - Fresnel zones: ITU-R P.526-15 §2.1.
//   - Effective earth: ITU-R P.1812-6 §3.5; k = 4/3 of the mean radius in the median.
//   - Refractivity at the sea level by latitude: ITU-R P.835-6 annex 1, P.453-14 eq (6).
//   - Phi and its inverse: the share of places in which a margin holds over its doubt.
package radio
