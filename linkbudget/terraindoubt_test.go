package linkbudget_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// mountains is the Cumberland tile.
func mountains(t *testing.T) terrain.DEM {
	t.Helper()
	tile, err := terrain.OpenSources(os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := tile[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	return dem
}

// doubtCase is a path with two antennas.
type doubtCase struct {
	profile            terrain.Profile
	aHeightM, bHeightM float64
}

func (c doubtCase) evaluate(t *testing.T) linkbudget.Result {
	t.Helper()
	r, err := linkbudget.Evaluate(c.profile, linkbudget.DefaultStation("a", c.aHeightM), linkbudget.DefaultStation("b",
		c.bHeightM), environment())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func (c doubtCase) doubt(t *testing.T) float64 { return sigmaOf(c.evaluate(t), "terrain") }

func (c doubtCase) reversed() doubtCase {
	p := terrain.Profile{}
	n := len(c.profile.DistM)
	for i := range n {
		p.DistM = append(p.DistM, c.profile.LengthM()-c.profile.DistM[n-1-i])
		p.HeightM = append(p.HeightM, c.profile.HeightM[n-1-i])
	}
	return doubtCase{p, c.bHeightM, c.aHeightM}
}

// longer has the last end some metres further out, on the ground that goes on as it came.
func (c doubtCase) longer(byM float64) doubtCase {
	p := terrain.Profile{DistM: slices.Clone(c.profile.DistM), HeightM: slices.Clone(c.profile.HeightM)}
	last := len(p.DistM) - 1
	slope := (p.HeightM[last] - p.HeightM[last-1]) / (p.DistM[last] - p.DistM[last-1])
	p.DistM[last] += byM
	p.HeightM[last] += slope * byM
	return doubtCase{p, c.aHeightM, c.bHeightM}
}

// What the doubt of the terrain may and may not do, over 20,000 random paths of the
// Cumberland mountains with antennas of 2 to 30 m.
func TestTerrainDoubtIsContinuous(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	dem := mountains(t)
	rng := rand.New(rand.NewPCG(14, 1))
	var mast, distance, millimetre, ways, raised float64
	var clear int
	for range 20000 {
		p, err := terrain.NewProfile(dem, somewhere(rng, dem), somewhere(rng, dem), terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Unknown()) > 0 || len(p.DistM) < 3 {
			continue
		}
		c := doubtCase{p, 2 + 28*rng.Float64(), 2 + 28*rng.Float64()}
		r := c.evaluate(t)
		doubt := sigmaOf(r, "terrain")
		higher := c
		higher.aHeightM += 0.1
		mast = max(mast, math.Abs(higher.doubt(t)-doubt))
		distance = max(distance, math.Abs(c.longer(1).doubt(t)-doubt))
		ways = max(ways, math.Abs(c.reversed().doubt(t)-doubt))
		shaken := c
		shaken.profile.HeightM = slices.Clone(p.HeightM)
		for i := range shaken.profile.HeightM {
			shaken.profile.HeightM[i] += 1e-3 * (2*rng.Float64() - 1)
		}
		millimetre = max(millimetre, math.Abs(shaken.doubt(t)-doubt))
		if r.Diffraction.Nu < -0.6*math.Sqrt2 { // 0.6 of the first zone free at every point
			clear++
			higher.aHeightM = c.aHeightM + 10*rng.Float64()
			raised = max(raised, higher.doubt(t)-doubt)
		}
	}
	t.Logf("moved most by: a decimetre of mast %.3f dB, a metre of distance %.3f, a millimetre of ground %.4f, the "+
		"other way %.2g; a higher antenna raises it by %.3f on %d clear paths",
		mast, distance, millimetre, ways, raised, clear)
	for _, v := range []struct {
		what       string
		got, bound float64
	}{
		{"a decimetre of mast", mast, 0.3}, {"a metre of distance", distance, 0.3}, {"a millimetre of ground", millimetre, 0.05},
		{"the other way", ways, 1e-6}, {"a higher antenna on a clear path", raised, 1e-6},
	} {
		if !(v.got <= v.bound) {
			t.Errorf("%s: %.4g dB, allowed %g", v.what, v.got, v.bound)
		}
	}
	if clear < 500 {
		t.Errorf("only %d clear paths", clear)
	}
}

// The doubt is that of the ground, however closely it was surveyed: undulations with slopes
// up to 3 %, of which a metre is nearly level. A survey every 5 m sees 10 m by two points.
func TestTerrainDoubtOfCloseSurveys(t *testing.T) {
	ground := func(x float64) float64 { return 100 + 8*math.Sin(x*3000/250) }
	want := doubtCase{profile(3e3, 601, ground), 10, 10}.doubt(t)
	for _, points := range []int{1501, 3001, 30001} {
		if got := (doubtCase{profile(3e3, points, ground), 10, 10}).doubt(t); !(math.Abs(got-want) <= 0.1) {
			t.Errorf("%d points: %.2f dB, 601 points %.2f", points, got, want)
		}
	}
}

// Over the sea a terrain model has nothing wrong, whatever the shores do.
func TestTerrainDoubtOverSea(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 2))
	for range 2000 {
		lengthM := 2000 + 30e3*rng.Float64()
		shoreM, rise := 40*rng.Float64(), 0.3*rng.Float64()
		p := profile(lengthM, 30+int(lengthM/60), func(x float64) float64 {
			return rise * max(shoreM-x*lengthM, shoreM-(1-x)*lengthM, 0)
		})
		c := doubtCase{p, 2 + 28*rng.Float64(), 2 + 28*rng.Float64()}
		if doubt := c.doubt(t); !(doubt < 0.5) {
			t.Fatalf("%.1f km of sea, shores of %.0f m rising by %.2f, antennas %.1f and %.1f m: %.2f dB", lengthM/1e3, shoreM,
				rise, c.aHeightM, c.bHeightM, doubt)
		}
	}
}

// The same over tiles as delivered: the sea around the Azores.
func TestTerrainDoubtOverTheAtlantic(t *testing.T) {
	dir := os.Getenv("POLEREACH_DEM_DIR")
	if dir == "" {
		t.Skip("POLEREACH_DEM_DIR is not set: it names the folder with srtm3/N39W028.SRTMGL3.hgt.zip")
	}
	tile, err := terrain.OpenSources(os.DirFS(dir), "srtm3/N39W028.SRTMGL3.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := tile[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(14, 3))
	n := 0
	for range 2000 {
		at := func() orb.Point { return orb.Point{-28 + rng.Float64(), 39 + rng.Float64()} }
		p, err := terrain.NewProfile(dem, at(), at(), terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if slices.Max(p.HeightM) > 0 || p.LengthM() < 300 {
			continue // an island on the way
		}
		n++
		if doubt := (doubtCase{p, 2 + 28*rng.Float64(), 2 + 28*rng.Float64()}).doubt(t); !(doubt < 0.5) {
			t.Fatalf("%.1f km of sea: %.2f dB", p.LengthM()/1e3, doubt)
		}
	}
	if n < 500 {
		t.Errorf("only %d paths over sea alone", n)
	}
}
