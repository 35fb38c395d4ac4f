package linkbudget

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Over flat ground the three parts of Area must add up to what Evaluate says,
// which computes them at the points of a profile.
func TestAreaAddsUpToEvaluateOverFlatGround(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := DefaultStation("a", rapid.Float64Range(1, 60).Draw(t, "hA")),
			DefaultStation("b", rapid.Float64Range(1, 60).Draw(t, "hB"))
		a.FeedLossDB, b.NoiseFigureDB = 1.5, 9
		if rapid.Bool().Draw(t, "cluttered") {
			b.Surroundings.Inside = clutter.Suburban
		}
		if rapid.Bool().Draw(t, "crossed") {
			b.Polarisation = radio.Horizontal
		}
		env := Environment{FreqHz: 868e6, Modem: Modem{SF: 9, BWHz: 125e3, CR: 1}}
		distM := rapid.Float64Range(1e3, 60e3).Draw(t, "dist")
		p := terrain.Profile{}
		const n = 400
		for i := range n + 1 {
			p.DistM = append(p.DistM, distM*float64(i)/n)
			p.HeightM = append(p.HeightM, 100)
		}
		r, err := Evaluate(p, a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		area, err := NewArea(a, b, env)
		if err != nil {
			t.Fatal(err)
		}
		spherical, bullington := area.SmoothEarth(diffraction.SmoothPath{DistM: distM, EffectiveAM: area.HeightAM,
			EffectiveBM: area.HeightBM, ClearM: distM / n, Both: true})
		for _, c := range []struct {
			what      string
			got, want DB
			tol       float64
		}{
			{"spherical", spherical, r.Diffraction.SphericalDB, 1e-9},
			{"bullington", bullington, r.Diffraction.SmoothDB, 0.1}, // points against every distance
			{"clutter", area.ClutterDB(distM), r.LossDB - radio.FreeSpace(radio.SlantM(distM, area.HeightAM, area.HeightBM), env.FreqHz) - r.Diffraction.LossDB, 0.001},
		} {
			if c.what == "clutter" && !r.Diffraction.LineOfSight {
				continue // troposcatter takes a little off
			}
			if !(math.Abs(float64(c.got-c.want)) <= c.tol) {
				t.Errorf("%s: %v dB, Evaluate has %v", c.what, c.got, c.want)
			}
		}
		var crossed DB
		if a.Polarisation != b.Polarisation {
			crossed = max(20-r.Diffraction.LossDB, 9)
		}
		gainA, _ := a.Antenna.Gain(r.AzimuthDeg, r.ElevationDeg)
		gainB, _ := b.Antenna.Gain(r.BackAzimuthDeg, r.BackElevationDeg)
		if got := area.BudgetDB + gainA + gainB - r.LossDB - crossed; !(math.Abs(float64(got-r.MarginDB)) <= 1e-9) {
			t.Errorf("margin %v dB, Evaluate has %v", got, r.MarginDB)
		}
		var steady float64
		for _, item := range r.Doubt.Items {
			switch item.Name {
			case "model":
				if got := ModelDoubtDB(r.Diffraction.LossDB); got != item.DB {
					t.Errorf("model doubt %v dB, Evaluate has %v", got, item.DB)
				}
			case "ripple", "terrain":
			default:
				steady = math.Hypot(steady, float64(item.DB))
			}
		}
		if got := area.SteadyDoubtDB(distM); !(math.Abs(float64(got)-steady) <= 1e-9) {
			t.Errorf("steady doubt %v dB, Evaluate has %v", got, steady)
		}
	})
}

func TestNewAreaListsEveryFault(t *testing.T) {
	_, err := NewArea(Station{Name: "a"}, Station{Name: "b"}, Environment{})
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok || len(joined.Unwrap()) < 3 {
		t.Errorf("faults of both stations and the environment wanted, found: %v", err)
	}
}
