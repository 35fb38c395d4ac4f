// Package siting looks for ground where a pole could stand: of all cells of the
// searchable polygons, which reach the neighbours that matter, with how much mast.
//
// A path loses the same in both directions, so one sweep from each neighbour
// ([coverage.Sweep]) gives the loss from every candidate to it. The cells are
// ranked by that, distinct spots are picked with a least separation, and every
// spot shown is computed again path by path with [linkbudget.Evaluate]: the
// sweep only proposes, the single path decides. The lowest mast of a spot is
// looked for in steps of half a metre, as loss does not fall steadily with height.
//
// The search is as fine as its cells; the best spot may lie between two. What
// the terrain model does not show, a tree or a house, is not known.
package siting
