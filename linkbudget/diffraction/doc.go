// Package diffraction computes what the ground takes off a path: the clearance of the
// direct ray, the obstacles in its way, and the loss by delta-Bullington.
//
// The engine is [Relief]: the ground of one path gathered once and then asked many things,
// over one effective earth and another. What ITU-R P.526-15 §4.5.2, P.1812-6 §4.3 and
// P.452-18 call delta-Bullington is its [Relief.DeltaBullington]; every official case of the
// three runs through it in the tests, and so does every path of a plan. A plain walk over
// all points, in the tests, is the second derivation.
//
//   - Knife edges: P.526-15 §4.1, the approximation eq (31) and the exact integral.
//   - Bullington's edge: P.526-15 §4.5.1, P.1812-6 eq (13)-(21).
//   - Spherical earth: P.526-15 §3.2, P.1812-6 eq (22)-(36).
//   - Clearance in first Fresnel radii: P.526-15 §2.1; from 0.6 on a path is clear.
//   - Troposcatter, the ceiling of the loss: P.1812-6 §4.4.
//   - What an error of the terrain model does to the loss: [Relief.TerrainDoubt].
//
// The edge and the fitted surface move with the ground: raising one point of a profile can
// lower the loss by some decibels. The loss is the same in both directions.
package diffraction
