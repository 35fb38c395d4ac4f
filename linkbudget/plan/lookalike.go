package plan

import (
	"fmt"
	"math"
	"strings"

	"github.com/polereach/polereach/terrain"
)

// nearSpotM, m: nearer to each other two poles may be one that was measured twice. What
// a satellite receiver in the hand may be off; engineering judgement.
const nearSpotM = 5

// nearSpots warns of stations at one spot or within a few metres: allowed, since two
// radios may share a pole, but often a copy that was never moved or a pole that was
// measured twice. Each is told once, against one before it.
func (r *reader) nearSpots() []string {
	var list []string
	const cubeM = 2 * nearSpotM
	// In every cube those that are near none before: a few, however many are given.
	apart := map[[3]int32][]int{}
	for i := range r.plan.Stations {
		s := &r.plan.Stations[i]
		var home, side [3]int32 // its cube, and the nearer neighbour along each axis
		for k, x := range terrain.Cartesian(s.At) {
			cube, inside := math.Floor(x/cubeM), math.Mod(x, cubeM)
			home[k], side[k] = int32(cube), int32(cube)-1
			if inside < 0 {
				inside += cubeM
			}
			if inside >= nearSpotM {
				side[k] += 2
			}
		}
		near := r.nearIn(apart, s, home, side)
		if near == nil {
			apart[home] = append(apart[home], i)
			continue
		}
		at := "at the same coordinates as"
		if near.At != s.At {
			at = fmt.Sprintf("%.1f m from", terrain.Inverse(near.At, s.At).DistM)
		}
		list = append(list, fmt.Sprintf("%s%s feature %d (%s)",
			place(r.plan.Source, s.Feature, s.Name), at, near.Feature, quote(near.Name)))
	}
	return list
}

// nearIn looks in the eight cubes that a station within the distance may be in.
func (r *reader) nearIn(apart map[[3]int32][]int, s *Station, home, side [3]int32) *Station {
	for corner := range 8 {
		cube := home
		for k := range cube {
			if corner>>k&1 == 1 {
				cube[k] = side[k]
			}
		}
		for _, j := range apart[cube] {
			if other := &r.plan.Stations[j]; other.At == s.At || terrain.Inverse(other.At, s.At).DistM <= nearSpotM {
				return other
			}
		}
	}
	return nil
}

// likeNames warns of names that differ by blanks or capitals alone: nobody tells two
// such poles apart on a list.
func (r *reader) likeNames() []string {
	var list []string
	first := make(map[string]int, len(r.plan.Stations))
	for i := range r.plan.Stations {
		s := &r.plan.Stations[i]
		bare := strings.ToLower(strings.Join(strings.Fields(s.Name), ""))
		if j, taken := first[bare]; taken {
			other := &r.plan.Stations[j]
			list = append(list, fmt.Sprintf("%sits name differs from that of feature %d (%s) by blanks or capitals alone",
				place(r.plan.Source, s.Feature, s.Name), other.Feature, quote(other.Name)))
		} else {
			first[bare] = i
		}
	}
	return list
}
