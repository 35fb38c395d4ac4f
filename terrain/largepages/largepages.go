// Package largepages makes room for rasters, in large pages where the system has them.
//
// A ray or a path crosses a raster: nearly every step lands in another row, and a row is
// longer than an ordinary page of memory. A processor holds the places of some thousand
// pages; beyond that each step costs a walk through their table.
package largepages

// leastBytes is what a slice must have to be worth it: some large pages.
const leastBytes = 4 << 20

// Make is make([]T, n), with a hint to the system to use large pages where the slice is
// large. The hint changes nothing but speed, and a system without large pages passes
// over it. It holds for memory not yet touched, so it comes first.
func Make[T any](n int) []T {
	s := make([]T, n)
	hint(s)
	return s
}
