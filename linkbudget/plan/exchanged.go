package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

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
	if !slices.ContainsFunc(s, func(st Station) bool { return apart(st.At, s[0].At) > apartM }) {
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
		list = append(list, fmt.Sprintf("%slies %.0f km from %s; with longitude and latitude exchanged it would lie %.0f km from it: are they swapped?",
			place(r.plan.Source, s[i].Feature, s[i].Name), apart(s[i].At, s[home].At)/1000, quote(s[home].Name), apart(other, s[home].At)/1000))
	}
	return shortened(list)
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
			list = append(list, fmt.Sprintf("%slies outside the terrain; with longitude and latitude exchanged it would lie inside: are they swapped?",
				place(p.Source, s.Feature, s.Name)))
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
	covers := fmt.Sprintf("what is loaded covers longitude %.6g to %.6g, latitude %.6g to %.6g", b.Min.Lon(), b.Max.Lon(), b.Min.Lat(), b.Max.Lat())
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
	order := make([]int, len(s))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := s[a].At.Lat() - s[b].At.Lat(); {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	const latDeg = nearTogetherM / 110e3 // a degree of latitude has 110.6 km and more
	like := make(map[int]int)            // station -> the first one near it
	for k, i := range order {
		for _, j := range order[k+1:] {
			if s[j].At.Lat()-s[i].At.Lat() > latDeg {
				break
			}
			first, later := min(i, j), max(i, j)
			lonDeg := math.Abs(math.Remainder(s[i].At.Lon()-s[j].At.Lon(), 360))
			if known, ok := like[later]; ok && known <= first || lonDeg*math.Cos(s[i].At.Lat()*math.Pi/180) > 2*latDeg {
				continue
			}
			if terrain.Inverse(s[i].At, s[j].At).DistM <= nearTogetherM {
				like[later] = first
			}
		}
	}
	var list []string
	names := make(map[string]int, len(s))
	for i := range s {
		at := place(r.plan.Source, s[i].Feature, s[i].Name)
		if j, ok := like[i]; ok {
			where := "at the same coordinates as"
			if m := terrain.Inverse(s[i].At, s[j].At).DistM; m > 0 {
				where = fmt.Sprintf("%.1f m from", m)
			}
			list = append(list, fmt.Sprintf("%s%s feature %d (%s)", at, where, s[j].Feature, quote(s[j].Name)))
		}
		plain := strings.Join(strings.Fields(s[i].Name), "")
		if j, ok := names[plain]; ok {
			list = append(list, fmt.Sprintf("%sa name that differs by blanks alone from that of feature %d (%s)", at, s[j].Feature, quote(s[j].Name)))
		} else {
			names[plain] = i
		}
	}
	return list
}
