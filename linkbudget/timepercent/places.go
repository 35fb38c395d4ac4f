package timepercent

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Places is a cell of a map in which an antenna may stand anywhere.
type Places struct {
	FreqHz float64
	// CellM is the side of the cell, 50 to 1000 m.
	CellM float64
	// HeightM is the antenna above the ground and ClutterM what stands round it, R, m.
	HeightM, ClutterM float64
}

// Sigma is σ_L, how far the losses in such a cell scatter about what a profile to its
// middle says, dB: ITU-R P.1812-6 §4.8 eq (66) to (68). It falls to nothing from the height
// of the clutter to 10 m over it.
func (c Places) Sigma() radio.DB {
	of := (0.52 + 0.024*c.FreqHz/1e9) * math.Pow(c.CellM, 0.28)
	return radio.DB(of * min(max(1-(c.HeightM-c.ClutterM)/10, 0), 1))
}
