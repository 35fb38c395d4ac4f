// Package sheet writes what a person takes up the hill: one HTML file that a phone shows
// without a network and that prints on A4 and Letter, a page for each pole. It holds the
// verdict and what it rests on, a map, for each neighbour where to aim and what to expect, the
// skyline with the sun, the node, steps with boxes to tick, a table for what was heard, and
// cautions.
//
// The file runs no script and asks for nothing outside itself: its content security policy
// forbids both. The figures of a pole and of each link told in full stand in data elements: the
// value is that of the JSON of the commands "site" and "sun", data-key its key there, or that of
// CSV for what there is each way.
package sheet
