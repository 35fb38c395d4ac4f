// Package coverage computes the path from one pole to every cell of an area:
// median loss, margin of the weaker direction, and the chance that it closes.
//
// # Method
//
// The physics is that of [linkbudget.Evaluate]: free space, delta-Bullington
// diffraction (ITU-R P.526-15 §4.5.2), troposcatter as a ceiling, clutter at the
// ends, both antennas' patterns. But no path is computed alone. Rays leave the
// pole and carry along what a receiver on them needs: the steepest slope seen
// from the pole, the upper hull of the ground for the horizon seen from the
// other end, the running sums of the fitted surface. A cell costs a search in
// that hull, which starts where the last one ended, not a walk over its path.
//
// Near the pole rays would crowd. So a ray is followed once for a whole sector, and
// forks in two, each with a copy of what was carried, where the two would be too far
// apart.
//
// # Words
//
//   - A post is a place where the terrain has a height; a line of posts is a column or a row.
//   - A quadrant is a quarter of the directions: its rays cross columns, or rows. Along its
//     axis is away from the pole, across it is along a line of posts.
//   - A crossing is where rays take a sample of the ground; a run is 16 samples at once.
//   - A ray of level n stands for 2^n rays of level 0, and carries what it has seen.
//   - A reach is a run over level ground whose cells follow from a few of them, its probes.
//   - The last samples are the three before a receiver, found on its own path: the near
//     ground. All before them is the far ground, that of the ray.
//   - Flattened heights have the earth's curve taken off, bare ones have not.
//   - A lane is one of 64 cells that go through the same arithmetic side by side, in Go one
//     by one, in vectors eight at once; a row is one number of all lanes.
//   - Ground lies in shadow where the chance there is surely below one per cent.
//
// A cell takes the far ground from the ray next to it, and the last samples before
// it from its own path.
//
// Where whole per cents of the chance are enough ([Options].WholePercent), cells that surely have less than
// one are not judged: far behind a ridge all ground below some height. Stretches of a ray over
// such ground alone are not even looked at. What is judged comes out the same.
//
// # What differs from Evaluate
//
//   - The ground is sampled where a ray crosses the lines of posts of one direction;
//     a single path at those of both. The median difference of the loss is below
//     0.1 dB, and 95 % of cells lie within 1 dB; the tests print the figures.
//   - The smooth-earth term comes from tables, within 0.2 dB.
//   - The doubt of the terrain is asked at the horizons of both antennas, or in line
//     of sight at the point nearest to the line, not at every point; and no ripple. The
//     chance that a link closes is that of a single path within 0.03 in 95 % of cells.
//   - For a share of time above 50 % the fades come from a table, at the latitude of the pole, as
//     does the air's refractivity; below 50 % a sweep is refused.
//   - Over level ground, open water mostly, of a run of samples far from the shore two or three cells are judged;
//     those between lie on straight lines, in 99 % of cells within 0.05 dB.
//   - Cells are judged in single precision and kept to 0.01 dB, see [Cell].
//   - No second refraction case, and no class of cover for whole paths. The cover of a DEM is taken at the
//     post next to a sample; of the woods on a path it passes through one at most, and none wider than 1.6 km;
//     and it adds no doubt on bare earth. 95 % of cells over woods and houses lie within 2 dB, over rows of
//     trees on bare earth within 3.2, around a pole in a clearing within 4.4.
//
// # What is never guessed
//
// A cell on a void, outside the terrain, or behind either is marked so (State)
// and has no numbers. Shares in a [Table] are of what was judged.
package coverage
