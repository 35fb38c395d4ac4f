package linkbudget

import "slices"

// DefaultMaxHeightM is the greatest pole tried unless the caller says otherwise.
const DefaultMaxHeightM = 30

// mastsM are masts that people put up, m: whole metres up to ten, then the usual
// lengths (common practice); beyond them, where the caller allows it, every ten metres.
var mastsM = []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 25, 30}

// mastsAbove lists the masts from above one height up to another, m, rising.
func mastsAbove(fromM, toM float64) []float64 {
	list := slices.Clone(mastsM)
	for h := mastsM[len(mastsM)-1] + 10; h <= toM; h += 10 {
		list = append(list, h)
	}
	return slices.DeleteFunc(list, func(h float64) bool { return h <= fromM || h > toM })
}

// gainsDBi are antennas that hang on a pole of a small node (common practice); an omni
// of 8 dBi is a stick of more than a metre with a beam of 15 degrees, which few want.
var gainsDBi = []DB{3, 5, 6, 8}

const (
	omniMaxDBi   DB = 6
	sectorMaxDBi DB = 8
)
