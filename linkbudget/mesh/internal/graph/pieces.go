package graph

import (
	"math"
	"slices"
)

// piece is a set of vertices that hang together once another is lost: some
// stretches of the walk.
type piece struct {
	size      int
	stretches [][2]int32 // from, to, the latter not included
}

func newPiece(stretches ...[2]int32) (p piece) {
	for _, s := range stretches {
		if s[1] > s[0] {
			p.size += int(s[1] - s[0])
			p.stretches = append(p.stretches, s)
		}
	}
	return p
}

// ofPart is a part as one piece.
func (l *Layout) ofPart(k int) piece {
	return newPiece([2]int32{l.start[k], l.start[k] + int32(len(l.Parts[k]))})
}

// pieces are what the part of v falls into without it: branches below v that
// hang on nothing else, and the rest.
func (l *Layout) pieces(v int32) []piece {
	k := l.Part[v]
	var out []piece
	rest := [][2]int32{{l.start[k], l.order[v]}}
	from, to := l.order[v]+1, l.start[k]+int32(len(l.Parts[k]))
	var branches [][2]int32
	for _, b := range l.in[v] {
		if l.blocks[b][0] == v {
			c := l.blocks[b][1]
			branches = append(branches, [2]int32{l.order[c], l.order[c] + l.size[c]})
		}
	}
	slices.SortFunc(branches, func(x, y [2]int32) int { return int(x[0] - y[0]) })
	for _, b := range branches {
		out = append(out, newPiece(b))
		rest = append(rest, [2]int32{from, b[0]})
		from = b[1]
	}
	if p := newPiece(append(rest, [2]int32{from, to})...); p.size > 0 {
		out = append(out, p)
	}
	return out
}

func (l *Layout) lowest(p piece) int32 {
	least := int32(math.MaxInt32)
	for _, s := range p.stretches {
		least = min(least, slices.Min(l.visited[s[0]:s[1]]))
	}
	return least
}

// first lists the lowest most vertices of some pieces, total in all.
func (l *Layout) first(pieces []piece, total, most int) []int {
	var list []int
	if total <= 8*most {
		for _, p := range pieces {
			for _, s := range p.stretches {
				for _, v := range l.visited[s[0]:s[1]] {
					list = append(list, int(v))
				}
			}
		}
		slices.Sort(list)
		return slices.Clone(list[:min(most, len(list))])
	}
	// Of so many, most are met soon.
	for v := 0; len(list) < most; v++ {
		at := l.order[v]
		if slices.ContainsFunc(pieces, func(p piece) bool {
			return slices.ContainsFunc(p.stretches, func(s [2]int32) bool { return s[0] <= at && at < s[1] })
		}) {
			list = append(list, v)
		}
	}
	return list
}
