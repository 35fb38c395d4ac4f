package siting

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Rank says which of the spots that serve come first.
type Rank uint8

// The ranks. All judge a spot with the mast asked for (Candidate.HeightM); a spot that
// needs another comes after all that do not, the lowest mast first.
const (
	// ByMast puts first where the lowest mast would do. In all ranks what is alike so far is
	// parted by more neighbours, then by the surer of the weakest paths among those
	// that reach, then by the larger sum of probabilities.
	ByMast Rank = iota
	// ByNeighbours puts the most neighbours reached first.
	ByNeighbours
	// ByProbability puts the surest first: what counts is the weakest of the
	// paths that are wanted, which are the musts and the best others up to AtLeast.
	ByProbability
	// BySun puts first where the hills leave most of the sun of the worst month,
	// in whole percent of what a flat horizon gives: less cannot be told apart.
	BySun
	// ByRoad puts first what lies nearest to a road.
	ByRoad
)

var rankWords = [...]string{"mast", "neighbours", "probability", "sun", "road"}

// ParseRank returns the rank of a word; the error lists them.
func ParseRank(word string) (Rank, error) {
	if i := slices.Index(rankWords[:], word); i >= 0 {
		return Rank(i), nil
	}
	return 0, fault.Found("rank", strconv.Quote(word), strings.Join(rankWords[:], ", "))
}

// String returns the word.
func (r Rank) String() string {
	if int(r) >= len(rankWords) {
		return "unknown rank"
	}
	return rankWords[r]
}

// key orders places: the first number that differs decides, the larger is better.
type key [5]float64

func (k key) compare(other key) int {
	for i := range k {
		if c := cmp.Compare(other[i], k[i]); c != 0 {
			return c // better first
		}
	}
	return 0
}

// The first number of a key.
const (
	servesNot   = 0 // with no mast up to the tallest
	servesLater = 1 // with a taller mast than asked for
	servesAsked = 2
)

// standing is what a place offers with one mast, exact or at best.
type standing struct {
	musts, reached int
	// chance is the sum of the probabilities over all neighbours; weakest is the
	// weakest wanted path, least the weakest of those that reach, in standard
	// deviations over even odds.
	chance, weakest, least float64
}

// failing is the key of a place that does not serve, with the mast asked for.
func (s standing) failing() key {
	return key{servesNot, float64(s.musts), float64(s.reached), s.least, s.chance}
}

// withMast is the key of a place that is judged by the lowest mast that serves.
func (s standing) withMast(heightM float64) key {
	return key{servesLater, -heightM, float64(s.reached), s.least, s.chance}
}

// asked is the key of a place that serves with the mast asked for; the lowest mast that
// does, sunPercent and roadM are used where the rank asks for them.
func (s standing) asked(r Rank, lowestM, sunPercent, roadM float64) key {
	first := 0.0
	switch r {
	case ByMast:
		first = -lowestM
	case ByNeighbours:
		return key{servesAsked, float64(s.reached), s.least, s.chance}
	case ByProbability:
		first = s.weakest
	case BySun:
		first = sunPercent
	case ByRoad:
		first = -roadM
	}
	return key{servesAsked, first, float64(s.reached), s.least, s.chance}
}
