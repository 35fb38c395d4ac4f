package plan

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

func ptr[T any](v T) *T { return &v }

// byHand is a plan without a fault that never was a file.
func byHand() *Plan {
	return &Plan{
		Stations: []Station{
			{Name: "Ash", At: orb.Point{10, 50}, HeightM: ptr(5.0), Inside: ptr("dense_urban"), Coax: ptr("RG-58"), CoaxM: ptr(3.0), VSWR: ptr(1.5)},
			{Name: "Birch", At: orb.Point{10.01, 50}, Beam: ptr(Sector), AzimuthDeg: ptr(90.0), Status: Proposed},
		},
		Links: []Link{{From: "Ash", To: "Birch", SF: ptr(9), BWKHz: ptr(125.0)}},
		Areas: []Area{{Polygon: orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}}},
		Roads: []Road{{Line: orb.LineString{{0, 0}, {1, 1}}}},
	}
}

func TestValidateByHand(t *testing.T) {
	if err := byHand().Validate(); err != nil {
		t.Fatal(err)
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		change func(*Plan)
		want   string // all of it
	}{
		{func(p *Plan) { *p.Stations[0].Inside = "dense urban" },
			`"Ash": inside: found text "dense urban", allowed "free", "open", "suburban", "wood", "urban", "dense_urban"`},
		{func(p *Plan) { *p.Stations[0].Coax = "RG58/U" },
			`"Ash": coax: found text "RG58/U", allowed "RG-316", "RG-174", "100 class", "RG-58 C/U", "RG-58", "195 class", "240 class", "400 class"`},
		{func(p *Plan) { p.Stations[1].Name = "Ash"; p.Links = nil }, `"Ash": name: found "Ash" again, allowed once`},
		{func(p *Plan) { p.Stations[1].Name = ""; p.Links = nil }, `"Stations[1]": name: missing, allowed text: every Point is a station`},
		{func(p *Plan) { p.Stations[1].Name = "Bir\nch"; p.Links = nil },
			`"Bir\nch": name: found the control character U+000A in "Bir\nch", allowed text of 1 to 100 characters on one line`},
		{func(p *Plan) { p.Stations[0].At[1] = 95 }, `"Ash": geometry.coordinates: found latitude 95 in [10,95], allowed -90 to 90 deg: longitude first; are they swapped?`},
		{func(p *Plan) { p.Stations[0].At[0] = inf }, `"Ash": geometry.coordinates: found longitude +Inf in [+Inf,50], allowed -180 to 180 deg`},
		{func(p *Plan) { p.Stations[0].At[0] = nan }, `"Ash": geometry.coordinates: found longitude NaN in [NaN,50], allowed -180 to 180 deg`},
		{func(p *Plan) { *p.Stations[0].HeightM = nan }, `"Ash": height_m: found NaN, allowed above 0 to 300 m`},
		{func(p *Plan) { p.Stations[0].Status = 2 }, `"Ash": status: found text "status 2", allowed "standing", "proposed"`},
		{func(p *Plan) { p.Stations[1].AzimuthDeg = nil }, `"Birch": azimuth_deg: missing, needed with beam "sector": 0 to 360 deg`},
		{func(p *Plan) { p.Stations[0].CoaxM = nil }, `"Ash": coax_m: missing, needed with coax: 0 to 200 m`},
		{func(p *Plan) { p.Links[0].To = "Birhc" }, `"Ash - Birhc": to: found "Birhc", allowed the name of a station; did you mean "Birch"?`},
		{func(p *Plan) { p.Links[0].To = "" }, `"Links[0]": to: missing, allowed the name of a station`},
		{func(p *Plan) { p.Links[0].To = "Ash" }, `"Ash - Ash": to: found "Ash" at both ends, allowed two different stations`},
		{func(p *Plan) { p.Links = append(p.Links, Link{From: "Birch", To: "Ash"}) },
			`"Birch - Ash": found a second link between "Birch" and "Ash", allowed one`},
		{func(p *Plan) { *p.Links[0].SF = 13 }, `"Ash - Birch": sf: found 13, allowed a whole number 5 to 12`},
		{func(p *Plan) { *p.Links[0].BWKHz = 124 },
			`"Ash - Birch": bw_khz: found 124, allowed one of the numbers 7.8 10.4 15.6 20.8 31.25 41.7 62.5 125 250 500 kHz`},
		{func(p *Plan) { p.Areas[0].Polygon = nil }, `"Areas[0]": geometry.coordinates: found no ring, allowed 1 or more`},
		{func(p *Plan) { p.Areas[0].Polygon[0][3] = orb.Point{0, 1} },
			`"Areas[0]": geometry.coordinates[0]: found an open ring (first [0 0], last [0 1]), allowed one that ends where it begins`},
		{func(p *Plan) { p.Roads[0].Line[1][1] = -91 },
			`"Roads[0]": geometry.coordinates[1]: found latitude -91 in [1,-91], allowed -90 to 90 deg: longitude first; are they swapped?`},
	} {
		p := byHand()
		c.change(p)
		err := p.Validate()
		var place *FieldError
		if err == nil || err.Error() != c.want || !errors.As(err, &place) || !errors.Is(err, fault.ErrInput) {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// All faults come at once, and each value is found.
func TestValidateListsAll(t *testing.T) {
	p := byHand()
	p.Stations[0].At[1], *p.Stations[0].VSWR, *p.Stations[1].Beam, *p.Links[0].SF = 95, 0.5, "dish", 4
	err := p.Validate()
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok || len(joined.Unwrap()) != 4 {
		t.Fatalf("%v, want 4 faults", err)
	}
	var value *fault.FieldError
	if !errors.As(err, &value) || value.Field != "vswr" || value.Got != 0.5 || value.Min != 1 || value.Max != 10 {
		t.Errorf("%+v", value)
	}
	if err := (*Plan)(nil).Validate(); err == nil || !errors.Is(err, fault.ErrInput) {
		t.Errorf("no plan: %v", err)
	}
}

// What is read is valid, and what was changed since is told by its feature.
func TestValidateAfterRead(t *testing.T) {
	p := mustRead(t, kept)
	if err := p.Validate(); err != nil {
		t.Fatal(err)
	}
	p.Stations[1].HeightM = &[]float64{-1}[0]
	if err := p.Validate(); err == nil || !strings.Contains(err.Error(),
		`plan.geojson: feature 3 ("Fox Hill"): height_m: found -1`) {
		t.Error(err)
	}
}
