package mesh

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// Where advice looks for a better place for a pole: rings that are walked in minutes,
// every 22.5 degrees; ground that stands higher by more than the doubt of two posts
// against each other is worth the walk (engineering judgement).
const (
	nearbyStepM      = 100
	nearbyRings      = 3
	nearbyDirections = 16
	nearbyRiseM      = 2
	nearbyTried      = 12 // of each end
)

// tryMove evaluates a path with one end elsewhere; done ends the search.
type tryMove = func(terrain.Profile, linkbudget.Move) (done bool, err error)

// nearby offers the higher places around an end of a path, the nearest ring first, in
// it the highest. Places are rounded as they are told.
func nearby(ctx context.Context, dem terrain.DEM, a, b linkbudget.Station, atA, atB orb.Point,
	opt terrain.ProfileOptions) func(bool, tryMove) error {
	return func(ofB bool, try tryMove) error {
		name, at, other := a.Name, atA, atB
		if ofB {
			name, at, other = b.Name, atB, atA
		}
		moves, err := higherPlaces(dem, at, other)
		if err != nil {
			return err
		}
		for _, m := range moves {
			if err := ctx.Err(); err != nil {
				return err
			}
			m.Station = name
			from, to := m.At, other
			if ofB {
				from, to = other, m.At
			}
			p, err := terrain.NewProfile(dem, from, to, opt)
			if err != nil {
				return err
			}
			if done, err := try(p, m); done || err != nil {
				return err
			}
		}
		return nil
	}
}

// higherPlaces lists them; none where the ground at the pole is unknown, or beside the
// other end.
func higherPlaces(dem terrain.DEM, at, other orb.Point) ([]linkbudget.Move, error) {
	places := []orb.Point{at}
	for ring := 1; ring <= nearbyRings; ring++ {
		for k := range nearbyDirections {
			p := terrain.Destination(at, float64(k)*360/nearbyDirections, float64(ring)*nearbyStepM)
			places = append(places, orb.Point{math.Round(p[0]*1e5) / 1e5, math.Round(p[1]*1e5) / 1e5})
		}
	}
	heightsM, flags := make([]float64, len(places)), make([]terrain.Flag, len(places))
	if err := terrain.HeightsOf(dem, places, heightsM, flags); err != nil || !flags[0].Known() {
		return nil, err
	}
	type place struct {
		ring int
		linkbudget.Move
	}
	var list []place
	for i := 1; i < len(places); i++ {
		riseM := heightsM[i] - heightsM[0]
		if !flags[i].Known() || riseM < nearbyRiseM || terrain.Inverse(places[i], other).DistM < nearbyStepM {
			continue
		}
		way := terrain.Inverse(at, places[i])
		list = append(list, place{(i - 1) / nearbyDirections,
			linkbudget.Move{At: places[i], DistM: way.DistM, AzimuthDeg: way.AzimuthDeg, RiseM: riseM}})
	}
	slices.SortStableFunc(list, func(x, y place) int { return cmp.Or(x.ring-y.ring, cmp.Compare(y.RiseM, x.RiseM)) })
	var moves []linkbudget.Move
	for _, p := range list[:min(len(list), nearbyTried)] {
		moves = append(moves, p.Move)
	}
	return moves, nil
}
