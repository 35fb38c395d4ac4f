package siting

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

func TestRoadDistance(t *testing.T) {
	at := orb.Point{-84.24, 36.55}
	north := terrain.Destination(at, 0, 250)
	for _, c := range []struct {
		name  string
		lines []orb.LineString
		want  float64
		tol   float64
	}{
		// A parallel is straight in longitude and latitude; 250 m north along the
		// meridian is the nearest place (computed: the parallel bends by d²/2R·tan φ,
		// under a millimetre here).
		{"a parallel", []orb.LineString{{{-84.3, north[1]}, {-84.2, north[1]}}}, 250, 0.01},
		{"an end", []orb.LineString{{terrain.Destination(at, 90, 1000), terrain.Destination(at, 90, 2000)}}, 1000, 0.01},
		{"through the place", []orb.LineString{{{-84.25, 36.54}, {-84.23, 36.56}}}, 0, 0.01},
		{"the nearer of two", []orb.LineString{{{-84.3, north[1]}, {-84.2, north[1]}}, {terrain.Destination(at, 180, 90), terrain.Destination(at, 180, 900)}}, 90, 0.01},
		{"a point twice", []orb.LineString{{north, north}}, 250, 0.01},
		{"none", nil, math.Inf(1), 0},
	} {
		got := roadM(at, c.lines)
		if !(got == c.want || math.Abs(got-c.want) <= c.tol) {
			t.Errorf("%s: %.3f m, want %.3f", c.name, got, c.want)
		}
	}
}

// Against a walk in small steps, over parts of some metres to 200 km, far away,
// near the poles and across the antimeridian.
func TestRoadDistanceAgainstAWalk(t *testing.T) {
	for _, at := range []orb.Point{{-84.24, 36.55}, {179.99, -40}, {10, 78}, {25, 0.01}} {
		for _, reach := range []float64{0.0002, 0.02, 1.5} {
			line := orb.LineString{{wrap(at[0] + 0.01), at[1] - reach}, {wrap(at[0] + 0.013 + reach), at[1] + reach/3},
				{wrap(at[0] + 0.02 - reach/2), at[1] + reach/2}}
			straight := orb.LineString{}
			for _, p := range line { // as denseRoadM knows no antimeridian
				straight = append(straight, orb.Point{at[0] + wrap(p[0]-at[0]), p[1]})
			}
			want := denseRoadM(at, straight)
			got := roadM(at, []orb.LineString{line})
			if !(math.Abs(got-want) <= 0.001+want*1e-6+want*0) && !(got < want && want-got < 0.5) {
				t.Errorf("from %v, reach %g: %.4f m, walked %.4f", at, reach, got, want)
			}
			if rough := roughRoadM(at, []orb.LineString{line}); want < 30e3 && !(rough*0.98-1 <= got) {
				t.Errorf("from %v: %.1f m on the plane is no lower bound of %.1f m", at, rough, got)
			}
		}
	}
}
