package plan

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// GroundHash tells terrain from other terrain with the same extent and the same names and sizes of its
// files: a hash (SHA-256, FIPS 180-4) of the ground under so many poles at most, evenly through
// the plan, to the millimetre, since the last bits of a height differ between processors; and of what its
// cover says there. What lies between them it does not see. The error is of a DEM or a cover that could
// not be read.
func (p *Plan) GroundHash(dem terrain.DEM, most int) (string, error) {
	all, n := p.Stations, max(min(len(p.Stations), most), 0)
	number := make([]int, n)
	for k := range number {
		number[k] = k * len(all) / n
	}
	// Neighbours stand on one file: asked one after the other it is read once.
	slices.SortStableFunc(number, func(x, y int) int {
		a, b := all[x].At, all[y].At
		return cmp.Or(cmp.Compare(math.Floor(a[1]), math.Floor(b[1])), cmp.Compare(math.Floor(a[0]), math.Floor(b[0])))
	})
	at, heightM, flag := make([]orb.Point, n), make([]float64, n), make([]terrain.Flag, n)
	for k, i := range number {
		at[k] = all[i].At
	}
	if err := terrain.HeightsOf(dem, at, heightM, flag); err != nil {
		return "", fmt.Errorf("ground at the poles: %w", err)
	}
	h := sha256.New()
	for k, i := range number {
		if !flag[k].Known() {
			heightM[k] = 0
		}
		fmt.Fprintln(h, i, math.Round(heightM[k]*1000)+0, flag[k]) // no negative zero
	}
	if _, cover := terrain.GroundAndCover(dem); cover != nil {
		standing := make([]terrain.Standing, n)
		if err := cover.Standing(at, standing); err != nil {
			return "", fmt.Errorf("cover at the poles: %w", err)
		}
		fmt.Fprintln(h, standing)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
