package linkbudget_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/fading"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// briefOf takes the figures of a Brief out of the lists of a Result.
func briefOf(t *testing.T, r *linkbudget.Result, env linkbudget.Environment) linkbudget.Brief {
	f := linkbudget.Brief{Worst: r.Worst, HasWorst: r.HasWorst, WorstAt: r.WorstAt, Gaps: r.Gaps}
	f.Summary = r.Summary
	f.SigmaDB, f.FreeSpaceDB, f.DiffractionDB, f.TroposcatterDB, f.ClutterDB = r.Doubt.SigmaDB, 0, 0, 0, 0
	for _, term := range r.Terms {
		switch term.Name {
		case "free space":
			f.FreeSpaceDB += term.DB
		case "diffraction":
			f.DiffractionDB += term.DB
		case "troposcatter":
			f.TroposcatterDB += term.DB
		default:
			if !strings.HasPrefix(term.Name, "time,") {
				f.ClutterDB += term.DB
			}
		}
	}
	var others linkbudget.DB // squares
	for _, item := range r.Doubt.Items {
		switch d := &f.Doubt; item.Name {
		case "model":
			d.ModelDB = item.DB
		case "ripple":
			d.RippleDB = item.DB
		case "terrain":
			d.TerrainDB = item.DB
		case "hardware":
			d.HardwareDB = item.DB
		default:
			others += item.DB * item.DB
		}
	}
	f.Doubt.OtherDB = linkbudget.DB(math.Sqrt(float64(others)))
	f.Forward, f.Backward = r.Forward.Level, r.Backward.Level
	if r.Verdict != linkbudget.Unknown {
		var err error
		if f.Delivery, err = env.Delivery(r.Weaker().SNRDB); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

// The figures of Survey are those of Evaluate, to the last bit: in sight and
// blocked, short and far, over whole ground and voids, for any station.
func TestSurveyIsEvaluate(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	grid := ridges()
	for i := range 300 {
		grid.HeightM[600*1201+600+i] = terrain.VoidHeight()
	}
	azimuth := 40.0
	shy := func(e linkbudget.Environment) linkbudget.Environment {
		e.Cover, e.BareEarth, e.Fading.Kind = clutter.Suburban, true, fading.Rayleigh
		return e
	}
	town := func(e linkbudget.Environment) linkbudget.Environment {
		e.TownPercent, e.Terrain.SigmaM, e.PessimisticK, e.K = 50, 2, 0.8, 1.5
		return e
	}
	plain := func(e linkbudget.Environment) linkbudget.Environment { return e }
	seen := map[diffraction.PathClass]int{}
	unknown, filled := 0, 0
	for n, change := range []func(linkbudget.Environment) linkbudget.Environment{plain, shy, town} {
		env := change(environment())
		e, err := linkbudget.NewEvaluator(env)
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(3, uint64(n)))
		for range 700 {
			a, b := linkbudget.DefaultStation("a", 1+60*rng.Float64()), linkbudget.DefaultStation("b", 1+60*rng.Float64())
			switch rng.IntN(3) {
			case 0:
				a.FeedLossDB, a.NoiseRiseDB, a.ExternalNoiseDB, a.SideMounted, a.VSWR = 1, 3, 4, true, 1.7
				a.Feeder.LengthM, a.Feeder.Coax = 5, antenna.CoaxClasses()[2]
			case 1:
				b.Polarisation, b.NoiseFigureDB = radio.Horizontal, 8
				b.Antenna = linkbudget.Antenna{PeakDBi: 9, Beam: antenna.BeamSector, AzimuthDeg: &azimuth}
				if n == 0 {
					a.Surroundings.WoodM, b.Surroundings.Inside = 50, clutter.Suburban
				}
			}
			from := orb.Point{-84.9 + 0.9*rng.Float64(), 36.1 + 0.8*rng.Float64()}
			to := terrain.Destination(from, 360*rng.Float64(), 100+35e3*math.Pow(rng.Float64(), 2))
			opt := terrain.ProfileOptions{FillVoidsM: []float64{0, 1e4}[rng.IntN(2)]}
			var pa, pb linkbudget.PreparedStation
			if err := errors.Join(e.Prepare(&pa, &a), e.Prepare(&pb, &b)); err != nil {
				t.Fatal(err)
			}
			var got linkbudget.Brief
			got.Delivery, got.FilledPoints = -1, 9 // nothing of it must stay
			if err := e.Survey(&got, grid, from, to, opt, &pa, &pb); err != nil {
				t.Fatal(err)
			}
			p, err := terrain.NewProfile(grid, from, to, opt)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(p, *e.Profile()); diff != "" {
				t.Fatal(diff)
			}
			r, err := linkbudget.Evaluate(p, a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			want := briefOf(t, &r, env)
			if want.MarginDB < 0 {
				want.TimePercentHeld = 0 // a survey leaves it out
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Fatalf("%v to %v: %s", from, to, diff)
			}
			r.Delivery = got.Delivery // Evaluate leaves it out
			if diff := cmp.Diff(r, e.Explain(&got)); diff != "" {
				t.Fatalf("%v to %v, explained: %s", from, to, diff)
			}
			seen[r.Path]++
			if r.Verdict == linkbudget.Unknown {
				unknown++
			}
			filled += int(r.FilledPoints)
		}
	}
	if seen[diffraction.PathClear] < 50 || seen[diffraction.PathGrazing] < 10 || seen[diffraction.PathBlocked] < 50 ||
		unknown == 0 || filled == 0 {
		t.Errorf("drawn were %v, %d unknown, %d points filled", seen, unknown, filled)
	}
}

// What Evaluate refuses of stations, Prepare refuses; what Sample refuses, Survey.
func TestSurveyRefuses(t *testing.T) {
	env := environment()
	env.Cover, env.BareEarth = clutter.Suburban, true
	e, err := linkbudget.NewEvaluator(env)
	if err != nil {
		t.Fatal(err)
	}
	var p linkbudget.PreparedStation
	s := linkbudget.DefaultStation("a", 8)
	s.Surroundings.Inside = clutter.Suburban
	if e.Prepare(&p, &s) == nil {
		t.Error("a station in clutter under cover is accepted")
	}
	s = linkbudget.DefaultStation("a", -8)
	if e.Prepare(&p, &s) == nil {
		t.Error("a height below 0 is accepted")
	}
	s.HeightM = 8
	if err := e.Prepare(&p, &s); err != nil {
		t.Fatal(err)
	}
	var f linkbudget.Brief
	f.LossDB = 9
	at := orb.Point{-84.5, 36.5}
	if err := e.Survey(&f, ridges(), at, at, terrain.ProfileOptions{}, &p, &p); err == nil ||
		!cmp.Equal(f, linkbudget.Brief{}) {
		t.Errorf("a path without length gives %v, %+v", err, f)
	}
}

// Nothing is taken from the heap once the memory is there.
func TestSurveyAllocations(t *testing.T) {
	e, err := linkbudget.NewEvaluator(environment())
	if err != nil {
		t.Fatal(err)
	}
	grid := ridges()
	var p linkbudget.PreparedStation
	s := linkbudget.DefaultStation("a", 8)
	if err := e.Prepare(&p, &s); err != nil {
		t.Fatal(err)
	}
	var f linkbudget.Brief
	from := orb.Point{-84.6, 36.4}
	i := 0
	survey := func() {
		i++
		to := terrain.Destination(from, float64(7*i), 12e3)
		if err := e.Survey(&f, grid, from, to, terrain.ProfileOptions{}, &p, &p); err != nil {
			t.Fatal(err)
		}
	}
	for range 50 {
		survey()
	}
	if got := testing.AllocsPerRun(50, survey); got > 1 { // the reflection of a path in sight
		t.Errorf("%g allocations", got)
	}
}
