package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Longitude and latitude exchanged often make a place that is allowed, in the sea or
// in Antarctica. What gives it away is that the exchange would land beside the other
// poles or inside the terrain.
const (
	apartM        = 300e3 // farther than poles of one plan stand
	mostCompared  = 100   // poles that are compared to find where most stand
	nearTogetherM = 5     // "a few metres"
)

// exchange returns the place with longitude and latitude exchanged, if there is one.
func exchange(at orb.Point) (orb.Point, bool) {
	return orb.Point{at[1], at[0]}, math.Abs(at[0]) <= 90 && at[0] != at[1]
}

// exchanged notes stations far from where most stand that would stand there.
func (r *reader) exchanged() []string {
	s := r.plan.Stations
	apart := func(a, b orb.Point) float64 { return terrain.Inverse(a, b).DistM }
	if !scattered(s) {
		return nil
	}
	step := max(1, len(s)/mostCompared)
	most, home := 0, 0
	for i := 0; i < len(s); i += step {
		near := 0
		for j := 0; j < len(s); j += step {
			if apart(s[i].At, s[j].At) <= apartM {
				near++
			}
		}
		if near > most {
			most, home = near, i
		}
	}
	var list []string
	for i := range s {
		other, ok := exchange(s[i].At)
		if !ok || apart(s[i].At, s[home].At) <= apartM || apart(other, s[home].At) > apartM {
			continue
		}
		list = append(list, fmt.Sprintf("%slies %.0f km from %s; with longitude and latitude exchanged it would lie "+
			"%.0f km from it: are they swapped?", place(r.plan.Source, s[i].Feature, s[i].Name),
			apart(s[i].At, s[home].At)/1000, quote(s[home].Name), apart(other, s[home].At)/1000))
	}
	return shortened(list)
}

// scattered tells whether any station may be far from the first; chords are shorter
// than the way over ground, by less than a thousandth here.
func scattered(s []Station) bool {
	for i := range s {
		a, b := terrain.Cartesian(s[0].At), terrain.Cartesian(s[i].At)
		if x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]; x*x+y*y+z*z > 0.99*apartM*apartM {
			return true
		}
	}
	return false
}

// shortened keeps the first few of many notes of one kind.
func shortened(list []string) []string {
	const most = 5
	if len(list) > most {
		list = append(slices.Clip(list[:most]), fmt.Sprintf("and %d more poles like these", len(list)-most))
	}
	return list
}

// OutsideTerrain notes the stations that lie outside the terrain and would lie inside
// with longitude and latitude exchanged. Faults of reading are left to whoever needs
// the heights.
func (p *Plan) OutsideTerrain(dem terrain.DEM) []string {
	var list []string
	for i := range p.Stations {
		if s := &p.Stations[i]; exchangedInside(dem, s.At) {
			list = append(list, fmt.Sprintf("%slies outside the terrain; with longitude and latitude exchanged it would lie "+
				"inside: are they swapped?", place(p.Source, s.Feature, s.Name)))
		}
	}
	return shortened(list)
}

// exchangedInside tells whether a place outside the terrain lies inside when exchanged.
func exchangedInside(dem terrain.DEM, at orb.Point) bool {
	other, ok := exchange(at)
	if bound := dem.Extent().Bound; !ok || bound.Contains(at) || !bound.Contains(other) {
		return false
	}
	var heightM [1]float64
	var flag [1]terrain.Flag
	return dem.Heights([]orb.Point{other}, heightM[:], flag[:]) == nil && flag[0].Known()
}

// MissingGround says what is missing at a place whose ground is unknown, and what is
// there; "" where the ground is known. The error is that of reading the terrain.
func MissingGround(dem terrain.DEM, at orb.Point) (string, error) {
	var heightM [1]float64
	var flag [1]terrain.Flag
	if err := dem.Heights([]orb.Point{at}, heightM[:], flag[:]); err != nil || flag[0].Known() {
		return "", err
	}
	b := dem.Extent().Bound
	covers := fmt.Sprintf("what is loaded covers longitude %.6g to %.6g, latitude %.6g to %.6g",
		b.Min.Lon(), b.Max.Lon(), b.Min.Lat(), b.Max.Lat())
	switch {
	case flag[0] == terrain.Void:
		return "the pole stands on a void of the terrain, in the tile " + terrain.TileName(at), nil
	case exchangedInside(dem, at):
		covers += "; with longitude and latitude exchanged the pole would lie inside: are they swapped?"
	}
	return fmt.Sprintf("the pole lies outside the terrain: the tile %s is missing; %s", terrain.TileName(at), covers), nil
}

// alike notes stations within a few metres of each other, since two radios may share
// a pole but it is often a copy that was never moved, and names that differ by blanks.
func (r *reader) alike() []string {
	s := r.plan.Stations
	like := nearTogether(s)
	var list []string
	names := make(map[string]int, len(s))
	for i := range s {
		note := func(format string, args ...any) {
			list = append(list, place(r.plan.Source, s[i].Feature, s[i].Name)+fmt.Sprintf(format, args...))
		}
		if j, ok := like[i]; ok {
			where := "at the same coordinates as"
			if m := terrain.Inverse(s[i].At, s[j].At).DistM; m > 0 {
				where = fmt.Sprintf("%.1f m from", m)
			}
			note("%s feature %d (%s)", where, s[j].Feature, quote(s[j].Name))
		}
		plain := strings.Map(func(c rune) rune {
			if unicode.IsSpace(c) {
				return -1
			}
			return c
		}, s[i].Name)
		if j, ok := names[plain]; ok {
			note("a name that differs by blanks alone from that of feature %d (%s)", s[j].Feature, quote(s[j].Name))
		} else {
			names[plain] = i
		}
	}
	return list
}

// nearTogether gives each station that stands within a few metres of an earlier one
// the first such. Stations are sorted into cubes twice as wide, so that what is near
// lies in the cube or in those its half of it touches.
func nearTogether(s []Station) map[int]int {
	like := map[int]int{}
	cubes := make(map[[3]int32]int32, len(s)) // -> the last station in it, plus 1
	before := make([]int32, len(s))           // -> the one before it in its cube, plus 1
	for i := range s {
		at := terrain.Cartesian(s[i].At)
		var home, step [3]int32
		for k, m := range at {
			halves := int32(math.Floor(m / nearTogetherM))
			home[k], step[k] = halves>>1, halves&1*2-1
		}
		for corner := range int32(8) {
			cube := home
			for k := range cube {
				cube[k] += step[k] * (corner >> k & 1)
			}
			for j := cubes[cube]; j > 0; j = before[j-1] {
				first, known := like[i]
				if (!known || int(j-1) < first) && terrain.Inverse(s[i].At, s[j-1].At).DistM <= nearTogetherM {
					like[i] = int(j - 1)
				}
			}
		}
		before[i] = cubes[home]
		cubes[home] = int32(i + 1)
	}
	return like
}
