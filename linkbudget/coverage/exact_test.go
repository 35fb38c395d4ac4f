package coverage_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/coverage"
	"github.com/polereach/polereach/terrain"
)

func cumberland(t testing.TB) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS("../../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

var env = linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}

// compared is one cell against the evaluation of its own path.
type compared struct {
	place             orb.Point
	distM, azimuthDeg float64
	lossDB, exactDB   float64
	chance            float64 // difference of the probabilities
}

func (c compared) off() float64 { return c.lossDB - c.exactDB }

// compare evaluates n cells drawn with a fixed seed along their true geodesics,
// with the ground sampled every spacingM.
func compare(t *testing.T, dem terrain.DEM, r *coverage.Raster, pole, rx linkbudget.Station, n int, spacingM float64) []compared {
	t.Helper()
	var judged []int
	for i, c := range r.Cells {
		if c.State == coverage.Judged {
			judged = append(judged, i)
		}
	}
	rng := rand.New(rand.NewPCG(7, 11))
	rng.Shuffle(len(judged), func(i, j int) { judged[i], judged[j] = judged[j], judged[i] })
	var all []compared
	for _, i := range judged[:min(n, len(judged))] {
		p := r.Post(i%r.Cols, i/r.Cols)
		profile, err := terrain.NewProfile(dem, r.At, p, terrain.ProfileOptions{SpacingM: spacingM})
		if err != nil {
			t.Fatal(err)
		}
		e, err := linkbudget.Evaluate(profile, pole, rx, env)
		if err != nil {
			t.Fatal(err)
		}
		if e.Verdict == linkbudget.Unknown {
			continue // the way of the geodesic just touches an unknown post beside it
		}
		c := r.Cells[i]
		all = append(all, compared{p, e.DistM, e.AzimuthDeg, float64(c.LossDB), float64(e.LossDB), float64(c.Probability) - e.Probability})
	}
	return all
}

// spread of absolute differences.
func quantile(all []compared, q float64, of func(compared) float64) float64 {
	var v []float64
	for _, c := range all {
		v = append(v, math.Abs(of(c)))
	}
	slices.Sort(v)
	return v[int(q*float64(len(v)-1))]
}

func mean(all []compared) float64 {
	var sum float64
	for _, c := range all {
		sum += c.off()
	}
	return sum / float64(len(all))
}

// The cells against single paths over the same ground, sampled at a tenth of the
// posts' spacing so that no ridge between two samples is missed. Tolerances: the
// wanted exactness of the sweep, a median below 0.1 dB and 95 % below 1 dB.
// 2 × 20,000 cells take minutes; the plain test draws 4,000.
func TestSweepAgreesWithSinglePaths(t *testing.T) {
	n := 2000
	if os.Getenv("POLEREACH_ALL_CELLS") != "" {
		n = 20000
	}
	for _, c := range []struct {
		name     string
		dem      func() terrain.DEM
		at       orb.Point
		radiusM  float64
		spacingM float64
		heights  [2]float64
	}{
		{"Cumberland 3\"", func() terrain.DEM { return cumberland(t) }, orb.Point{-84.2405, 36.5565}, 22e3, 8, [2]float64{8, 3}},
		{"mountains 1\"", func() terrain.DEM { return mountains(1201) }, orb.Point{-84.8334, 36.8335}, 20e3, 3, [2]float64{10, 2}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dem := c.dem()
			pole, rx := linkbudget.DefaultStation("pole", c.heights[0]), linkbudget.DefaultStation("receiver", c.heights[1])
			r, err := coverage.Sweep(context.Background(), pole, c.at, dem, coverage.Options{RadiusM: c.radiusM, Receiver: rx, Environment: env})
			if err != nil {
				t.Fatal(err)
			}
			all := compare(t, dem, r, pole, rx, n, c.spacingM)
			off := compared.off
			median, most := quantile(all, 0.5, off), quantile(all, 0.95, off)
			worst := slices.MaxFunc(all, func(a, b compared) int {
				if math.Abs(a.off()) < math.Abs(b.off()) {
					return -1
				}
				return 1
			})
			chance := quantile(all, 0.95, func(c compared) float64 { return c.chance })
			t.Logf("%d cells: median %.3f dB, 95 %% %.3f dB, 99 %% %.2f dB, mean %+.3f dB; probability 95 %% within %.3f", len(all), median, most, quantile(all, 0.99, off), mean(all), chance)
			t.Logf("worst: %v at %.0f m: %.1f dB, single path %.1f dB", worst.place, worst.distM, worst.lossDB, worst.exactDB)
			if !(median < 0.1) {
				t.Errorf("median difference %.3f dB, want below 0.1", median)
			}
			if !(most < 1) {
				t.Errorf("95 %% of differences below %.3f dB, want below 1", most)
			}
			// No direction and no distance is favoured.
			for octant := range 8 {
				var part []compared
				for _, v := range all {
					if int(v.azimuthDeg/45)%8 == octant {
						part = append(part, v)
					}
				}
				if m := mean(part); len(part) > 100 && !(math.Abs(m) < 0.4) {
					t.Errorf("azimuth %d to %d: mean %+.3f dB over %d cells", octant*45, octant*45+45, m, len(part))
				}
			}
			for k := range 5 {
				var part []compared
				for _, v := range all {
					if int(v.distM/c.radiusM*5) == k {
						part = append(part, v)
					}
				}
				if m := mean(part); len(part) > 100 && !(math.Abs(m) < 0.4) {
					t.Errorf("distance fifth %d: mean %+.3f dB over %d cells", k, m, len(part))
				}
			}
			// The usual sampling of single paths, for comparison.
			plain := compare(t, dem, r, pole, rx, min(n, 2000), 0)
			t.Log(fmt.Sprintf("single paths at the posts' own spacing: median %.3f dB, 95 %% %.3f dB, mean %+.3f dB; probability 95 %% within %.3f",
				quantile(plain, 0.5, off), quantile(plain, 0.95, off), mean(plain), quantile(plain, 0.95, func(c compared) float64 { return c.chance })))
		})
	}
}
