// Package reflection computes the ray that the ground reflects from one antenna to the
// other: where it touches, how strong it is, and what both rays make together.
//
//   - The Fresnel coefficients of the ground: Parsons, "The Mobile Radio Propagation
//     Channel", ch. 2.
//   - Two rays over flat ground and over the earth, with divergence: Parsons ch. 2, the
//     geometry after ITU-R P.530.
//   - Roughness: the Rayleigh criterion and the factor of P.530.
//   - Ripple: how far a ray of unknown phase moves the level, at the most and as a
//     standard deviation.
//
// The reflected ray is never added to diffraction: low over smooth ground the diffraction
// term already holds it.
package reflection
