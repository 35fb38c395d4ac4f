package siting

import (
	"context"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

func cumberland(t testing.TB) terrain.DEM {
	t.Helper()
	sources, err := terrain.OpenSources(os.DirFS("../../testdata/cumberland"), "N36W085.hgt.zip")
	if err != nil {
		t.Fatal(err)
	}
	tiles, err := terrain.NewTiles(sources, terrain.TilesOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return tiles
}

// bench is the searchable ground of the demo with some of its stations.
func bench() Options {
	n := func(name string, lon, lat, heightM float64, must bool) Neighbour {
		s := linkbudget.DefaultStation(name, heightM)
		s.TxDBm = 20
		return Neighbour{s, orb.Point{lon, lat}, must}
	}
	candidate := linkbudget.DefaultStation("new pole", 6)
	candidate.TxDBm = 20
	return Options{
		Neighbours: []Neighbour{
			n("Tanager Knob", -84.2308, 36.485, 8, true), n("Beacon Field", -84.2725, 36.6258, 6, false),
			n("Mill Bottom", -84.1592, 36.5775, 4, false), n("Quarry Gate", -84.15, 36.65, 4, false),
			n("Hollow School", -84.32, 36.6, 6, false),
		},
		Candidate: candidate,
		Areas: orb.MultiPolygon{{{{-84.25, 36.545}, {-84.23, 36.545}, {-84.23, 36.565}, {-84.25, 36.565},
			{-84.25, 36.545}}}},
		Environment: linkbudget.Environment{FreqHz: 915e6, Modem: linkbudget.Modem{SF: 10, BWHz: 500e3, CR: 1}},
		AtLeast:     4, MaxHeightM: 10,
	}
}

// The search knows no water: what lies as level as a lake is told apart.
func TestSpotsOnLevelGroundAreTold(t *testing.T) {
	for name, c := range map[string]struct {
		dem  terrain.DEM
		want bool
	}{"lake": {lake{}, true}, "hills": {cumberland(t), false}} {
		o := bench()
		o.AtLeast, o.Neighbours = 1, o.Neighbours[:1]
		a, err := Search(context.Background(), c.dem, o)
		if err != nil || len(a.Spots) == 0 {
			t.Fatal(name, err)
		}
		if got := a.Spots[0].Level; got != c.want {
			t.Errorf("%s: level %t", name, got)
		}
	}
}

// lake is level everywhere.
type lake struct{}

func (lake) Extent() terrain.Extent {
	square := orb.Bound{Min: orb.Point{-85, 36}, Max: orb.Point{-84, 37}}
	return terrain.Extent{Bound: square, StepLonDeg: 1.0 / 1200, StepLatDeg: 1.0 / 1200}
}

func (lake) Heights(_ []orb.Point, heightM []float64, flags []terrain.Flag) error {
	clear(heightM)
	clear(flags)
	return nil
}

func TestSpotsAreDistinctAndInside(t *testing.T) {
	o := bench()
	a, err := Search(context.Background(), cumberland(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Spots) == 0 || len(a.Spots) > 10 {
		t.Fatalf("%d spots", len(a.Spots))
	}
	for i, s := range a.Spots {
		if !o.Areas[0].Bound().Contains(s.At) {
			t.Errorf("spot %v lies outside", s.At)
		}
		for _, other := range a.Spots[:i] {
			if d := terrain.Inverse(s.At, other.At).DistM; d < 300 {
				t.Errorf("spots %v and %v lie %.0f m apart", s.At, other.At, d)
			}
		}
		if len(s.Reasons) == 0 || len(s.Links) != len(o.Neighbours) {
			t.Errorf("spot %+v", s)
		}
		reached := 0
		for _, l := range s.Links {
			if l.Result.Verdict == linkbudget.Reaches {
				reached++
			}
		}
		if reached != s.Reached || s.Serves && reached < o.AtLeast {
			t.Errorf("spot %v: %d reached, told %d, serves %v", s.At, reached, s.Reached, s.Serves)
		}
	}
	for i := 1; i < len(a.Choices); i++ {
		if x, y := a.Choices[i-1], a.Choices[i]; !(y.Reached > x.Reached && (y.HeightM > x.HeightM || y.HeightM == 0 &&
			i == len(a.Choices)-1)) {
			t.Errorf("choices %+v then %+v", x, y)
		}
	}
}

func TestResultDoesNotDependOnWorkers(t *testing.T) {
	o := bench()
	o.Workers = 1
	a, err := Search(context.Background(), cumberland(t), o)
	if err != nil {
		t.Fatal(err)
	}
	o.Workers = 3
	b, err := Search(context.Background(), cumberland(t), o)
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Spots {
		if a.Spots[i].At != b.Spots[i].At || a.Spots[i].HeightM != b.Spots[i].HeightM {
			t.Errorf("spot %d: %v and %v", i, a.Spots[i].At, b.Spots[i].At)
		}
	}
}

func TestErrorsListEveryFault(t *testing.T) {
	_, err := Search(context.Background(), nil, Options{SeparationM: -1, MaxHeightM: 999, RangeM: -2, Top: 500, AtLeast: 7,
		Rank: 9, MostCells: -1, MaxRoadM: -1, Roads: []orb.LineString{{{1, 2}}, {{1, 95}, {1, 2}}}})
	also := Options{Rank: ByRoad}.check(nil)
	if sun := (Options{Rank: BySun}).check(nil); also == nil || sun == nil || !strings.Contains(also.Error(),
		"no road") || !strings.Contains(sun.Error(), "know the sun") {
		t.Errorf("by road: %v; by sun: %v", also, sun)
	}
	for _, want := range []string{"no DEM", "no neighbours", "no ground", "separation", "max_height_m", "range", "top",
		"at_least", "height_m", "rank", "most_cells", "max_road_m", "road 0 has 1", "road 1"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is missing in: %v", want, err)
		}
	}
}

// A neighbour on a void refuses nothing: it is told, counts as not judged, and the spots
// are those of a search without it. A must there leaves every cell open.
func TestNeighbourOnUnknownGroundIsTold(t *testing.T) {
	search := func(o Options) *Answer {
		t.Helper()
		a, err := Search(context.Background(), cumberland(t), o)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	void := orb.Point{-84.5, 36.6} // of the fixture
	for _, first := range []bool{true, false} {
		o := bench()
		o.AtLeast, o.Top = 3, 3
		o.Neighbours[0].Must = false
		at := 1
		if first {
			at = 0
		}
		name := o.Neighbours[at].Station.Name
		o.Neighbours[at].At = void
		with := search(o)
		o.Neighbours = append(o.Neighbours[:at:at], o.Neighbours[at+1:]...)
		without := search(o)
		if len(with.Unknown) != 1 || with.Unknown[0] != name || len(with.Spots) == 0 ||
			len(with.Spots) != len(without.Spots) {
			t.Fatalf("unknown %q, %d spots, without it %d", with.Unknown, len(with.Spots), len(without.Spots))
		}
		for i, s := range with.Spots {
			if s.At != without.Spots[i].At || s.Reached != without.Spots[i].Reached || *s.Weakest != *without.Spots[i].Weakest ||
				len(s.Links) != 5 || s.Links[at].Result.Verdict != linkbudget.Unknown {
				t.Errorf("spot %+v, without it %+v", s, without.Spots[i])
			}
		}
	}
	o := bench()
	o.MostCells, o.Top = 20, 1
	o.Neighbours[0].At = void
	a := search(o)
	if a.Open == 0 || len(a.Spots) != 1 || a.Spots[0].Serves || a.Spots[0].Weakest != nil {
		t.Errorf("with a must on a void: %d open, %+v", a.Open, a.Spots)
	}
	for i := range o.Neighbours {
		o.Neighbours[i].At = void
	}
	if _, err := Search(context.Background(), cumberland(t), o); err == nil || !strings.Contains(err.Error(),
		"Tanager Knob, Beacon Field") {
		t.Errorf("all on a void: error %v", err)
	}
}

// Whatever the rank, a spot is judged with the mast asked for where it serves with it.
func TestSpotsAreJudgedWithTheMastAskedFor(t *testing.T) {
	for _, rank := range []Rank{ByMast, ByNeighbours, ByProbability} {
		o := bench()
		o.Rank, o.AtLeast, o.Top = rank, 3, 4
		a, err := Search(context.Background(), cumberland(t), o)
		if err != nil {
			t.Fatal(err)
		}
		lower := 0
		for _, s := range a.Spots {
			if s.Serves && s.LowestM < 6 {
				lower++
			}
			if s.Serves && s.LowestM <= 6 && (s.HeightM != 6 || s.Links[0].Result.HeightAM != 6) {
				t.Errorf("by %v: judged at %g m, links at %g m; asked for are 6 m", rank, s.HeightM, s.Links[0].Result.HeightAM)
			}
		}
		if lower == 0 {
			t.Errorf("by %v: no spot serves with less: the test says nothing", rank)
		}
	}
}
