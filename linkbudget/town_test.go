package linkbudget_test

import (
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
)

// Nobody stated how high the roofs of a town are: the loss of ITU-R P.2108-1 §3.2, 24 dB
// at 868 MHz, must not end at a line that a centimetre of mast crosses. Nor may any other
// surroundings: raising an antenna moves loss and doubt a little, up to 10 m over the tops,
// by less than 0.2 dB a centimetre.
func TestNoSurroundingsEndWithinACentimetre(t *testing.T) {
	ground := profile(3e3, 61, func(x float64) float64 { return 100 + 3*math.Sin(20*x) })
	for _, c := range []struct {
		name   string
		around linkbudget.Surroundings
		town   float64
	}{
		{"town", linkbudget.Surroundings{}, 50}, {"town, 90 % of places", linkbudget.Surroundings{}, 90},
		{"town of 18 m", linkbudget.Surroundings{TopM: 18}, 50},
		{"nothing said", linkbudget.Surroundings{}, 0}, {"open", linkbudget.Surroundings{Inside: clutter.Open}, 0},
		{"suburban", linkbudget.Surroundings{Inside: clutter.Suburban}, 0},
		{"wood of 7 m", linkbudget.Surroundings{Inside: clutter.Wood, TopM: 7}, 0},
		{"dense", linkbudget.Surroundings{Inside: clutter.DenseUrban}, 0},
	} {
		a, b, env := linkbudget.DefaultStation("a", 40), linkbudget.DefaultStation("b", 1), environment()
		b.Surroundings, env.TownPercent = c.around, c.town
		var lossDB, sigmaDB linkbudget.DB
		for i := 100; i <= 3100; i++ {
			b.HeightM = float64(i) / 100
			r, err := linkbudget.Evaluate(ground, a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			move := max(math.Abs(float64(r.LossDB-lossDB)), math.Abs(float64(r.Doubt.SigmaDB-sigmaDB)))
			if i > 100 && !(move < 0.2) {
				t.Fatalf("%s: from %.2f to %.2f m the loss goes from %.2f to %.2f dB, the doubt from %.2f to %.2f dB",
					c.name, b.HeightM-0.01, b.HeightM, lossDB, r.LossDB, sigmaDB, r.Doubt.SigmaDB)
			}
			lossDB, sigmaDB = r.LossDB, r.Doubt.SigmaDB
		}
	}
}

// A path of which an end stands below the tops around it is reckoned from there, and says
// so: nobody at the foot of that pole sees the other one.
func TestClearFromTheTops(t *testing.T) {
	ground := profile(3e3, 61, func(float64) float64 { return 100 })
	a, b, env := linkbudget.DefaultStation("a", 40), linkbudget.DefaultStation("b", 2), environment()
	env.TownPercent = 50
	r, err := linkbudget.Evaluate(ground, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := r.Reasons()[0], "clear from the tops of 10 m around b: at least"; !strings.HasPrefix(got, want) {
		t.Errorf("%q, wanted %q", got, want)
	}
	b.HeightM = 12
	if r, err = linkbudget.Evaluate(ground, a, b, env); err != nil {
		t.Fatal(err)
	}
	if got := r.Reasons()[0]; !strings.HasPrefix(got, "clear: at least") {
		t.Errorf("over the roofs: %q", got)
	}
}

// ITU-R P.2108-1 §3.2 holds from 0.25 km at one end, from 1 km at both: a path with one end
// in town is not warned of the other.
func TestWarningOfShortTownPaths(t *testing.T) {
	ground := profile(600, 21, func(float64) float64 { return 100 })
	env := environment()
	env.TownPercent = 50
	for _, c := range []struct {
		aHeightM float64
		want     bool
	}{{2, true}, {30, false}} {
		a, b := linkbudget.DefaultStation("a", c.aHeightM), linkbudget.DefaultStation("b", 2)
		r, err := linkbudget.Evaluate(ground, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(strings.Join(r.Warnings, " "), "1 km"); got != c.want {
			t.Errorf("antennas at %g and 2 m: %q", c.aHeightM, r.Warnings)
		}
	}
}

// Where a cover knows what stands at both ends nobody needs to guess a town there: in a wood, behind one, in the open.
func TestCoverLeavesNoTown(t *testing.T) {
	for _, wood := range []stripe{{-1, 300, 15}, {4500, 6000, 15}, {4970, 4990, 15}, {-1, 6000, 15}, {0, -1, 0}} {
		p := wooded(t, 5000, wood)
		for _, bare := range []bool{true, false} {
			var lossDB [2]linkbudget.DB
			for i, townPercent := range []float64{0, 50} {
				env := environment()
				env.BareEarth, env.TownPercent = bare, townPercent
				r, err := linkbudget.Evaluate(p, linkbudget.DefaultStation("a", 2.5), linkbudget.DefaultStation("b", 2.5), env)
				if err != nil {
					t.Fatal(err)
				}
				lossDB[i] = r.LossDB
			}
			if lossDB[0] != lossDB[1] {
				t.Errorf("%v, bare %v: %.2f dB, with a town assumed where nothing is known %.2f dB", wood, bare, lossDB[0],
					lossDB[1])
			}
		}
	}
}
