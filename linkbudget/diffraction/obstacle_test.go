package diffraction

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestObstacles(t *testing.T) {
	s := Sightline{
		DistM:    []float64{0, 1000, 2000, 3000, 4000, 5000, 6000, 7000, 8000},
		GroundM:  []float64{0, 30, 40, 5, 2, 60, 5, 25, 0},
		AHeightM: 20, BHeightM: 20, EffectiveRadiusM: math.Inf(1), WavelengthM: 0.345,
	}
	// By eye over a flat earth: the line at 20 m is cut at 1-2, at 5 and at 7 km.
	type run struct {
		from, to float64
		worst    int
	}
	var got []run
	for _, o := range s.obstacles(50) {
		got = append(got, run{o.FromM, o.ToM, o.Worst.Index})
	}
	want := []run{{1000, 2000, 2}, {5000, 5000, 5}, {7000, 7000, 7}}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(run{})); diff != "" {
		t.Errorf("obstacles (-want +got):\n%s", diff)
	}
	// What lies within the skipped ends is not reported.
	if n := len(s.obstacles(1000)); n != 2 {
		t.Errorf("%d obstacles with 1000 m skipped, want 2", n)
	}
	// Relative clearance decides inside a run: 12 m near the end outweighs
	// 15 m in the middle, where the zone is wider.
	s.GroundM = []float64{0, 32, 30, 30, 35, 0, 0, 0, 0}
	o := s.obstacles(50)
	if len(o) != 1 || o[0].Worst.Index != 1 || o[0].FromM != 1000 || o[0].ToM != 4000 {
		t.Errorf("one run with its worst at 1 km expected, got %+v", o)
	}
}

// The runs must be exactly the cut points, and the worst of all runs the
// worst point of the path.
func TestObstaclesCoverTheCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSightline(t)
		skipM := rapid.Float64Range(0, 500).Draw(t, "skipM")
		runs := s.obstacles(skipM)
		lengthM := s.DistM[len(s.DistM)-1]
		for i := 1; i < len(s.DistM)-1; i++ {
			at := s.DistM[i]
			if !(at > skipM && lengthM-at > skipM) {
				continue
			}
			inside := 0
			for _, o := range runs {
				if o.FromM <= at && at <= o.ToM {
					inside++
				}
			}
			if cut := s.At(i).ClearanceM < 0; cut != (inside == 1) || inside > 1 {
				t.Fatalf("point at %g m: cut %v, in %d runs", at, cut, inside)
			}
		}
		worst, ok := s.Worst(skipM)
		if blocked := ok && worst.ClearanceM < 0; blocked != (len(runs) > 0) {
			t.Fatalf("worst %+v but %d runs", worst, len(runs))
		}
		least := math.Inf(1)
		for i, o := range runs {
			least = math.Min(least, o.Worst.Fraction)
			if o.Worst.AtM < o.FromM || o.Worst.AtM > o.ToM || (i > 0 && o.FromM <= runs[i-1].ToM) {
				t.Fatalf("runs out of order: %+v", runs)
			}
		}
		if len(runs) > 0 && least != worst.Fraction {
			t.Fatalf("least fraction of the runs %g, of the path %g", least, worst.Fraction)
		}
	})
}

func TestClassify(t *testing.T) {
	for _, row := range []struct {
		fraction float64
		want     PathClass
	}{
		{2, PathClear}, {0.6, PathClear}, {0.5999, PathGrazing}, {0, PathGrazing},
		{-1e-9, PathBlocked}, {-3, PathBlocked}, {math.NaN(), PathBlocked},
	} {
		if got := Classify(row.fraction); got != row.want {
			t.Errorf("Classify(%g) = %s, want %s", row.fraction, got, row.want)
		}
	}
}

func BenchmarkObstacles(b *testing.B) {
	s := longPath()
	for b.Loop() {
		s.obstacles(50)
	}
}

// obstacles returns each run of points that cut the line of sight, in path order, looking
// at the same points as Worst: by one plain walk, which the relief is held against.
func (s Sightline) obstacles(skipM float64) []Obstacle {
	ch := s.chord()
	lengthM, slope, curve, aM := ch.lengthM, ch.slope, ch.halfCurvature, s.AHeightM
	from, to := s.inner(skipM)
	dist, ground, clutter := s.DistM[:to], s.GroundM[:to], s.ClutterM
	var found []Obstacle
	worst, first := -1, 0
	var worstSquare, worstWidth float64
	for i := from; i < len(dist); i++ {
		d1, h := dist[i], ground[i]
		if i < len(clutter) {
			h += clutter[i]
		}
		width := d1 * (lengthM - d1)
		c := aM + slope*d1 - h - width*curve
		if !(c < 0) {
			if worst >= 0 {
				found = append(found, Obstacle{s.DistM[first], s.DistM[i-1], s.At(worst)})
				worst = -1
			}
			continue
		}
		// Every c of a run is negative: the larger square is the worse one,
		// compared crosswise as in Worst.
		square := c * c
		if worst < 0 {
			first = i
		}
		if worst < 0 || square*worstWidth > worstSquare*width {
			worst, worstSquare, worstWidth = i, square, width
		}
	}
	if worst >= 0 {
		found = append(found, Obstacle{s.DistM[first], s.DistM[to-1], s.At(worst)})
	}
	return found
}
