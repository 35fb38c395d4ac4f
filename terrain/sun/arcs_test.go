package sun

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
)

// Arcs that are kept give the same bits as arcs made anew: for panels, skylines and places of one latitude
// in any order, beside those of others, and when there are too many to keep.
func TestArcsChangeNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("a hundred skylines, each by two ways")
	}
	var arcs Arcs
	rapid.Check(t, func(t *rapid.T) {
		at := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.SampledFrom([]float64{-70, 0, 36.5, 36.6, 50,
			67}).Draw(t, "lat")}
		site := Site{At: at, Worst: rapid.Bool().Draw(t, "worst")}
		heights := rapid.SliceOfN(rapid.Float64Range(-5, 40), 0, 36).Draw(t, "skyline")
		for _, h := range heights {
			site.Skyline.Directions = append(site.Skyline.Directions, terrain.SkylineDirection{ElevDeg: h, MostDeg: h + 3})
		}
		panel := Panel{TiltDeg: rapid.SampledFrom([]float64{0, 45, 60}).Draw(t, "tilt"),
			AzimuthDeg: rapid.SampledFrom([]float64{180, 200}).Draw(t, "azimuth")}
		climate := DefaultClimate(at[1], 300)
		want, err := Monthly(site, panel, climate)
		if err != nil {
			t.Fatal(err)
		}
		wantDays, err := Daily(site, panel, climate)
		if err != nil {
			t.Fatal(err)
		}
		site.Arcs = &arcs
		if got, err := Monthly(site, panel, climate); err != nil || got != want {
			t.Fatalf("months %v, %v, want %v", got, err, want)
		}
		got, err := Daily(site, panel, climate)
		if err != nil {
			t.Fatal(err)
		}
		for i := range got.Days {
			if got.Days[i] != wantDays.Days[i] || math.IsNaN(got.Days[i].PlaneWhM2()) {
				t.Fatalf("day %d: %v, want %v", i, got.Days[i], wantDays.Days[i])
			}
		}
	})
	if n := len(arcs.kept); n == 0 || n > mostArcs {
		t.Errorf("%d arcs are kept, allowed 1 to %d", n, mostArcs)
	}
}
