package coverage_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"testing"

	"golang.org/x/sync/errgroup"

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

// scene is a pole over a ground, with the area swept round it.
type scene struct {
	name string
	dem  func(testing.TB) terrain.DEM
	at   orb.Point
	// fineM is a tenth of the posts' spacing: no crest of the interpolated surface
	// stands between two samples of a single path.
	radiusM, fineM float64
	pole, receiver linkbudget.Station
}

var scenes = []scene{
	{
		name: "Cumberland 3\"", dem: cumberland, at: orb.Point{-84.2405, 36.5565}, radiusM: 22e3, fineM: 8,
		pole: linkbudget.DefaultStation("pole", 8), receiver: linkbudget.DefaultStation("receiver", 3),
	},
	{
		name: "made 1\"", dem: func(testing.TB) terrain.DEM { return mountains(1201) }, at: orb.Point{-84.8334, 36.8335},
		radiusM: 20e3, fineM: 3,
		pole: linkbudget.DefaultStation("pole", 10), receiver: linkbudget.DefaultStation("receiver", 2),
	},
}

// wholeTile takes the place of the second scene where the differences are drawn:
// half a minute or more.
var wholeTile = scene{
	name: "made 1\", a whole tile", dem: func(testing.TB) terrain.DEM { return mountains(3601) },
	at: orb.Point{-84.5234, 36.5335}, radiusM: 50e3, fineM: 3,
	pole: linkbudget.DefaultStation("pole", 10), receiver: linkbudget.DefaultStation("receiver", 2),
}

// compared is one cell against the evaluation of its own path.
type compared struct {
	place             orb.Point
	distM, azimuthDeg float64
	lossDB, exactDB   float64
	chance, marginDB  float64 // differences of the probabilities and of the margins
}

func (c compared) off() float64 { return c.lossDB - c.exactDB }

// single evaluates the path to a place, with the ground sampled every spacingM;
// 0 is the sampling of linkbudget's other users.
func (s *scene) single(dem terrain.DEM, to orb.Point, spacingM float64) (linkbudget.Result, error) {
	profile, err := terrain.NewProfile(dem, s.at, to, terrain.ProfileOptions{SpacingM: spacingM})
	if err != nil {
		return linkbudget.Result{}, err
	}
	return linkbudget.Evaluate(profile, s.pole, s.receiver, env)
}

// compare evaluates n cells, drawn with a fixed seed, along their true geodesics.
func (s *scene) compare(t *testing.T, dem terrain.DEM, r *coverage.Raster, n int, spacingM float64) []compared {
	t.Helper()
	var judged []int
	for i, c := range r.Cells {
		if c.State() == coverage.Judged {
			judged = append(judged, i)
		}
	}
	rng := rand.New(rand.NewPCG(7, 11))
	rng.Shuffle(len(judged), func(i, j int) { judged[i], judged[j] = judged[j], judged[i] })
	judged = judged[:min(n, len(judged))]
	all, known := make([]compared, len(judged)), make([]bool, len(judged))
	var group errgroup.Group
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		group.Go(func() error {
			for k := w; k < len(judged); k += workers {
				i := judged[k]
				p := r.Post(i%r.Cols, i/r.Cols)
				e, err := s.single(dem, p, spacingM)
				if err != nil {
					return err
				}
				// An unknown one: the way of the geodesic just touches an unknown post beside it.
				known[k] = e.Verdict != linkbudget.Unknown
				c := r.Cells[i]
				all[k] = compared{p, e.DistM, e.AzimuthDeg, float64(c.LossDB()), float64(e.LossDB), c.Probability() - e.Probability,
					float64(c.MarginDB() - e.MarginDB)}
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		t.Fatal(err)
	}
	kept := all[:0]
	for k, c := range all {
		if known[k] {
			kept = append(kept, c)
		}
	}
	if len(kept) < len(judged)*99/100 {
		t.Errorf("%d of %d judged cells have a single path that knows its ground", len(kept), len(judged))
	}
	return kept
}

// quantile of the values, 0 to 1.
func quantile(all []compared, q float64, of func(compared) float64) float64 {
	var v []float64
	for _, c := range all {
		v = append(v, of(c))
	}
	slices.Sort(v)
	return v[int(q*float64(len(v)-1))]
}

func absOff(c compared) float64    { return math.Abs(c.off()) }
func absChance(c compared) float64 { return math.Abs(c.chance) }

// The cells against single paths over the same ground, sampled at a tenth of the
// posts' spacing. Tolerances: the wanted exactness of the sweep, a median below
// 0.1 dB and 95 % below 1 dB; the same for every distance and direction, see
// bins.
func TestSweepAgreesWithSinglePaths(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	const n, directions = 20000, 36
	var pictures []figure
	scenes := slices.Clone(scenes)
	if *exactnessPlot != "" {
		scenes[1] = wholeTile
	}
	for _, s := range scenes {
		t.Run(s.name, func(t *testing.T) {
			dem := s.dem(t)
			r, err := coverage.Sweep(context.Background(), s.pole, s.at, dem,
				coverage.Options{RadiusM: s.radiusM, Receiver: s.receiver, Environment: env})
			if err != nil {
				t.Fatal(err)
			}
			all := s.compare(t, dem, r, n, s.fineM)
			median, most := quantile(all, 0.5, absOff), quantile(all, 0.95, absOff)
			t.Logf("%d cells against single paths sampled every %g m: median %.3f dB, 95 %% %.3f dB, 99 %% %.2f dB; "+
				"with its sign %+.3f dB; probability: median %.4f, 95 %% %.3f",
				len(all), s.fineM, median, most, quantile(all, 0.99, absOff), quantile(all, 0.5, compared.off),
				quantile(all, 0.5, absChance), quantile(all, 0.95, absChance))
			s.explainWorst(t, dem, r, all)
			if !(median < 0.1) {
				t.Errorf("median difference %.3f dB, want below 0.1", median)
			}
			if !(most < 1) {
				t.Errorf("95 %% of differences below %.3f dB, want below 1", most)
			}
			if chance := quantile(all, 0.95, absChance); !(chance <= 0.03) {
				t.Errorf("95 %% of chances within %.3f, want 0.03", chance)
			}
			byDistance, byDirection := bins(all, 10, func(c compared) float64 { return c.distM / s.radiusM }),
				bins(all, directions, func(c compared) float64 { return c.azimuthDeg / 360 })
			checkBins(t, byDistance, "distance, parts of the radius")
			checkBins(t, byDirection, "direction, parts of a turn")
			pictures = append(pictures, figure{s, len(all), byDistance, byDirection})
			// The usual sampling of single paths, for comparison: it steps over the
			// crests between two posts.
			plain := s.compare(t, dem, r, n, 0)
			t.Logf("%d cells against single paths at their default sampling: median %.3f dB, 95 %% %.3f dB; "+
				"with its sign %+.3f dB; probability: median %.4f, 95 %% %.3f",
				len(plain), quantile(plain, 0.5, absOff), quantile(plain, 0.95, absOff), quantile(plain, 0.5, compared.off),
				quantile(plain, 0.5, absChance), quantile(plain, 0.95, absChance))
		})
	}
	if *exactnessPlot != "" && !t.Failed() {
		if err := drawExactness(*exactnessPlot, pictures); err != nil {
			t.Fatal(err)
		}
	}
}

// explainWorst names the cell that is farthest off, and shows how steep the loss
// is there: single paths to places up to a post to either side.
func (s *scene) explainWorst(t *testing.T, dem terrain.DEM, r *coverage.Raster, all []compared) {
	t.Helper()
	w := slices.MaxFunc(all, func(a, b compared) int { return cmp.Compare(absOff(a), absOff(b)) })
	t.Logf("worst: %.5f,%.5f at %.0f m, %.0f degrees: %.1f dB, single path %.1f dB", w.place[0], w.place[1], w.distM,
		w.azimuthDeg, w.lossDB, w.exactDB)
	sin, cos := math.Sincos((w.azimuthDeg + 90) * math.Pi / 180)
	for _, side := range []float64{-1, -0.5, 0, 0.5, 1} {
		e, err := s.single(dem, orb.Point{w.place[0] + side*r.StepLonDeg*sin, w.place[1] + side*r.StepLatDeg*cos}, s.fineM)
		if err != nil {
			t.Fatal(err)
		}
		d := e.Diffraction
		t.Logf("  %+.1f posts to the right: %.1f dB, %s; edge %.0f m before the receiver, nu %.2f, %.1f dB; "+
			"smooth earth %.1f dB more, antennas %.1f and %.1f m above it",
			side, e.LossDB, e.Path, e.DistM-d.EdgeAtM, d.Nu, d.BullingtonDB, d.LossDB-d.BullingtonDB, d.EffectiveAM,
			d.EffectiveBM)
	}
}
