package coverage

// patch is the width of the strips of posts that are turned at a time, and the side of
// the squares for which is told whether ground is unknown: whole groups of eight rows.
const patch = 64

// patches tells, square by square, where some ground is unknown.
type patches struct {
	cols    int
	unknown []bool // in the square or in one beside it; nil where all is known
}

// newPatches takes what was found, row by row of squares.
func newPatches(cols int, found []bool) patches {
	p := patches{cols: cols}
	rows := len(found) / cols
	for i, bad := range found {
		if !bad {
			continue
		}
		if p.unknown == nil {
			p.unknown = make([]bool, len(found))
		}
		col, row := i%cols, i/cols
		for r := max(row-1, 0); r <= min(row+1, rows-1); r++ {
			for c := max(col-1, 0); c <= min(col+1, cols-1); c++ {
				p.unknown[r*cols+c] = true
			}
		}
	}
	return p
}

// sound reports whether all ground within a square's side of a post is known.
func (p *patches) sound(col, row int) bool {
	return p.unknown == nil || !p.unknown[row/patch*p.cols+col/patch]
}
