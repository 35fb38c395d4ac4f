package terrain

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Voids and the end of the terrain are never low ground.
func TestHorizonUnknown(t *testing.T) {
	g, at := roundGrid(t, 4000, func(east, north float64) float64 {
		switch {
		case math.Hypot(east-1500, north) < 200:
			return math.NaN() // a void to the east
		case math.Hypot(east, north+1000) < 120:
			return 400 // a tower to the south
		}
		return 0
	})
	s := mustHorizon(t, g, at, 10, HorizonOptions{})
	if s.HighestM != 400 {
		t.Errorf("highest %g m, want 400", s.HighestM)
	}
	east, north, south := s.Directions[90], s.Directions[0], s.Directions[180]
	if east.Flag != Void || north.Flag != Outside || south.Flag != Ground {
		t.Errorf("east %v, north %v, south %v", east.Flag, north.Flag, south.Flag)
	}
	// The void begins 1300 m off and could be 400 m high; the outside at 4000 m.
	within(t, "east, most", east.MostDeg, seen(390, 1300, 0.13), 0.5)
	within(t, "north, most", north.MostDeg, seen(390, 4000, 0.13), 0.1)
	if !(south.ElevDeg > 20) || south.MostDeg != south.ElevDeg {
		t.Errorf("south %+v", south)
	}
	if !(east.ElevDeg < 0) {
		t.Errorf("east %g°, as far as known it is below level", east.ElevDeg)
	}
	// Stated to be no higher than the eye, unknown ground hides nothing above it.
	low := mustHorizon(t, g, at, 500, HorizonOptions{HighestM: 400})
	if d := low.Directions[90]; !(d.MostDeg < 0) {
		t.Errorf("above everything: at most %g°", d.MostDeg)
	}

	if _, err := Horizon(context.Background(), g, orb.Point{8 + 1500/111320., 0}, 3, HorizonOptions{}); err == nil ||
		!strings.Contains(err.Error(), "void") {
		t.Errorf("eye in a void: %v", err)
	}
	if _, err := Horizon(context.Background(), g, orb.Point{20, 0}, 3, HorizonOptions{}); err == nil ||
		!strings.Contains(err.Error(), "outside") {
		t.Errorf("eye outside: %v", err)
	}
}

func TestHorizonRefusals(t *testing.T) {
	g, at := roundGrid(t, 500, func(_, _ float64) float64 { return 0 })
	_, err := Horizon(context.Background(), g, orb.Point{400, 99}, -1, HorizonOptions{StepDeg: 7, MaxM: -3, HighestM: 1e6,
		KLight: 2, Rough: 0.5, Obstacles: []Obstacle{{0, 1, 99}}})
	if err == nil {
		t.Fatal("no error")
	}
	for _, want := range []string{"longitude", "latitude", "height_m: found -1", "step_deg: found 7", "max_m: found -3",
		"highest_m: found 1000000", "k_light: found 2", "rough: found 0.5", "obstacle 0"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not in %v", want, err)
		}
	}
	if _, err := Horizon(context.Background(), nil, at, 1, HorizonOptions{}); err == nil {
		t.Error("no DEM: no error")
	}
	if _, err := Horizon(context.Background(), brokenDEM{g}, at, 1, HorizonOptions{}); !errors.Is(err, errBroken) {
		t.Errorf("broken DEM: %v", err)
	}
}

var errBroken = errors.New("disk on fire")

// brokenDEM answers the first question and no other.
type brokenDEM struct{ *Grid }

func (b brokenDEM) Heights(at []orb.Point, h []float64, f []Flag) error {
	if len(at) > 1 {
		return errBroken
	}
	return b.Grid.Heights(at, h, f)
}
