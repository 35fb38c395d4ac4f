package clutter

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Clutter is what stands around an antenna, or over a stretch of ground.
type Class uint8

// The classes, by the words of the plan file. The zero value says nothing; around
// an antenna it counts as open. Free means that somebody looked and nothing rises
// there, open what ITU-R P.2108 means by it: grass, fences, undulations.
const (
	Unstated Class = iota
	Free
	Open
	Suburban
	Wood
	Urban
	DenseUrban
)

// clutterClass is one row of the two tables of heights.
type clutterClass struct {
	word      string
	profileM  float64 // representative height on a profile
	terminalM float64 // height around a terminal that stands inside
}

// Terminal heights: ITU-R P.2108-1 §3.1. Profile heights: P.1812-6 table 2,
// from memory. A wood is the class "urban/trees/forest" of both.
var clutterClasses = [...]clutterClass{
	Unstated:   {"unstated", 0, 0},
	Free:       {"free", 0, 0},
	Open:       {"open", 0, 10},
	Suburban:   {"suburban", 10, 10},
	Wood:       {"wood", 15, 15},
	Urban:      {"urban", 15, 15},
	DenseUrban: {"dense_urban", 20, 20},
}

// Parse returns the class of a word: free, open, suburban, wood, urban or
// dense_urban, spelt exactly so. The error lists them.
func Parse(word string) (Class, error) {
	var words []string
	for c := Free; c <= DenseUrban; c++ {
		if word == clutterClasses[c].word {
			return c, nil
		}
		words = append(words, clutterClasses[c].word)
	}
	return Unstated, fault.Found("clutter", strconv.Quote(word), strings.Join(words, ", "))
}

// String returns the word of the plan file, "unstated" for the zero value.
func (c Class) String() string {
	if c > DenseUrban {
		return fmt.Sprintf("clutter %d", uint8(c))
	}
	return clutterClasses[c].word
}

// RepresentativeHeightM returns the height to add to bare ground on a profile,
// m: ITU-R P.1812-6 table 2 (from memory). Never on a surface model, which
// holds canopy and roofs already, never on the end points, and never together
// with [Terminal] at the same end: each would count the clutter twice.
func (c Class) RepresentativeHeightM() float64 {
	if c > DenseUrban {
		return 0
	}
	return clutterClasses[c].profileM
}

// TerminalHeightM returns the default height R of the clutter around a terminal
// that stands inside it, m: ITU-R P.2108-1 §3.1.
func (c Class) TerminalHeightM() float64 {
	if c > DenseUrban {
		return 0
	}
	return clutterClasses[c].terminalM
}
