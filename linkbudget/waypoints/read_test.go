package waypoints

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// The shapes are those of the schemas of GPX 1.1 (topografix.com/GPX/1/1/gpx.xsd) and of
// KML 2.3 (OGC 12-007r2 section 9 and 10), and of tables as spreadsheets save them.
var good = map[string]string{
	"GPX": `<?xml version="1.0" encoding="UTF-8"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
<metadata><name>Sunday walk</name></metadata>
<wpt lat="36.5565" lon="-84.2405"><ele>991.2</ele><time>2026-01-01T00:00:00Z</time><name>Old Mill</name><sym>Flag</sym></wpt>
<wpt lon="-84.1" lat="36.6"><name> Fox &amp; Hill </name><extensions><a:name xmlns:a="x">other</a:name></extensions></wpt>
<wpt lat="36.7" lon="-84.3"/>
<trk><name>Track</name><trkseg><trkpt lat="1" lon="2"><name>no</name></trkpt></trkseg></trk></gpx>`,
	"KML": `<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Sunday walk</name><Folder><name>Poles</name>
<Placemark><name>Old Mill</name><Style><name>s</name></Style><Point><coordinates>-84.2405,36.5565,991.2</coordinates></Point></Placemark>
<Placemark><name>way</name><LineString><coordinates>1,2 3,4</coordinates></LineString></Placemark>
<Placemark><Point><altitudeMode>absolute</altitudeMode><coordinates> -84.1,36.6 </coordinates></Point><name>Fox &amp; Hill</name></Placemark>
</Folder><Placemark><Point><coordinates>-84.3,36.7</coordinates></Point></Placemark></Document></kml>`,
	"CSV":        "name,lat,lon,note\nOld Mill,36.5565,-84.2405,\"a, b\"\nFox & Hill,36.6,-84.1,\n,36.7,-84.3,\n",
	"semicolons": "\ufeffLatitude;Longitude;Name\n36,5565;-84,2405;Old Mill\r\n36,6;-84,1;Fox & Hill\n36,7;-84,3;\n",
	"tabs":       "X\tY\tLabel\n-84.2405\t36.5565\tOld Mill\n-84.1\t36.6\tFox & Hill\n-84.3\t36.7\t\n",
}

func TestRead(t *testing.T) {
	want := []Waypoint{{"Old Mill", orb.Point{-84.2405, 36.5565}}, {"Fox & Hill", orb.Point{-84.1, 36.6}},
		{"", orb.Point{-84.3, 36.7}}}
	for what, text := range good {
		if got, err := Read([]byte(text)); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v, %v", what, got, err)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string][]string{
		"": {"found no waypoint"},
		`<gpx><trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>`: {"found tracks or lines and no waypoint"},
		`<gpx><wpt lat="1" lon="2"/><wpt lat="91" lon="2"><name>High</name></wpt><wpt lat="x"/></gpx>`: {
			`waypoint 2 "High": latitude: found 91`, `waypoint 3 "": found longitude "" and latitude "x"`},
		`<gpx><wpt lat="1" lon="2">`:                                                    {"broken XML after 0 waypoints"},
		`<?xml version="1.0" encoding="UTF-16"?><gpx></gpx>`:                            {"UTF-16"},
		`<kml><Placemark><Point><coordinates>5</coordinates></Point></Placemark></kml>`: {`latitude ""`},
		`{"type":"FeatureCollection"}`:                                                  {"is a plan already"},
		"PK\x03\x04rest":                                                                {"unpack it"},
		"a,b\n1,2\n":                                                                    {`found the columns ["a" "b"], allowed a head with lon`},
		"lat,lon\n1,NaN\n2,1e9\n":                                                       {"row 2", "row 3"},
		"lat,lon\n\"1,2\n":                                                              {"found no table"},
		"lat,lon\n":                                                                     {"found no waypoint"},
	} {
		got, err := Read([]byte(text))
		if err == nil || got != nil || !errors.Is(err, fault.ErrInput) {
			t.Errorf("%q: %v, %v", text, got, err)
			continue
		}
		for _, w := range want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q: no %q in %v", text, w, err)
			}
		}
	}
}

// Whatever is read, every waypoint lies on the earth, or the file is refused as input.
func FuzzRead(f *testing.F) {
	for _, text := range good {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := Read(data)
		if err != nil && (list != nil || !errors.Is(err, fault.ErrInput)) || err == nil && len(list) == 0 {
			t.Fatalf("%d waypoints, %v", len(list), err)
		}
		for _, w := range list {
			if !(w.At[1] >= -90 && w.At[1] <= 90 && w.At[0] >= -360 && w.At[0] <= 360) {
				t.Fatalf("%v", w)
			}
		}
	})
}
