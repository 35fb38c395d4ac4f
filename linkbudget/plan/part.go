package plan

import (
	"github.com/polereach/polereach/terrain"
)

// Part is the result of one shard: everything needed to merge it with the
// others, or to make the Mesh of it if it is the only one. It is written and
// read as JSON; floats survive exactly.
type Part struct {
	Schema int // PartSchema
	// Key identifies plan, options, terrain and the order of the pairs. Parts
	// with different keys do not belong together.
	Key     string
	Options CheckOptions
	Extent  terrain.Extent
	// Pairs are those of the shard; Ground the ground of its share of poles.
	Pairs  []Pair
	Ground []GroundAt

	plan *Plan
}

// PartSchema is the version of the JSON of a Part.
const PartSchema = 1

// GroundAt is the ground under one pole.
type GroundAt struct {
	Station int          `json:"station"`
	M       float64      `json:"ground_m"`
	Flag    terrain.Flag `json:"flag,omitempty"`
}
