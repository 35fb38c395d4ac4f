package mesh

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain"
)

// The pairs found are those of the definition: every two poles within the range
// along the geodesic, but those that 20 dB more would not join through free space.
func TestSearchAgainstEveryPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		middle := orb.Point{rapid.SampledFrom([]float64{0, 11.5, 179.9, -180}).Draw(t, "lon"),
			rapid.SampledFrom([]float64{0, 50, -89.8, 90}).Draw(t, "lat")}
		opt := Options{SiteOptions: SiteOptions{RangeM: rapid.Float64Range(100, 50e3).Draw(t, "range"),
			Settings: plan.Settings{Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7,
				BWHz: 500e3, CR: 1}}}}}.withDefaults()
		p := &plan.Plan{}
		var stations []linkbudget.Station
		for i := range rapid.IntRange(1, 40).Draw(t, "poles") {
			st := linkbudget.DefaultStation(fmt.Sprint(i), 10)
			st.TxDBm = linkbudget.DBm(rapid.Float64Range(-30, 14).Draw(t, "power"))
			st.NoiseRiseDB = linkbudget.DB(rapid.Float64Range(0, 40).Draw(t, "noise"))
			stations = append(stations, st)
			p.Stations = append(p.Stations, plan.Station{Name: st.Name,
				At: terrain.Destination(middle, rapid.Float64Range(0, 360).Draw(t, "azimuth"), rapid.Float64Range(0, 40e3).Draw(t,
					"distance"))})
		}
		var want [][2]int32
		var hopeless int64
		for a := range p.Stations {
			for b := a + 1; b < len(p.Stations); b++ {
				distM := terrain.Inverse(p.Stations[a].At, p.Stations[b].At).DistM
				if distM < minPathM || distM > opt.RangeM {
					continue
				}
				// The chord is up to 0.2 m shorter than the way over 40 km.
				from, to := stations[a].BestCase(opt.Settings.Environment), stations[b].BestCase(opt.Settings.Environment)
				oneWayM := func(from, to linkbudget.BestCase) float64 { // the way back decides nothing
					from.NeedsDBm, to.EIRPDBm = -1000, 1000
					return from.ReachM(to, 868e6)
				}
				switch reachM := 10 * max(oneWayM(from, to), oneWayM(to, from)); {
				case distM > reachM+0.2:
					hopeless++
				case distM > reachM:
					t.Skip("too close to tell")
				default:
					want = append(want, [2]int32{int32(a), int32(b)})
				}
			}
		}
		list, found, complete, err := opt.candidates(context.Background(), p, stations)
		if err != nil || !complete {
			t.Fatal(err, complete)
		}
		var got [][2]int32
		for _, c := range list {
			got = append(got, [2]int32{c.a, c.b})
		}
		slices.SortFunc(got, func(x, y [2]int32) int { return cmp.Or(cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1])) })
		if diff := gocmp.Diff(want, got); diff != "" || found != hopeless {
			t.Fatalf("hopeless %d, want %d; pairs (-want +got):\n%s", found, hopeless, diff)
		}
	})
}

// Work goes from cell to cell of the ground, whatever the order of the plan, so
// that few tiles are wanted at a time.
func TestOrderOfWork(t *testing.T) {
	p := &plan.Plan{}
	var stations []linkbudget.Station
	const side = 60 // poles a degree apart in a hundredth, over a square of 0.6 degrees
	for i := range side * side {
		k := i * 1009 % (side * side) // a prime: neighbours in the list are far apart
		stations = append(stations, linkbudget.DefaultStation(fmt.Sprint(i), 10))
		p.Stations = append(p.Stations, plan.Station{Name: fmt.Sprint(i), At: orb.Point{10 + float64(k%side)/100, 50 +
			float64(k/side)/100}})
	}
	opt := Options{SiteOptions: SiteOptions{RangeM: 2e3,
		Settings: plan.Settings{Environment: linkbudget.Environment{FreqHz: 868e6,
			Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}}}}.withDefaults()
	list, _, _, err := opt.candidates(context.Background(), p, stations)
	if err != nil || len(list) < 10000 {
		t.Fatal(len(list), err)
	}
	// Tiles of a tenth of a degree, of which a cache holds four.
	loads, kept := 0, []orb.Point{}
	for _, c := range list {
		for _, i := range []int32{c.a, c.b} {
			at := p.Stations[i].At
			tile := orb.Point{float64(int(at[0]*10 + 1e-6)), float64(int(at[1]*10 + 1e-6))}
			if k := slices.Index(kept, tile); k >= 0 {
				kept = slices.Delete(kept, k, k+1)
			} else {
				loads++
			}
			kept = append(kept, tile)
			kept = kept[max(0, len(kept)-4):]
		}
	}
	if t.Logf("%d loads for %d pairs over 36 tiles", loads, len(list)); loads > 10*36 {
		t.Errorf("%d loads of 36 tiles", loads)
	}
}
