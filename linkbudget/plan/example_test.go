package plan_test

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/plan"
)

const ridge = `{"type": "FeatureCollection", "features": [
  {"type": "Feature", "properties": {"name": "Old Mill", "height_m": 6.5, "tx_dbm": 22, "owner": "the miller"},
   "geometry": {"type": "Point", "coordinates": [-84.25, 36.50]}},
  {"type": "Feature", "properties": {"name": "Fox Hill", "status": "proposed"},
   "geometry": {"type": "Point", "coordinates": [-84.10, 36.60]}},
  {"type": "Feature", "properties": {"from": "Old Mill", "to": "Fox Hill", "sf": 9},
   "geometry": {"type": "LineString", "coordinates": [[-84.25, 36.50], [-84.10, 36.60]]}}
]}`

func ExampleRead() {
	p, err := plan.Read("ridge.geojson", []byte(ridge))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range p.Stations {
		height := "height from the settings"
		if s.HeightM != nil {
			height = fmt.Sprintf("%g m above ground", *s.HeightM)
		}
		fmt.Printf("%s (%s), %s\n", s.Name, s.Status, height)
	}
	for _, l := range p.Links {
		fmt.Printf("%s to %s, SF%d, required %v\n", l.From, l.To, *l.SF, l.Required)
	}
	// Output:
	// Old Mill (standing), 6.5 m above ground
	// Fox Hill (proposed), height from the settings
	// Old Mill to Fox Hill, SF9, required true
}

// All faults come at once, each with its place and what is allowed.
func ExampleRead_faults() {
	_, err := plan.Read("ridge.geojson", []byte(`{"type": "FeatureCollection", "features": [
	  {"type": "Feature", "properties": {"name": "Old Mill", "height_m": -2, "beam": "dish"},
	   "geometry": {"type": "Point", "coordinates": [-33.50, 151.25]}},
	  {"type": "Feature", "properties": {"from": "Old Mill", "to": "Old Mil"},
	   "geometry": {"type": "LineString", "coordinates": [[-84.25, 36.50], [-84.10, 36.60]]}}
	]}`))
	fmt.Println(err)
	// Output:
	// ridge.geojson: feature 0 ("Old Mill"): geometry.coordinates: found latitude 151.25 in [-33.50,151.25], allowed -90 to 90 deg: longitude first; are they swapped?
	// ridge.geojson: feature 0 ("Old Mill"): height_m: found -2, allowed above 0 to 300 m
	// ridge.geojson: feature 0 ("Old Mill"): beam: found text "dish", allowed "omni", "sector"
	// ridge.geojson: feature 1 ("Old Mill - Old Mil"): to: found "Old Mil", allowed the name of a station; did you mean "Old Mill"?
}

func ExamplePlan_GeoJSON() {
	p, err := plan.Read("ridge.geojson", []byte(ridge))
	if err != nil {
		fmt.Println(err)
		return
	}
	fox, _ := p.Station("Fox Hill")
	height := 8.0
	fox.HeightM = &height
	out, err := p.GeoJSON()
	fmt.Printf("%s%v\n", out, err)
	// Output:
	// {"type":"FeatureCollection","features":[
	// {"type":"Feature","properties":{"name":"Old Mill","height_m":6.5,"tx_dbm":22,"owner":"the miller"},"geometry":{"type":"Point","coordinates":[-84.25,36.50]}},
	// {"type":"Feature","properties":{"name":"Fox Hill","status":"proposed","height_m":8},"geometry":{"type":"Point","coordinates":[-84.10,36.60]}},
	// {"type":"Feature","properties":{"from":"Old Mill","to":"Fox Hill","sf":9},"geometry":{"type":"LineString","coordinates":[[-84.25,36.50],[-84.10,36.60]]}}
	// ]}
	// <nil>
}

// What the file leaves out comes from the settings.
func ExampleSettings_Resolve() {
	p, err := plan.Read("ridge.geojson", []byte(ridge))
	if err != nil {
		fmt.Println(err)
		return
	}
	settings := plan.Settings{Station: linkbudget.DefaultStation("", 4)}
	for i := range p.Stations {
		st, err := settings.Resolve(&p.Stations[i])
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: antenna at %.1f m, %.0f dBm\n", st.Name, st.HeightM, st.TxDBm)
	}
	// Output:
	// Old Mill: antenna at 6.5 m, 22 dBm
	// Fox Hill: antenna at 4.0 m, 14 dBm
}

func ExampleKeys() {
	for _, k := range plan.Keys() {
		if k.Feature == "Point" && k.Words == nil && k.Limits.Unit == "m" {
			fmt.Printf("%s, %s: %s\n", k.Name, k.Allowed(), k.Doc)
		}
	}
	// Output:
	// height_m, above 0 to 300 m: antenna above ground
	// clutter_top_m, 0 to 100 m: height of that clutter; 0: that of the class
	// wood_m, 0 to 2000 m: wood in front of the antenna
	// coax_m, 0 to 200 m: length of the cable, with coax
}

// A plan put together by hand is checked like a file.
func ExamplePlan_Validate() {
	height, inside := 5.0, "dense urban"
	p := &plan.Plan{Stations: []plan.Station{{Name: "Old Mill", At: [2]float64{-84.25, 95}, HeightM: &height,
		Inside: &inside}}}
	fmt.Println(p.Validate())
	// Output:
	// "Old Mill": inside: found text "dense urban", allowed "free", "open", "suburban", "wood", "urban", "dense_urban"
	// "Old Mill": geometry.coordinates: found latitude 95 in [-84.25,95], allowed -90 to 90 deg: longitude first; are they swapped?
}
