package linkbudget

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Between two shores more is heard at 1 % of time where a cover says that the ground at height 0
// between them is water; the median and the bad nights do not change by it, and open country
// at height 0 is no sea.
func TestOverSeaMoreIsHeard(t *testing.T) {
	a, b := DefaultStation("a", 12), DefaultStation("b", 12)
	env := Environment{FreqHz: 868e6, Modem: Modem{SF: 9, BWHz: 125e3, CR: 1}, BareEarth: true}
	loss := func(km float64, percent float64, class terrain.CoverClass, cover bool) Result {
		var p terrain.Profile
		for x := 0.0; x <= km; x += 0.5 {
			at := terrain.Standing{Class: class}
			h := 0.0
			if x < 2 || x > km-2 {
				h, at.Class = 8, terrain.CoverOpen
			}
			p.DistM, p.HeightM, p.Points = append(p.DistM, 1e3*x), append(p.HeightM, h), append(p.Points, orb.Point{5, 52})
			if cover {
				p.Standing = append(p.Standing, at)
			}
		}
		e := env
		e.TimePercent = percent
		r, err := Evaluate(p, a, b, e)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, km := range []float64{30, 60, 120, 200} {
		land, sea := loss(km, 1, 0, false), loss(km, 1, terrain.CoverWater, true)
		t.Logf("%3.0f km: median %.1f dB, at 10 %% of time over land %.1f, over sea %.1f, at 1 %% %.1f and %.1f", km,
			loss(km, 0, 0, false).LossDB, loss(km, 10, 0, false).LossDB, loss(km, 10, terrain.CoverWater, true).LossDB,
			land.LossDB, sea.LossDB)
		if !(sea.LossDB < land.LossDB-0.5) {
			t.Errorf("%g km: %.2f dB over sea, %.2f over land", km, sea.LossDB, land.LossDB)
		}
		if open := loss(km, 1, terrain.CoverOpen, true); open.LossDB != land.LossDB {
			t.Errorf("%g km: %.2f dB over open country, %.2f without a cover", km, open.LossDB, land.LossDB)
		}
		for _, percent := range []float64{0, 99} {
			if there := loss(km, percent, terrain.CoverWater, true); there.LossDB != loss(km, percent, 0, false).LossDB {
				t.Errorf("%g km, %g %%: sea changes the loss", km, percent)
			}
		}
		if last := sea.Terms[len(sea.Terms)-1]; !strings.HasSuffix(last.Source, "% over sea") {
			t.Errorf("%g km: %q", km, last.Source)
		}
		land, sea = loss(km, 0, 0, false), loss(km, 0, terrain.CoverWater, true)
		if sea.TimePercentHeld < land.TimePercentHeld {
			t.Errorf("%g km: held %.1f %% of time over sea, %.1f over land", km, sea.TimePercentHeld, land.TimePercentHeld)
		}
	}
}
