// Package tiles fetches terrain tiles of one degree from open distributions that ask for
// no account: which tiles a place needs ([Around]), where they are to be had ([Distributions]),
// and how they come to lie whole in a folder ([Job]).
//
// A tile is parsed before it is renamed into place. One that a distribution does not have
// is told, since it may be sea or ground that nobody surveyed; it is never made up.
package tiles
