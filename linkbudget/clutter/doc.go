// Package clutter computes what stands around the two ends of a path costs.
//
//   - [Terminal]: an antenna below the tops of what surrounds it, ITU-R P.2108-1 §3.1; in
//     open country too, below 10 m.
//   - [Statistical]: an antenna somewhere in a town, as a share of places, P.2108-1 §3.2.
//   - [Woodland]: an antenna within a wood, P.833-10.
//
// Never two of them at one end. The classes are those of P.2108-1 table 3 and P.1812-6
// table 2, with one of our own: [Free], where somebody looked and nothing rises near the
// antenna towards its neighbour.
package clutter
