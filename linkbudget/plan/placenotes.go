package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Longitude and latitude exchanged often make a place that is allowed, in the sea or
// in Antarctica. What gives it away is that the exchange would land beside the other
// poles or inside the terrain.
const (
	apartM       = 300e3 // farther than poles of one plan stand
	mostCompared = 100   // poles that are compared to find where most stand
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
		if s := &p.Stations[i]; ExchangedInside(dem, s.At) {
			list = append(list, fmt.Sprintf("%slies outside the terrain; with longitude and latitude exchanged it would lie "+
				"inside: are they swapped?", place(p.Source, s.Feature, s.Name)))
		}
	}
	return shortened(list)
}

// ExchangedInside tells whether a place outside the terrain, longitude before latitude in
// degrees, lies inside when the two are exchanged; false where the terrain cannot be read.
func ExchangedInside(dem terrain.DEM, at orb.Point) bool {
	other, ok := exchange(at)
	if dem == nil {
		return false
	}
	if bound := dem.Extent().Bound; !ok || bound.Contains(at) || !bound.Contains(other) {
		return false
	}
	flag, err := flagAt(dem, other)
	return err == nil && flag.Known()
}

// flagAt tells whether the ground of a place is known.
func flagAt(dem terrain.DEM, at orb.Point) (terrain.Flag, error) {
	var heightM [1]float64
	var flag [1]terrain.Flag
	err := terrain.HeightsOf(dem, []orb.Point{at}, heightM[:], flag[:])
	return flag[0], err
}

// MissingGround says what is missing at a place whose ground is unknown, and what is
// there; "" where the ground is known. what stands or lies at the place, such as "the
// pole". The error is that of reading the terrain.
func MissingGround(dem terrain.DEM, what string, at orb.Point) (string, error) {
	flag, err := flagAt(dem, at)
	if err != nil || flag.Known() {
		return "", err
	}
	b := dem.Extent().Bound
	covers := fmt.Sprintf("what is loaded covers longitude %.6g to %.6g, latitude %.6g to %.6g",
		b.Min.Lon(), b.Max.Lon(), b.Min.Lat(), b.Max.Lat())
	switch {
	case flag == terrain.Void:
		return what + " lies on a void of the terrain, in the tile " + terrain.TileName(at), nil
	case ExchangedInside(dem, at):
		covers += "; with longitude and latitude exchanged it would lie inside: are they swapped?"
	}
	return fmt.Sprintf("%s lies outside the terrain: the tile %s is missing; %s", what, terrain.TileName(at), covers), nil
}
