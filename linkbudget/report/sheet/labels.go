package sheet

import (
	"math"
	"unicode/utf8"
)

// mapName is how many letters of a name the map has room for.
const mapName = 22

// What a letter and a mark take on the map, units.
const (
	letterWidth, letterHeight = 6.3, 12.0
	markHalf                  = 6.0
)

// box is taken on the map.
type box struct{ left, top, right, bottom float64 }

func (b box) meets(o box) bool {
	return b.left < o.right && o.left < b.right && b.top < o.bottom && o.top < b.bottom
}

// labels are the boxes that marks and names have taken, and places that lines go through.
type labels struct {
	marks, names []box
	lines        []mapPoint
}

// cross takes note of a line.
func (l *labels) cross(from, to mapPoint) {
	const step = 6 // units
	for n, i := math.Ceil(math.Hypot(to.X-from.X, to.Y-from.Y)/step), 0.0; i < n; i++ {
		l.lines = append(l.lines, mapPoint{from.X + (to.X-from.X)*i/n, from.Y + (to.Y-from.Y)*i/n})
	}
}

// covered tells how much a box hides: names most, then marks, then lines.
func (l *labels) covered(b box) (much float64) {
	for _, other := range l.names {
		if b.meets(other) {
			much += 2
		}
	}
	for _, other := range l.marks {
		if b.meets(other) {
			much++
		}
	}
	for _, at := range l.lines {
		if b.meets(box{at.X, at.Y, at.X, at.Y}) {
			much += 0.04
		}
	}
	return much
}

// keep takes the place of a mark.
func (l *labels) keep(at mapPoint) {
	l.marks = append(l.marks, box{at.X - markHalf, at.Y - markHalf, at.X + markHalf, at.Y + markHalf})
}

// put finds a place for a name beside its mark, where it covers least, within the map.
func (l *labels) put(f frame, text string, at mapPoint) (mapPoint, string) {
	width := letterWidth * float64(utf8.RuneCountInString(text))
	best, anchor, fewest := mapPoint{}, "", -1.0
	var took box
	for i, try := range []struct {
		dx, dy float64
		anchor string
	}{{8, 4, "start"}, {-8, 4, "end"}, {0, -8, "middle"}, {0, 19, "middle"}, {7, -5, "start"}, {-7, -5, "end"},
		{7, 13, "start"}, {-7, 13, "end"}} {
		to := mapPoint{at.X + try.dx, at.Y + try.dy}
		b := box{to.X, to.Y - letterHeight, to.X + width, to.Y + 2}
		switch try.anchor {
		case "end":
			b.left, b.right = to.X-width, to.X
		case "middle":
			b.left, b.right = to.X-width/2, to.X+width/2
		}
		covers := l.covered(b) + 0.05*float64(i) // beside is read more easily
		if b.left < 0 || b.top < 0 || b.right > f.width || b.bottom > f.height {
			covers += 4
		}
		if fewest < 0 || covers < fewest {
			best, anchor, fewest, took = to, try.anchor, covers, b
		}
	}
	l.names = append(l.names, took)
	return best, anchor
}
