// Package siting looks for ground where a pole could stand: of all cells of the
// searchable polygons, which reach the neighbours that matter, with how much
// mast, how much winter sun, how far from a road.
//
// # Method
//
// A path loses the same in both directions, so one sweep from each neighbour
// ([coverage.Sweep]) gives the loss from every cell to it; it is swept for
// several masts. The sweeps never decide. They give every cell a bound, the best
// it could be if each path were surer than its sweep says by 1.5 standard
// deviations of its doubt, with any mast between two that were swept. Cells are
// then computed path by path with [linkbudget.Evaluate], the best bound first,
// until no cell that is left could beat those found. Every spot, its order, its
// mast and the trade between mast and neighbours come from single paths alone.
// Where the sun ranks, a glance at the sky ([terrain.HorizonOptions.Rough]) bounds what sun a cell has
// before its paths are computed, and only cells that their paths leave open are looked at with care:
// ranks and figures are those of the careful look.
// The lowest mast is looked for in steps of half a metre from 1 m up, every step
// computed, as loss does not fall steadily with height.
//
// # What can go wrong
//
// Fewer than 1 path in 1000 are surer by more than the bound allows (TestSlackHolds),
// so a cell may be passed over that is good by such a path alone; so may one that has over 1 per cent more
// sun than a glance finds, of which TestGlance meets none. On small ground
// the answer has been the same as that of computing all cells with all masts, for
// every rank (TestSearchFindsWhatBruteForceFinds). Options.MostCells bounds the
// work; Answer.Left tells how many cells were left out for it, never silently.
//
// The search is as fine as its cells; the best spot may lie between two. What
// the terrain model does not show, a tree or a house, is not known.
//
// # Unknown ground
//
// A path over a void or beyond the terrain reaches nobody, and the cells for
// which that decides are counted (Answer.Open). The sun counts unknown ground as
// high as it could be. Paths to a neighbour on unknown ground cannot be judged
// (Answer.Unknown). A must out of range is an error.
package siting
