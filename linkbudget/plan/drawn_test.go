package plan

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// drawn is what drawing tools and table editors make: altitudes, parts, text, their own names.
var drawn = `{"type":"FeatureCollection","features":[
{"type":"Feature","id":"x.1","properties":{"Name":"Mast","height_m":"6 m","status":"Proposed"},"geometry":{"type":"Point","coordinates":[10,50,312.5]}},
{"type":"Feature","id":"x.2","properties":{"Name":"Mast","height_m":"","inside":"Dense Urban"},"geometry":{"type":"MultiPoint","coordinates":[[10.1,50,0]]}},
{"type":"Feature","properties":{"fid":7,"name":""},"geometry":{"type":"Point","coordinates":[10.2,50]}},
{"type":"Feature","id":"x.4","properties":null,"geometry":{"type":"Point","coordinates":[10.3,50]}},
{"type":"Feature","properties":{"name":12},"geometry":{"type":"Point","coordinates":[10.4,50]}},
{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[10.5,50]}},
{"type":"Feature","properties":{"from":null,"required":"no","sf":"SF9"},"geometry":{"type":"MultiLineString","coordinates":[[[10.0001,50,1],[10.05,50.1,2],[10.1,50.0002,3]]]}},
{"type":"Feature","properties":{"from":12,"to":"Pole 6"},"geometry":{"type":"LineString","coordinates":[[0,0],[1,1]]}},
{"type":"Feature","properties":{"label":"Common","status":"SEARCHABLE"},"geometry":{"type":"MultiPolygon","coordinates":[[[[10,50],[10.1,50],[10.1,50.1],[10,50]]]]}}
]}`

func TestReadAsDrawn(t *testing.T) {
	p := mustRead(t, drawn)
	var names []string
	for _, s := range p.Stations {
		names = append(names, s.Name)
	}
	if d := cmp.Diff([]string{"Mast (1)", "Mast (2)", "7", "x.4", "12", "Pole 6"}, names); d != "" {
		t.Error(d)
	}
	a, b, l := p.Stations[0], p.Stations[1], p.Links[0]
	if *a.HeightM != 6 || a.Status != Proposed || a.At != [2]float64{10, 50} || b.HeightM != nil || *b.Inside != "dense_urban" ||
		l.From != "Mast (1)" || l.To != "Mast (2)" || l.Required || *l.SF != 9 || p.Links[1].From != "12" || p.Areas[0].Name != "Common" {
		t.Errorf("%+v\n%+v\n%+v\n%+v", a, b, l, p.Areas)
	}
	// 0.0001 degrees of longitude at 50 degrees are 7.2 m, 0.0002 of latitude 22.2 m.
	want := []string{
		`plan.geojson: altitudes are not used: antennas are as high as height_m says, above ground, never as the altitude says: feature 0 ("Mast"), feature 1 ("Mast"), feature 6`,
		`plan.geojson: Multi geometries of one part are taken for the part: feature 1 ("Mast"), feature 6, feature 8 ("Common")`,
		`plan.geojson: numbers given as text are taken for the numbers: feature 0 ("Mast") in height_m, text "6 m", feature 6 in sf, text "SF9"`,
		`plan.geojson: text, 0 and 1 are taken for true and false: feature 6 in required, text "no"`,
		`plan.geojson: numbers are taken for names: feature 4 ("12") in name, 12, feature 7 ("12 - Pole 6") in from, 12`,
		`plan.geojson: words in other letters or separators are taken for ours: feature 0 ("Mast") in status, text "Proposed", feature 1 ("Mast") in inside, text "Dense Urban", feature 8 ("Common") in status, text "SEARCHABLE"`,
		`plan.geojson: empty text is taken for a value that is not given: feature 1 ("Mast") in height_m, feature 2 ("7") in name`,
		`plan.geojson: features without "name" are named by what else they say: feature 8 ("Common") by label, feature 0 ("Mast") by Name, feature 1 ("Mast") by Name and 2 more`,
		`plan.geojson: Points without "name" are numbered in the order of the file, from 1: feature 5 ("Pole 6")`,
		`plan.geojson: names that would stand twice are numbered: feature 0 ("Mast") as "Mast (1)", feature 1 ("Mast") as "Mast (2)"`,
		`plan.geojson: LineStrings without from and to link the stations within 50 m of their ends: feature 6 "Mast (1)" (7 m) to "Mast (2)" (22 m)`,
	}
	if d := cmp.Diff(want, p.Warnings); d != "" {
		t.Error(d)
	}
	if problem := roundTrip(p, []byte(drawn)); problem != "" {
		t.Error(problem)
	}
	out := string(mustWrite(t, p))
	for _, kept := range []string{`"coordinates":[10,50,312.5]`, `"height_m":"6 m"`, `"type":"MultiPoint"`, `"name":12`,
		`"from":"Mast (1)"`, `"name":"Mast (2)"`, `"required":"no"`} {
		if !strings.Contains(out, kept) {
			t.Errorf("%s is missing in %s", kept, out)
		}
	}
	p.Stations[1].At[0] = 10.11
	if out = string(mustWrite(t, p)); !strings.Contains(out, `{"type":"Point","coordinates":[10.11,50]}`) {
		t.Errorf("a moved part is not written as one: %s", out)
	}
}

// A number in text is one in digits, behind it the unit of the key and no other.
func TestNumbersInText(t *testing.T) {
	s := mustRead(t, collection(point("A", `"panel_w":" 6 ","cell_mah":"","cells":"two","owner":"7"`))).Stations[0]
	for key, want := range map[string]string{"panel_w": "6", "cell_mah": "", "cells": `"two"`, "owner": `"7"`} {
		if raw, ok := s.Property(key); string(raw) != want || ok != (want != "") {
			t.Errorf("%s: %s, %v, want %s", key, raw, ok, want)
		}
	}
	for text, want := range map[string]float64{"6": 6, " 6.5 ": 6.5, "6 m": 6, "6m": 6, "6 M": 6, "+6": 6, ".5": 0.5, "6e0": 6} {
		p, err := Read("", []byte(collection(point("A", `"height_m":`+quoteJSON(text)))))
		if err != nil || *p.Stations[0].HeightM != want {
			t.Errorf("%q: %v", text, err)
		}
	}
	for text, want := range map[string]string{
		"6,5": "write a point for the comma", "20 ft": "write the number in m (metres: 0.3048 times feet)", "6 km": "write the number in m",
		"600 cm": "write the number in m (metres)", "1.200,50": "write the number in m", "0x10": "write the number in m", "1_0": "write the number in m",
		"6 dBm": "write the number in m", "5-7": "write the number in m", "NaN": "a number above 0", "inf": "a number above 0", "six": "a number above 0",
		"500 m": "found 500, allowed above 0 to 300 m", "1e999": "allowed a number above 0", "6'": "write the number in m",
	} {
		if _, err := Read("", []byte(collection(point("A", `"height_m":`+quoteJSON(text))))); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", text, err, want)
		}
	}
	if _, err := Read("", []byte(collection(point("A", `"gain_dbi":"3 dBd"`)))); err == nil ||
		!strings.Contains(err.Error(), "2.15 more than dBd") {
		t.Error(err)
	}
}

// An end that may mean no station or one of several is refused, with the ways out.
func TestEndsThatMeanNoStation(t *testing.T) {
	mast := func(name, at string) string {
		return feature(`{"name":"`+name+`"}`, `{"type":"Point","coordinates":`+at+`}`)
	}
	drawnLine := func(coordinates string) string {
		return feature(`{"stroke":"red"}`, `{"type":"LineString","coordinates":`+coordinates+`}`)
	}
	for line, want := range map[string][]string{
		`[[10,50],[10.1,50.0005]]`:  {"the end of the line (10.10000, 50.00050) has no station within 50 m", `"road": true`, `"wanted": false`},
		`[[10.2,50],[10.1,50]]`:     {`the beginning of the line has two stations about as near, "C" and "D"`},
		`[[10.20001,50],[10.1,50]]`: {"two stations about as near"},
		`[[10,50],[10.00005,50]]`:   {`the end of the line is the same station "A"`},
		`[[0,0],[1,1]]`:             {"the beginning of the line (0.00000", "the end of the line (1.00000"},
	} {
		_, err := Read("", []byte(collection(mast("A", "[10,50]"), mast("B", "[10.1,50]"), mast("C", "[10.2,50]"), mast("D", "[10.2,50]"),
			drawnLine(line))))
		for _, w := range want {
			if err == nil || !strings.Contains(err.Error(), w) {
				t.Errorf("%s: %v, want %s", line, err, w)
			}
		}
	}
	for _, one := range []string{`"from":"A"`, `"to":"B"`} {
		_, err := Read("", []byte(collection(mast("A", "[10,50]"), mast("B", "[10.1,50]"),
			feature(`{`+one+`}`, `{"type":"LineString","coordinates":[[10,50],[10.1,50]]}`))))
		if err == nil || !strings.Contains(err.Error(), "missing, allowed the name of a station") {
			t.Errorf("%s: %v", one, err)
		}
	}
	p := mustRead(t, collection(mast("A", "[10,50]"), mast("B", "[10.1,50]"), mast("C", "[10.0001,50]"),
		drawnLine(`[[10.00002,50],[10.1004,50]]`), feature(`{"from":"C","to":"B"}`, `{"type":"LineString","coordinates":[[10,50],[10.1,50]]}`)))
	if l := p.Links[0]; l.From != "A" || l.To != "B" || p.Links[1].From != "C" {
		t.Errorf("%+v", p.Links)
	}
}

// A heap of stations on one spot costs no more than its size.
func TestManyStationsAtAnEnd(t *testing.T) {
	var features []string
	for range mostAround + 1 {
		features = append(features, feature(`{}`, `{"type":"Point","coordinates":[10,50]}`))
	}
	_, err := Read("", []byte(collection(append(features, feature(`{}`, `{"type":"LineString","coordinates":[[10,50],[10.1,50]]}`))...)))
	if err == nil || !strings.Contains(err.Error(), "the beginning of the line has more than 1000 stations around: draw it to a station") {
		t.Error(err)
	}
}
