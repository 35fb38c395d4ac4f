// Package region computes what area all poles of a plan serve together: hundreds or thousands,
// over ground of any size, in memory that grows with neither, and in shards that any batch
// engine spreads.
//
// # Method
//
// Every pole is swept once, over all of its radius, as [coverage.Sweep] does it, and gives
// every cell a [coverage.Tally]. Tallies are joined in whole numbers, so that what comes
// out does not depend on who swept which pole, nor when: cells, areas and files are those of
// [coverage.Combine] over all poles at once. Cut into the tiles of the output, a sweep would walk its
// rays once for each tile that the pole reaches: a cell costs 1.3 times as much with
// tiles of 1,200 cells a side, twice with 300, and rays would lie elsewhere.
//
//   - Cells lie in blocks of 256 by 256, those of a GeoTIFF. Poles are taken in the order of a curve
//     through the blocks, so that neighbours follow each other.
//   - A batch is as many of them as reach no more blocks than are held in memory. Then those
//     that are wanted again last, or never, are packed and go to the part; one may come again.
//   - A shard has an even part of the poles and writes a part: a line that says what it
//     belongs to, with the plan; packed blocks; where each of them lies; the SHA-256 of
//     all that.
//   - Joined parts are gone through block by block: what parts say of one block meets
//     there, is counted, and is packed for the raster files.
//
// # What is never guessed
//
// As with few poles: a cell that no pole reaches and that one of them could not judge is unjudged.
package region
