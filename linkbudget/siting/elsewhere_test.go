package siting

import (
	"context"
	"os"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

// The same on other ground, a rounded mountain among forested hills: the best
// spot and the trade of mast and neighbours are those of all cells by hand.
func TestBruteForceElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("brute force")
	}
	folder := os.Getenv("POLEREACH_DEM_DIR")
	if folder == "" {
		t.Skip("set POLEREACH_DEM_DIR to a folder with srtm3/N50E011.hgt.zip")
	}
	sources, err := terrain.OpenSources(os.DirFS(folder), "srtm3/N50E011.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	dem, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	o := Options{
		Candidate: linkbudget.DefaultStation("new", 6),
		Areas: orb.MultiPolygon{{{{11.8454, 50.1204}, {11.8596, 50.1204}, {11.8596, 50.1304}, {11.8454, 50.1304},
			{11.8454, 50.1204}}}},
		Environment: linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
		AtLeast:     4, MaxHeightM: 10, Top: 6, SeparationM: 200,
	}
	for _, n := range []struct {
		name     string
		lon, lat float64
	}{{"East Moor", 11.97, 50.10}, {"North Weir", 11.90, 50.25}, {"Dry Ford", 11.70, 50.20},
		{"Kettle Farm", 11.75, 50.03}, {"Mill Cross", 11.95, 50.02}} {
		o.Neighbours = append(o.Neighbours, Neighbour{linkbudget.DefaultStation(n.name, 5), orb.Point{n.lon, n.lat}, false})
	}
	for _, rank := range []Rank{ByMast, ByNeighbours, ByProbability} {
		o.Rank = rank
		got, err := Search(context.Background(), dem, o)
		if err != nil {
			t.Fatal(err)
		}
		cells := byHand(t, dem, o)
		slices.SortStableFunc(cells, func(a, b hand) int { return a.order(b, rank) })
		want, s := cells[0], got.Spots[0]
		t.Logf("%v: %v mast %g m, %d of 5; %d of %d cells computed", rank, want.at, want.heightM, want.reached, got.Computed,
			got.Cells)
		if d := terrain.Inverse(s.At, want.at).DistM; !(d < 0.01) || s.HeightM != want.heightM ||
			s.Reached != want.reached || s.Serves != want.serves {
			t.Errorf("%v: %v mast %g m, %d reached; by hand %v %g m, %d", rank, s.At, s.HeightM, s.Reached, want.at,
				want.heightM, want.reached)
		}
		checkChoices(t, got.Choices, cells)
	}
}
