package diffraction

import "github.com/polereach/polereach/linkbudget/internal/words"

// Obstacle is a run of neighbouring points that cut the line of sight.
type Obstacle struct {
	// FromM and ToM are the distances from A of the first and the last point
	// of the run, m; they are equal when one point alone stands in the way.
	FromM, ToM float64
	// Worst is the point of the run with the smallest fraction.
	Worst Clearance
}

// PathClass says in one word, as text too, how the line of sight stands to the
// ground; zero is none. String gives the word.
type PathClass int8

const (
	// PathClear, "clear", leaves at least 0.6 of the first Fresnel zone free,
	// where terrain costs nothing.
	PathClear PathClass = iota + 1
	// PathGrazing, "grazing", sees the other end, but with less than 0.6 of the
	// zone free.
	PathGrazing
	// PathBlocked, "blocked", has ground in the line of sight.
	PathBlocked
)

var pathWords = words.List{"", "clear", "grazing", "blocked"}

// String returns the word, which is empty for none.
func (c PathClass) String() string { return pathWords.Of(int8(c)) }

// MarshalText returns the word. The error is of a value that is none of the
// constants and not zero.
func (c PathClass) MarshalText() ([]byte, error) { return pathWords.Text("path class", int8(c)) }

// UnmarshalText takes a word, or nothing for none. The error lists what is allowed.
func (c *PathClass) UnmarshalText(text []byte) error {
	return words.Read(pathWords, "path class", text, c)
}

// ClearFraction is the part of the first Fresnel zone that must be free for
// no loss: ITU-R P.526-15 §3.2 has 0.552, the trade rounds to 0.6.
const ClearFraction = 0.6

// Classify returns the class of the smallest [Clearance] fraction of a path.
func Classify(fraction float64) PathClass {
	switch {
	case fraction >= ClearFraction:
		return PathClear
	case fraction >= 0:
		return PathGrazing
	}
	return PathBlocked
}
