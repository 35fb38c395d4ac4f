package plan

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawPlan draws a plan file that is right: known and unknown keys in any
// order, every kind of feature, foreign members, numbers in any notation.
func drawPlan(t *rapid.T) string {
	stations := rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-zé<"\\ ]{0,8}[a-z]`), 1, 6, rapid.ID).Draw(t, "names")
	var features []string
	for _, name := range stations {
		features = append(features, feature(drawObject(t, name, &stationKeys.keySet),
			fmt.Sprintf(`{"type":"Point","coordinates":%s}`, drawPosition(t))))
	}
	for i := 1; i < len(stations); i++ {
		if rapid.Bool().Draw(t, "linked") {
			props := drawObject(t, "", &linkKeys.keySet)
			props = fmt.Sprintf(`{"from":%s,"to":%s`, quoteJSON(stations[i-1]), quoteJSON(stations[i])) +
				strings.TrimSuffix(","+props[1:], ",}")
			if !strings.HasSuffix(props, "}") {
				props += "}"
			}
			features = append(features, feature(props, fmt.Sprintf(`{"type":"LineString","coordinates":[%s,%s]}`,
				drawPosition(t), drawPosition(t))))
		}
	}
	if rapid.Bool().Draw(t, "area") {
		a := drawPosition(t)
		features = append(features, feature(drawObject(t, "Ridge", &areaKeys.keySet),
			fmt.Sprintf(`{"type":"Polygon","coordinates":[[%s,%s,%s,%s]],"x":{}}`, a, drawPosition(t), drawPosition(t), a)))
	}
	if rapid.Bool().Draw(t, "cover") {
		x := rapid.Float64Range(-180, 0).Draw(t, "west")
		features = append(features, feature(drawObject(t, "Barn", &coverKeys.keySet),
			fmt.Sprintf(`{"type":"Polygon","coordinates":[[[%[1]g,1],[%[2]g,1.50],[%[2]g,2],[%[1]g,1]]]}`, x, x+1)))
	}
	features = rapid.Permutation(features).Draw(t, "order")
	return `{"x":[1,{}],"features":[` + strings.Join(features, " ,\n") + `],"type":"FeatureCollection"}`
}

func drawPosition(t *rapid.T) string {
	return fmt.Sprintf("[%v, %v]", rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-90, 90).Draw(t,
		"lat"))
}

func drawObject(t *rapid.T, name string, keys *keySet) string {
	allowed := map[string][]string{
		"status": {`"standing"`, `"proposed"`, "null"}, "height_m": {"6", "6.50", "1e1", "null", `"6 m"`, `" 6.5"`, `""`},
		"tx_dbm":   {"14", "-0", "2.2E+1"},
		"gain_dbi": {"0", "-3.0"}, "feed_loss_db": {"0.4"}, "hardware_db": {"1.5"}, "noise_figure_db": {"6"},
		"noise_rise_db": {"3"}, "tilt_deg": {"-2"},
		"beam": {`"omni"`, "null"}, "azimuth_deg": {"271.5"}, "polarisation": {`"vertical"`, `"horizont\u0061l"`},
		"inside": {`"wood"`, `"Free"`, `" dense urban "`}, "vswr": {`""`, `"1.5"`},
		"required": {"true", "false", "null", `"No"`, "1"}, "sf": {"7", "12.0", `"SF9"`}, "cr": {"5", "8", `"4/5"`},
		"bw_khz":   {"62.5", "1.25e2"},
		"freq_mhz": {"868.1"}, "stands": {`"wood"`, `"Dense Urban"`}, "top_m": {"12.0", `"8 m"`, "null"},
		"panel_w": {"6"}, "note": {`{"a":[1,2,{"b":null}]}`, `"é \ud83d\ude00 <&>"`}, "ele": {"3"},
	}
	var parts []string
	if name != "" {
		parts = append(parts, `"name":`+quoteJSON(name))
	}
	names := []string{"panel_w", "note", "ele"}
	for _, k := range keys.list {
		names = append(names, k.Name)
	}
	for _, key := range names {
		words := allowed[key]
		if keys == &areaKeys.keySet && key == "status" {
			words = []string{`"searchable"`}
		}
		if len(words) > 0 && rapid.Bool().Draw(t, key) {
			parts = append(parts, fmt.Sprintf("%q: %s", key, rapid.SampledFrom(words).Draw(t, "value")))
		}
	}
	if len(parts) > 1 {
		parts = rapid.Permutation(parts).Draw(t, "parts")
	}
	return "{" + strings.Join(parts, ",") + "}"
}

func quoteJSON(s string) string {
	b, _ := json.Marshal(s)
	return string(b)
}

// What was read, written and read again is the same plan, kept text included,
// and written once more gives the same bytes.
func TestRoundTripProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		file := drawPlan(t)
		p, err := Read("plan.geojson", []byte(file))
		if err != nil {
			t.Fatalf("%v\n%s", err, file)
		}
		if problem := roundTrip(p, []byte(file)); problem != "" {
			t.Fatalf("%s\n%s", problem, file)
		}
	})
}

// FuzzRead: never a panic; faults have a text; a plan that reads is within its
// ranges as far as they can be told from here, writes, and reads back equal.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{"", "\uFEFF{}", kept, ridgeSeed, drawn, barn,
		collection(point("Old Mill", `"height_m":"12"`),
			line(`{"from":"Old Mil","to":"Old Mill"}`)),
		collection(pointAt(`[1,2,3]`), ground(`[[[0,0],[1,0],[1,1],[0,0]]]`)), `{"a":NaN}`,
		`{"type":"FeatureCollection","features":[[[[null]]]]}`,
		collection(point("A", `"a\u0062":{"\\":"\"","x":[]},"Height":-0`))} {
		f.Add([]byte(seed))
	}
	f.Fuzz(checkRead)
}

// ridgeSeed is right and has every kind of feature.
var ridgeSeed = collection(point("A", `"height_m":6`), point("B", ""), line(`{"from":"A","to":"B","sf":9}`),
	ground(`[[[0,0],[1,0],[1,1],[0,0]]]`))

// FuzzFeature keeps the frame right and lets the fuzzer at what stands in it:
// bytes changed at random in a whole file hardly ever leave a plan to write.
func FuzzFeature(f *testing.F) {
	f.Add(`"height_m":6.50,"x":[{}]`, "-84.25,36.5", `"sf":9.0`, `"id":7,"bbox":[0,0,0,0]`)
	f.Add(`"status":"proposed","beam":"sector","azimuth_deg":2e2`, "-0,1e-7", `"bw_khz":62.5,"cr":8`, `"a\u0062":"\ud800"`)
	f.Add(`"panel_w":null,"Height":1`, "180,-90", `"required":false,"freq_mhz":868.1`, `"é":{"\\":"\""}`)
	f.Fuzz(func(t *testing.T, station, position, link, foreign string) {
		comma := func(s string) string {
			if s == "" {
				return ""
			}
			return s + ","
		}
		checkRead(t, []byte(`{`+comma(foreign)+`"type":"FeatureCollection","features":[
			{`+comma(foreign)+`"type":"Feature","properties":{`+comma(station)+`"name":"A"},"geometry":{`+comma(foreign)+`"type":"Point","coordinates":[`+position+`]}},
			{"type":"Feature","properties":{"name":"B"},"geometry":{"type":"Point","coordinates":[1,2]}},
			{"type":"Feature","properties":{`+comma(link)+`"from":"A","to":"B"},"geometry":{"type":"LineString","coordinates":[[`+position+`],[1,2]]}}]}`))
	})
}

func checkRead(t *testing.T, data []byte) {
	p, err := Read("plan.geojson", data)
	if err != nil {
		if p != nil || err.Error() == "" {
			t.Fatalf("plan %v with error %q", p, err)
		}
		return
	}
	for i := range p.Stations {
		s := &p.Stations[i]
		if s.Name == "" || !longitudeDeg.Hold(s.At[0]) || !latitudeDeg.Hold(s.At[1]) || s.HeightM != nil &&
			!(*s.HeightM > 0 && *s.HeightM <= 300) {
			t.Fatalf("passed as right: %+v", s)
		}
		if found, ok := p.Station(s.Name); !ok || found != s {
			t.Fatalf("station %q is not found", s.Name)
		}
	}
	for _, l := range p.Links {
		if _, ok := p.Station(l.From); !ok || l.From == l.To || len(l.Line) < 2 {
			t.Fatalf("passed as right: %+v", l)
		}
	}
	if err := p.Validate(); err != nil {
		t.Fatalf("read, yet not valid: %v", err)
	}
	if problem := roundTrip(p, data); problem != "" {
		t.Fatal(problem)
	}
}
