package linkbudget_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/terrain"
)

// The doubt is put to the test by simulation. For each of 20,000 random links
// the causes are drawn: the error of the terrain model along the path (normal, with
// the correlation that TerrainError states), the tolerance of the hardware, what
// stands around the ends, and the phase of the reflected ray. The loss is then
// computed again over the drawn terrain, and must fall into the stated 50, 80 and
// 95 % intervals about the predicted median as often as stated, within 4 points, in
// sight and behind obstacles alike. The doubt of the model itself is left out on both
// sides: nothing here could draw it.
func TestStatedIntervalsHoldDrawnLosses(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of drawn losses")
	}
	rng := rand.New(rand.NewPCG(2026, 4))
	tile, err := terrain.OpenSources(os.DirFS("../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	mountains, err := tile[0].Load()
	if err != nil {
		t.Fatal(err)
	}
	levels := [3]struct{ z, share float64 }{{0.6745, 0.50}, {1.2816, 0.80}, {1.9600, 0.95}} // normal tables
	kinds := map[string]*[4]int{"all": {}, "sight": {}, "blocked": {}, "ripple": {}, terrainInSight: {},
		terrainBlocked: {}}
	for n := 0; n < 20000; {
		var p terrain.Profile
		if n%4 == 3 {
			p = plain(rng)
		} else if p, err = terrain.NewProfile(mountains, somewhere(rng, mountains), somewhere(rng, mountains),
			terrain.ProfileOptions{}); err != nil {
			t.Fatal(err)
		}
		if len(p.Unknown()) > 0 || p.LengthM() < 300 {
			continue
		}
		n++
		a, b := linkbudget.DefaultStation("a", 3+25*rng.Float64()), linkbudget.DefaultStation("b", 3+25*rng.Float64())
		if n%2 == 0 { // somebody looked: less doubt of the ends, and the terrain's shows
			a.Surroundings.Inside, b.Surroundings.Inside = clutter.Free, clutter.Free
		}
		env := environment()
		env.Terrain = diffraction.TerrainError{SigmaM: linkbudget.UnknownTerrainErrorM,
			CorrelationM: linkbudget.DefaultTerrainCorrelationM}
		said, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		off := math.Abs(drawnLoss(t, rng, p, a, b, env, said) - float64(said.LossDB))
		names := []string{"all", map[bool]string{true: "sight", false: "blocked"}[said.Diffraction.LineOfSight]}
		if sigmaOf(said, "ripple") > 0 {
			names = append(names, "ripple")
		}
		sigma := math.Sqrt(math.Pow(float64(said.Doubt.SigmaDB), 2) - math.Pow(sigmaOf(said, "model"), 2))
		if terrain := sigmaOf(said, "terrain"); terrain > math.Sqrt2/2*sigma {
			names = append(names, map[bool]string{true: terrainInSight, false: terrainBlocked}[said.Diffraction.LineOfSight])
		}
		for _, name := range names {
			kinds[name][3]++
			for i, l := range levels {
				if off <= l.z*sigma {
					kinds[name][i]++
				}
			}
		}
	}
	for _, name := range []string{"all", "sight", "blocked", "ripple", terrainInSight, terrainBlocked} {
		k := kinds[name]
		share := func(i int) float64 { return float64(k[i]) / float64(k[3]) }
		t.Logf("%-25s %5d links: 50 %% interval holds %.1f %%, 80 %% %.1f %%, 95 %% %.1f %%", name, k[3], 100*share(0),
			100*share(1), 100*share(2))
		if k[3] < 100 {
			t.Errorf("only %d links of kind %s", k[3], name)
		}
		if name == terrainInSight || name == terrainBlocked {
			continue // told for the reader: where the loss bends the inner interval is wide
		}
		for i, l := range levels {
			if !(math.Abs(share(i)-l.share) <= 0.04) {
				t.Errorf("%s: the %g %% interval holds %.1f %%", name, 100*l.share, 100*share(i))
			}
		}
	}
}

// Links of whose doubt, the model's apart, more than half is the terrain's.
const (
	terrainInSight = "mostly terrain, in sight"
	terrainBlocked = "mostly terrain, blocked"
)

// somewhere is a random place of the window with heights; every other one is
// the highest of twelve, since people put poles on high ground.
func somewhere(rng *rand.Rand, dem terrain.DEM) orb.Point {
	var best orb.Point
	top := math.Inf(-1)
	tries := 1 + 11*rng.IntN(2)
	for range tries {
		at := []orb.Point{{-84.41 + 0.325*rng.Float64(), 36.45 + 0.28*rng.Float64()}}
		height, flag := []float64{0}, []terrain.Flag{0}
		if err := dem.Heights(at, height, flag); err == nil && height[0] > top {
			best, top = at[0], height[0]
		}
	}
	return best
}

// plain is level ground of one height, as a lake or a polder, 0.3 to 12 km.
func plain(rng *rand.Rand) terrain.Profile {
	lengthM := 300 * math.Pow(40, rng.Float64())
	return profile(lengthM, 2+int(lengthM/90), func(float64) float64 { return 80 })
}

func sigmaOf(r linkbudget.Result, name string) float64 {
	for _, item := range r.Doubt.Items {
		if item.Name == name {
			return float64(item.DB)
		}
	}
	return 0
}

// drawnLoss is the loss of one possible world.
func drawnLoss(t *testing.T, rng *rand.Rand, p terrain.Profile, a, b linkbudget.Station, env linkbudget.Environment,
	said linkbudget.Result) float64 {
	t.Helper()
	world := p
	if slices.Max(p.HeightM) > slices.Min(p.HeightM) { // level ground is water
		world.HeightM = drawnGround(rng, p, env.Terrain)
	}
	got, err := linkbudget.Evaluate(world, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	loss := float64(got.LossDB)
	for _, item := range said.Doubt.Items {
		switch item.Name {
		case "hardware", "surroundings of a", "surroundings of b":
			loss += float64(item.DB) * rng.NormFloat64()
		case "ripple":
			sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
			loss -= 20 * math.Log10(math.Hypot(1+said.Reflection.Rho*cos, said.Reflection.Rho*sin))
		}
	}
	return loss
}

// drawnGround adds an error to the ground: Matern's process of order 3/2, exactly, as
// height and slope that go on from point to point. With l = √3/L and the standard
// deviations σ and l σ of both, a way s takes (h, h') to
// exp(-l s) ((1 + l s) h + s h', -l² s h + (1 - l s) h'), plus what keeps both variances.
func drawnGround(rng *rand.Rand, p terrain.Profile, e diffraction.TerrainError) []float64 {
	l := math.Sqrt(3) / e.CorrelationM
	ground := slices.Clone(p.HeightM)
	h, slope := e.SigmaM*rng.NormFloat64(), l*e.SigmaM*rng.NormFloat64()
	for i := range ground {
		if i > 0 {
			s := p.DistM[i] - p.DistM[i-1]
			fade := math.Exp(-l * s)
			hh, hv, vh, vv := fade*(1+l*s), fade*s, -fade*l*l*s, fade*(1-l*s)
			v2 := l * l * e.SigmaM * e.SigmaM
			left := e.SigmaM*e.SigmaM*(1-hh*hh) - hv*hv*v2
			cross := -(e.SigmaM*e.SigmaM*hh*vh + v2*hv*vv)
			leftV := v2*(1-vv*vv) - e.SigmaM*e.SigmaM*vh*vh
			x, y := rng.NormFloat64(), rng.NormFloat64()
			root := math.Sqrt(max(left, 1e-300))
			h, slope = hh*h+hv*slope+root*x, vh*h+vv*slope+cross/root*x+math.Sqrt(max(leftV-cross*cross/root/root, 0))*y
		}
		ground[i] += h
	}
	return ground
}
