package linkbudget_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// patchwork is a cover of woods of several heights, houses, water and open country in squares.
type patchwork struct {
	sideDeg float64
	fails   *int // after so many places
	asked   int
}

var errPatch = errors.New("torn")

func (c *patchwork) Standing(at []orb.Point, out []terrain.Standing) error {
	for i, p := range at {
		if c.asked++; c.fails != nil && c.asked > *c.fails {
			return errPatch
		}
		x, y := uint64(int64(math.Floor(p[0]/c.sideDeg))), uint64(int64(math.Floor(p[1]/c.sideDeg)))
		h := (x*0x9E3779B97F4A7C15 ^ y*0xC2B2AE3D27D4EB4F) * 0x94D049BB133111EB >> 40 % 16
		out[i] = [16]terrain.Standing{
			1: {Class: terrain.CoverWater}, 2: {Class: terrain.CoverSuburban}, 3: {Class: terrain.CoverWood},
			4: {Class: terrain.CoverWood}, 5: {Class: terrain.CoverWood, HeightM: 24},
			6: {Class: terrain.CoverSuburban, HeightM: 6}, 7: {Class: terrain.CoverWood, HeightM: 5},
		}[h]
		if h > 7 {
			out[i].Class = terrain.CoverOpen
		}
	}
	return nil
}

// lowPatchwork tells how high it is.
type lowPatchwork struct{ *patchwork }

func (lowPatchwork) Highest() terrain.Standing {
	return terrain.Standing{Class: terrain.CoverWood, HeightM: 24}
}

// Survey, which reads a cover only where it tells, finds what Evaluate does over all of it, to the last
// bit, and does not read all of it unless asked for a share of time.
func TestSurveyWithCoverIsEvaluate(t *testing.T) {
	if testing.Short() {
		t.Skip("thousands of paths")
	}
	grid := ridges()
	for _, percent := range []float64{0, 10} {
		for _, bare := range []bool{false, true} {
			surveysWithCover(t, grid, bare, percent)
		}
	}
}

func surveysWithCover(t *testing.T, grid *terrain.Grid, bare bool, percent float64) {
	t.Helper()
	env := environment()
	env.BareEarth, env.TimePercent = bare, percent
	e, err := linkbudget.NewEvaluator(env)
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(15, 18))
	points, read, told := 0, 0, 0
	for n := range 1500 {
		cover := &patchwork{sideDeg: []float64{0.0003, 0.001, 0.004}[rng.IntN(3)]}
		dem := terrain.WithCover(grid, lowPatchwork{cover})
		if n%3 == 0 {
			dem = terrain.WithCover(grid, cover)
		}
		a := linkbudget.DefaultStation("a", 1+50*math.Pow(rng.Float64(), 2))
		b := linkbudget.DefaultStation("b", 2+30*rng.Float64())
		from := orb.Point{-84.9 + 0.9*rng.Float64(), 36.1 + 0.8*rng.Float64()}
		to := terrain.Destination(from, 360*rng.Float64(), 60+25e3*math.Pow(rng.Float64(), 2))
		var pa, pb linkbudget.PreparedStation
		if err := errors.Join(e.Prepare(&pa, &a), e.Prepare(&pb, &b)); err != nil {
			t.Fatal(err)
		}
		var got linkbudget.Brief
		if err := e.Survey(&got, dem, from, to, terrain.ProfileOptions{}, &pa, &pb); err != nil {
			t.Fatal(err)
		}
		if n%3 != 0 {
			read += cover.asked
		}
		p, err := terrain.NewProfile(dem, from, to, terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if n%3 != 0 {
			points += len(p.DistM)
		}
		r, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		want := briefOf(t, &r, env)
		if want.MarginDB < 0 || percent != 0 && got.TimePercentHeld == 0 {
			want.TimePercentHeld = 0 // a survey leaves it out where the median falls short
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("bare %v, %v to %v: %s", bare, from, to, diff)
		}
		if term(r, "cover") != 0 || term(r, "woods between") != 0 {
			told++
		}
		r.Delivery = got.Delivery // Evaluate leaves it out
		if diff := cmp.Diff(r, e.Explain(&got)); diff != "" {
			t.Fatalf("%v to %v, explained: %s", from, to, diff)
		}
		if diff := cmp.Diff(p, *e.Profile()); diff != "" {
			t.Fatal(diff)
		}
	}
	t.Logf("bare %v: %d places of %d points read; cover tells on %d paths", bare, read, points, told)
	if told < 150 || percent == 0 && read > points*3/4 { // short paths, of which the ends are a large part
		t.Errorf("bare %v: %d places of %d points read; cover tells on %d paths", bare, read, points, told)
	}
}

// A cover that cannot be read any more fails the survey, wherever that happens.
func TestSurveyTellsWhyCoverFails(t *testing.T) {
	e, err := linkbudget.NewEvaluator(environment())
	if err != nil {
		t.Fatal(err)
	}
	var pa, pb linkbudget.PreparedStation
	a, b := linkbudget.DefaultStation("a", 3), linkbudget.DefaultStation("b", 9)
	if err := errors.Join(e.Prepare(&pa, &a), e.Prepare(&pb, &b)); err != nil {
		t.Fatal(err)
	}
	grid, from := ridges(), orb.Point{-84.5, 36.5}
	for after, succeeded := 0, false; !succeeded; after++ {
		cover := &patchwork{sideDeg: 0.001, fails: &after}
		var f linkbudget.Brief
		to := terrain.Destination(from, 70, 4000)
		err := e.Survey(&f, terrain.WithCover(grid, cover), from, to, terrain.ProfileOptions{}, &pa, &pb)
		if succeeded = err == nil; succeeded {
			if after < 20 {
				t.Errorf("%d places are enough", after)
			}
		} else if !errors.Is(err, errPatch) || !errors.Is(err, terrain.ErrRead) || f.DistM != 0 {
			t.Fatalf("after %d places: %v, %v", after, err, f)
		}
	}
}

// sea is water everywhere.
type sea struct{}

func (sea) Standing(at []orb.Point, out []terrain.Standing) error {
	for i := range at {
		out[i] = terrain.Standing{Class: terrain.CoverWater}
	}
	return nil
}

func (sea) Highest() terrain.Standing { return terrain.Standing{Class: terrain.CoverWater} }

// A share of time needs all the water of a path, which a survey reads then.
func TestSurveyReadsTheSea(t *testing.T) {
	grid := level()
	clear(grid.HeightM)
	env := environment()
	env.TimePercent = 5
	e, err := linkbudget.NewEvaluator(env)
	if err != nil {
		t.Fatal(err)
	}
	a, b := linkbudget.DefaultStation("a", 4), linkbudget.DefaultStation("b", 4)
	var pa, pb linkbudget.PreparedStation
	if err := errors.Join(e.Prepare(&pa, &a), e.Prepare(&pb, &b)); err != nil {
		t.Fatal(err)
	}
	from, to := orb.Point{10, 0}, orb.Point{10.09, 0}
	losses := map[bool]linkbudget.DB{}
	for _, covered := range []bool{false, true} {
		dem := terrain.DEM(grid)
		if covered {
			dem = terrain.WithCover(grid, sea{})
		}
		var got linkbudget.Brief
		if err := e.Survey(&got, dem, from, to, terrain.ProfileOptions{}, &pa, &pb); err != nil {
			t.Fatal(err)
		}
		p, err := terrain.NewProfile(dem, from, to, terrain.ProfileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		r, err := linkbudget.Evaluate(p, a, b, env)
		if err != nil || got.LossDB != r.LossDB {
			t.Errorf("covered %v: %v dB, %v; all of it read %v", covered, got.LossDB, err, r.LossDB)
		}
		losses[covered] = r.LossDB
	}
	if losses[false] == losses[true] {
		t.Errorf("%v dB over land and over sea", losses[true])
	}
}
