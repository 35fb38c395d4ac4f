package siting

import (
	"context"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget"
)

// plain is a search on level ground for two neighbours, west and east.
func plain() Options {
	n := func(name string, lon float64, must bool) Neighbour {
		return Neighbour{linkbudget.DefaultStation(name, 10), orb.Point{lon, 50.5}, must}
	}
	return Options{
		Neighbours: []Neighbour{n("west", 10.45, true), n("east", 10.55, false)},
		Candidate:  linkbudget.DefaultStation("new", 6),
		Areas: orb.MultiPolygon{{{{10.481, 50.481}, {10.519, 50.481}, {10.519, 50.519}, {10.481, 50.519},
			{10.481, 50.481}}}},
		Environment: linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}},
		MaxHeightM:  12,
	}
}

// A strip of voids between the ground and the must: nothing serves, all of it
// might, and the path says so.
func TestVoidsAreNotGuessed(t *testing.T) {
	g := flat(10, 50, func(p orb.Point) bool { return p[0] > 10.459 && p[0] < 10.471 })
	a, err := Search(context.Background(), g, plain())
	if err != nil {
		t.Fatal(err)
	}
	if a.Cells == 0 || a.Open != a.Cells || a.Unjudged != 0 {
		t.Errorf("%d cells, %d open, %d unjudged", a.Cells, a.Open, a.Unjudged)
	}
	for _, s := range a.Spots {
		if s.Serves || s.Links[0].Result.Verdict != linkbudget.Unknown || s.Links[0].LowestM != 0 {
			t.Errorf("spot %+v", s)
		}
		if !strings.Contains(strings.Join(s.Reasons, "|"), "terrain is missing") {
			t.Errorf("reasons %q", s.Reasons)
		}
	}
	if last := a.Choices[len(a.Choices)-1]; last.HeightM != 0 || last.Reached != 1 {
		t.Errorf("choices %+v", a.Choices)
	}
}

// Ground that is a void itself has no answer; ground beyond the terrain neither.
func TestGroundWithoutTerrain(t *testing.T) {
	o := plain()
	g := flat(10, 50, func(p orb.Point) bool { return p[1] > 50.4999 && p[1] < 50.54 && p[0] > 10.47 && p[0] < 10.53 })
	o.Neighbours[0].At, o.Neighbours[1].At = orb.Point{10.45, 50.49}, orb.Point{10.55, 50.49}
	a, err := Search(context.Background(), g, o)
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 7 columns (10.485 to 10.515) and 7 rows, 4 of them from 50.5 on
	// (void), and the row below needs no void post as it lies on posts.
	if a.Cells != 21 || a.Unjudged != 28 {
		t.Errorf("%d cells, %d unjudged, want 21 and 28", a.Cells, a.Unjudged)
	}
	for _, s := range a.Spots {
		if s.At[1] > 50.4999 {
			t.Errorf("spot on a void: %v", s.At)
		}
	}
	o = plain()
	o.Areas[0][0] = orb.Ring{{10.981, 50.481}, {11.019, 50.481}, {11.019, 50.519}, {10.981, 50.519}, {10.981, 50.481}}
	if a, err = Search(context.Background(), g, o); err != nil {
		t.Fatal(err)
	}
	for _, s := range a.Spots {
		if s.At[0] > 11.0001 {
			t.Errorf("spot beyond the terrain: %v", s.At)
		}
	}
}

// No spot on a neighbour's own foot; a must out of range is an error, not a
// wish forgotten.
func TestNeighboursInAndOutOfTheGround(t *testing.T) {
	o := plain()
	o.Neighbours[1].At = orb.Point{10.5, 50.5}
	o.Areas[0][0] = orb.Ring{{10.499, 50.499}, {10.501, 50.499}, {10.501, 50.501}, {10.499, 50.501}, {10.499, 50.499}}
	a, err := Search(context.Background(), flat(10, 50, nil), o)
	if err != nil {
		t.Fatal(err)
	}
	if a.Cells != 0 || len(a.Spots) != 0 {
		t.Errorf("%d cells, spots %+v", a.Cells, a.Spots)
	}
	o = plain()
	o.RangeM = 1000
	o.Neighbours[1].At = orb.Point{10.5, 50.5}
	if _, err := Search(context.Background(), flat(10, 50, nil), o); err == nil || !strings.Contains(err.Error(),
		`"west" must be reached`) {
		t.Errorf("error %v", err)
	}
	o = plain()
	o.RangeM, o.AtLeast, o.Neighbours[0].Must = 1000, 2, false
	o.Neighbours[1].At = orb.Point{10.5, 50.5}
	if _, err := Search(context.Background(), flat(10, 50, nil), o); err == nil || !strings.Contains(err.Error(),
		"only 1 neighbours") {
		t.Errorf("error %v", err)
	}
}

// With few cells allowed the answer says how many were left out.
func TestCellsLeftOutAreCounted(t *testing.T) {
	o := bench()
	o.MostCells, o.Top = 10, 3
	a, err := Search(context.Background(), cumberland(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if a.Computed != 10 || a.Left == 0 || len(a.Spots) == 0 {
		t.Errorf("%d computed, %d left, %d spots", a.Computed, a.Left, len(a.Spots))
	}
}

// The limit of the way to a road holds for spots and for the trade.
func TestRoadLimit(t *testing.T) {
	o := bench()
	o.Roads = []orb.LineString{{{-84.25, 36.55}, {-84.245, 36.547}}}
	o.MaxRoadM = 400
	a, err := Search(context.Background(), cumberland(t), o)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Spots) == 0 {
		t.Fatal("no spots")
	}
	for _, s := range a.Spots {
		if s.RoadM == nil || !(*s.RoadM <= 400) || !(denseRoadM(s.At, o.Roads[0]) <= 400.01) {
			t.Errorf("spot %v, road %v", s.At, s.RoadM)
		}
	}
	for _, c := range a.Choices {
		if c.HeightM > 0 && !(roadM(c.At, o.Roads) <= 400) {
			t.Errorf("choice %+v lies %.0f m from the road", c, roadM(c.At, o.Roads))
		}
	}
}
