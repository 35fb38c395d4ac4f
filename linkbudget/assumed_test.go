package linkbudget_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
)

// What looking is said to win is what comes out when somebody has looked.
func TestAssumedAgainstHavingLooked(t *testing.T) {
	free := linkbudget.Surroundings{Inside: clutter.Free}
	ridge := profile(3e3, 31, func(x float64) float64 { return 20 * math.Exp(-math.Pow((x-1500)/200, 2)) })
	for name, c := range map[string]struct {
		a, b   float64 // heights
		looked linkbudget.Surroundings
		want   []string
	}{
		"both":     {2.5, 5, linkbudget.Surroundings{}, []string{"a", "b"}},
		"one high": {2.5, 12, linkbudget.Surroundings{}, []string{"a"}},
		"one told": {2.5, 5, free, []string{"a"}},
		"none":     {12, 5, free, nil},
	} {
		t.Run(name, func(t *testing.T) {
			a, b, env := linkbudget.DefaultStation("a", c.a), linkbudget.DefaultStation("b", c.b), environment()
			b.Surroundings = c.looked
			before, err := linkbudget.Evaluate(ridge, a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			assumed := before.Assumed()
			var got []string
			for _, end := range assumed.Ends {
				got = append(got, end.Station)
				if end.Station == "a" {
					a.Surroundings = free
				} else {
					b.Surroundings = free
				}
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
			after, err := linkbudget.Evaluate(ridge, a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			if more := after.MarginDB - before.MarginDB; !(math.Abs(float64(more-assumed.MoreDB)) < 1e-9) {
				t.Errorf("margin grows by %v, said %v", more, assumed.MoreDB)
			}
			if !(math.Abs(float64(after.Doubt.SigmaDB-assumed.SigmaDB)) < 1e-9) {
				t.Errorf("doubt falls to %v, said %v", after.Doubt.SigmaDB, assumed.SigmaDB)
			}
		})
	}
}

// Ends of one name, or of none, are two: the doubt of each is taken off once.
func TestAssumedOfEndsOfOneName(t *testing.T) {
	ground := profile(3e3, 31, func(x float64) float64 { return 10 * math.Sin(x/200) })
	var sigma [2]linkbudget.DB
	for i, names := range [2][2]string{{"", ""}, {"a", "b"}} {
		a, b := linkbudget.DefaultStation(names[0], 3), linkbudget.DefaultStation(names[1], 3)
		r, err := linkbudget.Evaluate(ground, a, b, environment())
		if err != nil {
			t.Fatal(err)
		}
		sigma[i] = r.Assumed().SigmaDB
	}
	if !(math.Abs(float64(sigma[0]-sigma[1])) < 1e-9) {
		t.Errorf("%v dB, with names %v dB", sigma[0], sigma[1])
	}
}

// Tops of 15 m all along but for 50 m at the ends are what the class wood stands for.
func TestTopsAgainstCover(t *testing.T) {
	ground := profile(3e3, 101, func(x float64) float64 { return 5 * math.Sin(x/300) })
	a, b, env := linkbudget.DefaultStation("a", 20), linkbudget.DefaultStation("b", 12), environment()
	tops := ground
	for i, d := range tops.DistM {
		top := ground.HeightM[i]
		if d >= 50 && 3000-d >= 50 {
			top += 15
		}
		tops.TopM = append(tops.TopM, top)
	}
	over, err := linkbudget.Evaluate(tops, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	env.Cover, env.BareEarth = clutter.Wood, true
	cover, err := linkbudget.Evaluate(ground, a, b, env)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(float64(over.LossDB-cover.LossDB)) < 1e-9) || !(over.Diffraction.LossDB > 3) {
		t.Errorf("over tops %v dB, over the class %v", over.LossDB, cover.LossDB)
	}
}
