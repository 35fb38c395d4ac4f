package plan

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// The allowed values in these tables are those of the plan file's description
// (Keys), typed in by hand; the JSON and GeoJSON rules are those of RFC 8259
// and RFC 7946, named where they apply.

// faultsOf reads a file and returns its faults, failing if there are none.
func faultsOf(t *testing.T, file string) []*FieldError {
	t.Helper()
	p, err := Read("plan.geojson", []byte(file))
	if err == nil {
		t.Fatalf("read without a fault: %s", file)
	}
	if p != nil {
		t.Errorf("a plan came with the error")
	}
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		t.Fatalf("%T is not joined", err)
	}
	var list []*FieldError
	for i, e := range joined.Unwrap() {
		var f *FieldError
		if i == MaxFaults && strings.HasSuffix(e.Error(), " faults") {
			break // how many more there are
		}
		if !errors.As(e, &f) {
			t.Fatalf("%T is no *FieldError: %v", e, e)
		}
		list = append(list, f)
	}
	return list
}

// collection wraps features; point, line and ground are one feature each.
func collection(features ...string) string {
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
}

func feature(properties, geometry string) string {
	return `{"type":"Feature","properties":` + properties + `,"geometry":` + geometry + `}`
}

func point(name, extra string) string {
	if extra != "" {
		extra = "," + extra
	}
	return feature(fmt.Sprintf(`{"name":%q%s}`, name, extra), `{"type":"Point","coordinates":[-84.25,36.5]}`)
}

func pointAt(coordinates string) string {
	return feature(`{"name":"Old Mill"}`, `{"type":"Point","coordinates":`+coordinates+`}`)
}

func line(properties string) string {
	return feature(properties, `{"type":"LineString","coordinates":[[-84.25,36.5],[-84.2,36.6]]}`)
}

func ground(coordinates string) string {
	return feature(`{"name":"Ridge"}`, `{"type":"Polygon","coordinates":`+coordinates+`}`)
}

// check compares the only fault of a file with what it must say.
func check(t *testing.T, file string, featureIndex int, name, key, problem string) {
	t.Helper()
	list := faultsOf(t, file)
	if len(list) != 1 {
		t.Errorf("%d faults, want 1: %v", len(list), list)
	}
	want := FieldError{"plan.geojson", featureIndex, name, key, problem, nil}
	got := *list[0]
	if got.Value = nil; got != want {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
}

func TestFieldErrorText(t *testing.T) {
	for _, c := range []struct {
		err  FieldError
		want string
	}{
		{FieldError{"plan.geojson", 3, "Old Mill", "height_m", "found -2, allowed above 0 to 300 m", nil},
			`plan.geojson: feature 3 ("Old Mill"): height_m: found -2, allowed above 0 to 300 m`},
		{FieldError{"plan.geojson", 0, "", "geometry", "found null", nil}, "plan.geojson: feature 0: geometry: found null"},
		{FieldError{"plan.geojson", -1, "", "", "found an empty file", nil}, "plan.geojson: found an empty file"},
		{FieldError{"", 1, "", "a\x1bb", "found twice", nil}, `feature 1: "a\x1bb": found twice`},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

func TestStationFaults(t *testing.T) {
	for _, c := range []struct{ property, key, problem string }{
		{`"height_m":0`, "height_m", "found 0, allowed above 0 to 300 m"},
		{`"height_m":-2`, "height_m", "found -2, allowed above 0 to 300 m"},
		{`"height_m":300.5`, "height_m", "found 300.5, allowed above 0 to 300 m"},
		{`"height_m":1e999`, "height_m", "found 1e999, allowed above 0 to 300 m"},
		{`"height_m":"NaN"`, "height_m", `found text "NaN", allowed a number above 0 to 300 m`},
		{`"height_m":"Infinity"`, "height_m", `found text "Infinity", allowed a number above 0 to 300 m`},
		{`"height_m":true`, "height_m", "found true, allowed a number above 0 to 300 m"},
		{`"height_m":[6]`, "height_m", "found a list, allowed a number above 0 to 300 m"},
		{`"height_m":{"m":6}`, "height_m", "found an object, allowed a number above 0 to 300 m"},
		{`"tx_dbm":-30.1`, "tx_dbm", "found -30.1, allowed -30 to 40 dBm"},
		{`"tx_dbm":41`, "tx_dbm", "found 41, allowed -30 to 40 dBm"},
		{`"gain_dbi":-21`, "gain_dbi", "found -21, allowed -20 to 30 dBi"},
		{`"gain_dbi":31`, "gain_dbi", "found 31, allowed -20 to 30 dBi"},
		{`"feed_loss_db":-1`, "feed_loss_db", "found -1, allowed 0 to 40 dB"},
		{`"feed_loss_db":41`, "feed_loss_db", "found 41, allowed 0 to 40 dB"},
		{`"noise_figure_db":-1`, "noise_figure_db", "found -1, allowed above 0 to 30 dB"},
		{`"noise_figure_db":0`, "noise_figure_db", "found 0, allowed above 0 to 30 dB"},
		{`"noise_figure_db":31`, "noise_figure_db", "found 31, allowed above 0 to 30 dB"},
		{`"hardware_db":-1`, "hardware_db", "found -1, allowed 0 to 40 dB"},
		{`"hardware_db":41`, "hardware_db", "found 41, allowed 0 to 40 dB"},
		{`"noise_rise_db":-1`, "noise_rise_db", "found -1, allowed 0 to 60 dB"},
		{`"noise_rise_db":61`, "noise_rise_db", "found 61, allowed 0 to 60 dB"},
		{`"tilt_deg":-46`, "tilt_deg", "found -46, allowed -45 to 45 deg"},
		{`"tilt_deg":46`, "tilt_deg", "found 46, allowed -45 to 45 deg"},
		{`"azimuth_deg":-1`, "azimuth_deg", "found -1, allowed 0 to 360 deg"},
		{`"azimuth_deg":361`, "azimuth_deg", "found 361, allowed 0 to 360 deg"},
		{`"vertical_beamwidth_deg":0.9`, "vertical_beamwidth_deg", "found 0.9, allowed 1 to 180 deg"},
		{`"vertical_beamwidth_deg":181`, "vertical_beamwidth_deg", "found 181, allowed 1 to 180 deg"},
		{`"beam":"sector"`, "azimuth_deg", `missing, needed with beam "sector": 0 to 360 deg`},
		{`"beam":"sector","azimuth_deg":null`, "azimuth_deg", `missing, needed with beam "sector": 0 to 360 deg`},
		{`"beam":"sector","azimuth":90`, "azimuth", `found a key that is not read, allowed "azimuth_deg"; rename it, or give "azimuth_deg" beside it`},
		{`"beam":"sector","azimuth_deg":"N"`, "azimuth_deg", `found text "N", allowed a number 0 to 360 deg`},
		{`"beam":"dish"`, "beam", `found text "dish", allowed "omni", "sector"`},
		{`"beam":1`, "beam", `found 1, allowed "omni", "sector"`},
		{`"status":"built"`, "status", `found text "built", allowed "standing", "proposed"`},
		{`"polarisation":"circular"`, "polarisation", `found text "circular", allowed "vertical", "horizontal"`},
		{`"inside":"forest"`, "inside", `found text "forest", allowed "free", "open", "suburban", "wood", "urban", "dense_urban"`},
		{`"colour":"red","colour":"blue"`, "colour", "found more than once in one object, allowed once"},
		{`"height_m":5,"height\u005fm":6`, "height_m", "found more than once in one object, allowed once"},
		{`"note":{"deep":[{"a":1,"b":2,"a":3}]}`, "a", "found more than once in one object, allowed once"},
	} {
		t.Run(c.property, func(t *testing.T) {
			check(t, collection(point("Fox Hill", ""), point("Old Mill", c.property)), 1, "Old Mill", c.key, c.problem)
		})
	}
}

func TestRangesIncludeTheirEnds(t *testing.T) {
	for _, property := range []string{`"height_m":0.01`, `"height_m":300`, `"tx_dbm":-30`, `"tx_dbm":40`,
		`"gain_dbi":-20`, `"gain_dbi":30`,
		`"feed_loss_db":0`, `"feed_loss_db":40`, `"noise_figure_db":0.1`, `"noise_figure_db":30`, `"noise_rise_db":0`,
		`"noise_rise_db":60`,
		`"tilt_deg":-45`, `"tilt_deg":45`, `"azimuth_deg":0`, `"azimuth_deg":360`, `"beam":"sector","azimuth_deg":0`,
		`"beam":"omni"`,
		`"status":"proposed"`, `"polarisation":"horizontal"`, `"inside":"dense_urban"`, `"inside":"free"`, `"hardware_db":0`,
		`"hardware_db":40`, `"height_m":null`, `"status":null`, `"height_m":3e1`} {
		if _, err := Read("", []byte(collection(point("Old Mill", property)))); err != nil {
			t.Errorf("%s: %v", property, err)
		}
	}
}

func TestNameFaults(t *testing.T) {
	const allowed = ", allowed text of 1 to 100 characters on one line"
	pointWith := func(properties string) string {
		return feature(properties, `{"type":"Point","coordinates":[-84.25,36.5]}`)
	}
	for _, c := range []struct{ properties, key, problem string }{
		{`{"name":true}`, "name", "found true" + allowed},
		{`{"name":"Old\nMill"}`, "name", `found the control character U+000A in "Old\nMill"` + allowed},
		{`{"name":"` + strings.Repeat("é", 101) + `"}`, "name", "found 101 characters" + allowed},
	} {
		t.Run(c.properties, func(t *testing.T) {
			check(t, collection(point("Fox Hill", ""), pointWith(c.properties)), 1, "", c.key, c.problem)
		})
	}
	check(t, collection(point("Old Mill", ""), point("Fox Hill", ""), point("Old Mill", "")), 2, "Old Mill", "name",
		`found "Old Mill" again, allowed once: feature 0 has it; rename one`)
	if _, err := Read("", []byte(collection(pointWith(`{"name":"`+strings.Repeat("é", 100)+`"}`)))); err != nil {
		t.Errorf("100 characters: %v", err)
	}
}

// Fifty faults in one file, none hidden by another, in the order of the file.
func TestFiftyFaults(t *testing.T) {
	var features []string
	for i := range 25 {
		features = append(features,
			point(fmt.Sprintf("Pole %d", i), fmt.Sprintf(`"height_m":%d,"beam":"dish"`, -1-i)))
	}
	list := faultsOf(t, collection(features...))
	if len(list) != 50 {
		t.Fatalf("%d faults, want 50", len(list))
	}
	for i, f := range list {
		key, problem := "height_m", fmt.Sprintf("found %d, allowed above 0 to 300 m", -1-i/2)
		if i%2 == 1 {
			key, problem = "beam", `found text "dish", allowed "omni", "sector"`
		}
		if f.Value == nil || f.Value.Field != key {
			t.Errorf("fault %d: value %+v", i, f.Value)
		}
		f.Value = nil
		if want := (FieldError{"plan.geojson", i / 2, fmt.Sprintf("Pole %d", i/2), key, problem, nil}); *f != want {
			t.Errorf("fault %d: got %+v, want %+v", i, *f, want)
		}
	}
}

// A faulty station is still a station: links to it are not faults of their own.
func TestFaultsDoNotCascade(t *testing.T) {
	noGeometry := feature(`{"name":"Gate"}`, "null")
	file := collection(point("Old Mill", `"height_m":0`), noGeometry, line(`{"from":"Old Mill","to":"Gate"}`))
	list := faultsOf(t, file)
	if len(list) != 2 || list[0].Key != "height_m" || list[1].Key != "geometry" {
		t.Errorf("want height_m and geometry alone, got %v", list)
	}
}

// A file whose only feature is of no use has that fault, not also no stations.
func TestUnusableFeatureIsOneFault(t *testing.T) {
	check(t, collection(feature(`{"name":"Gate"}`, `{"type":"MultiPoint","coordinates":[[1,2],[3,4]]}`)), 0, "Gate",
		"geometry.type",
		"found MultiPoint of 2 parts, allowed Point (station), LineString (link) or Polygon (ground for a pole): split it "+
			"into single parts, as does "+explode("plan.geojson"))
}

// What a link names is checked last, and reported where the link stands.
func TestFaultsInFileOrder(t *testing.T) {
	list := faultsOf(t, collection(line(`{"from":"Old Mill","to":"Tower"}`), point("Old Mill", `"height_m":0`)))
	if len(list) != 2 || list[0].Feature != 0 || list[0].Key != "to" || list[1].Feature != 1 || list[1].Key != "height_m" {
		t.Errorf("%v", list)
	}
}

func TestLongValuesAreCut(t *testing.T) {
	list := faultsOf(t, collection(point("Old Mill", `"beam":"`+strings.Repeat("x", 1<<20)+`"`)))
	if n := len(list[0].Error()); n > 400 {
		t.Errorf("message of %d bytes", n)
	}
}
