package plan

import "testing"

func TestCollectionFaults(t *testing.T) {
	const allowed = ", allowed a GeoJSON FeatureCollection, as GIS programs export it"
	const anew = " and no FeatureCollection: ogr2ogr -f GeoJSON -t_srs EPSG:4326 plan-wgs84.geojson plan.geojson makes a plan of it"
	for _, c := range []struct{ file, key, problem string }{
		{point("Old Mill", ""), "type", "found a single GeoJSON Feature" + anew},
		{`{"type":"Point","coordinates":[1,2]}`, "type", "found a single GeoJSON Point" + anew},
		{`{"type":"Topology"}`, "type", "found TopoJSON: ogr2ogr -f GeoJSON -t_srs EPSG:4326 plan-wgs84.geojson plan.geojson makes a plan of it"},
		{`{"type":"Plan"}`, "type", `found text "Plan"` + allowed},
		{`{"type":1}`, "type", `found 1` + allowed},
		{`{"features":[]}`, "type", "found an object without a type" + allowed},
		{`[1,2]`, "", "found a list" + allowed},
		{`"plan"`, "", `found text "plan"` + allowed},
		{`null`, "", "found null" + allowed},
		{`12`, "", "found 12" + allowed},
		{`{"type":"FeatureCollection"}`, "features", "found nothing, allowed a list of features: export the file anew"},
		{`{"type":"FeatureCollection","features":null}`, "features", "found nothing, allowed a list of features: export the file anew"},
		{`{"type":"FeatureCollection","features":{}}`, "features", "found an object, allowed a list of features: export the file anew"},
		{collection(), "features", "found no Point among 0 features, allowed 1 or more: a Point is a station; draw the poles, or export their layer with the others"},
		{collection(ground(`[[[0,0],[1,0],[1,1],[0,0]]]`)), "features", "found no Point among 1 features, allowed 1 or more: a Point is a station; draw the poles, or export their layer with the others"},
		{`{"type":"FeatureCollection","note":{"a":1,"a":2},"features":[` + point("Old Mill", "") + `]}`, "a", "found more than once in one object, allowed once"},
		{`{"type":"FeatureCollection","features":[` + point("Old Mill", "") + `],"features":[]}`, "features", "found more than once in one object, allowed once"},
	} {
		t.Run(c.file, func(t *testing.T) {
			check(t, c.file, -1, "", c.key, c.problem)
		})
	}
}

func TestFeatureFaults(t *testing.T) {
	const at = `"geometry":{"type":"Point","coordinates":[1,2]}`
	for _, c := range []struct{ feature, name, key, problem string }{
		{`null`, "", "", "found null, allowed a Feature"},
		{`[]`, "", "", "found a list, allowed a Feature"},
		{`{"properties":{"name":"Old Mill"},` + at + `}`, "Old Mill", "type", `missing, allowed "Feature"`},
		{`{"type":"feature","properties":{"name":"Old Mill"},` + at + `}`, "Old Mill", "type", `found text "feature", allowed "Feature"`},
		{`{"type":"Feature","type":"Feature","properties":{"name":"Old Mill"},` + at + `}`, "Old Mill", "type", "found more than once in one object, allowed once"},
	} {
		t.Run(c.feature, func(t *testing.T) {
			check(t, collection(point("Fox Hill", ""), c.feature), 1, c.name, c.key, c.problem)
		})
	}
	list := faultsOf(t, collection(`{"type":"Feature","properties":"Old Mill",`+at+`}`))
	if len(list) != 1 || list[0].Key != "properties" || list[0].Problem != `found text "Old Mill", allowed an object` {
		t.Errorf("%v", list)
	}
}

func TestReadStation(t *testing.T) {
	p, err := Read("plan.geojson", []byte(collection(
		point("Old Mill", `"status":"proposed","height_m":6.5,"tx_dbm":22,"gain_dbi":5.15,"feed_loss_db":0.4,"hardware_db":1.5,"noise_figure_db":6,
			"noise_rise_db":3,"tilt_deg":-2,"beam":"sector","azimuth_deg":271,"polarisation":"horizontal","inside":"wood","panel_w":6,"cell_ah":null`),
		point("Fox Hill", `"height_m":null`))))
	if err != nil {
		t.Fatal(err)
	}
	s, ok := p.Station("Old Mill")
	if !ok || s != &p.Stations[0] {
		t.Fatal("Old Mill is not found")
	}
	if s.At[0] != -84.25 || s.At[1] != 36.5 || s.Status != Proposed || *s.HeightM != 6.5 || *s.TxDBm != 22 ||
		*s.GainDBi != 5.15 ||
		*s.FeedLossDB != 0.4 || *s.HardwareDB != 1.5 || *s.NoiseFigureDB != 6 || *s.NoiseRiseDB != 3 || *s.TiltDeg != -2 ||
		*s.Beam != Sector ||
		*s.AzimuthDeg != 271 || *s.Polarisation != "horizontal" || *s.Inside != "wood" || s.Feature != 0 {
		t.Errorf("%+v", s)
	}
	if raw, ok := s.Property("panel_w"); !ok || string(raw) != "6" {
		t.Errorf("panel_w: %s, %v", raw, ok)
	}
	if _, ok := s.Property("cell_ah"); ok {
		t.Error("a null counts as given")
	}
	fox, ok := p.Station("Fox Hill")
	if !ok || fox.Status != Standing || fox.HeightM != nil || fox.TxDBm != nil || fox.Beam != nil || fox.Inside != nil ||
		fox.Feature != 1 {
		t.Errorf("%+v", fox)
	}
	if _, ok := p.Station("fox hill"); ok {
		t.Error("names are told apart by case")
	}
	p.Stations[0].Name = "New Mill" // the index of names must not mislead
	if _, ok := p.Station("Old Mill"); ok {
		t.Error("found under its former name")
	}
	if _, ok := p.Station("New Mill"); !ok {
		t.Error("not found under its new name")
	}
	if _, ok := new(Station).Property("panel_w"); ok {
		t.Error("a station made by hand has no properties")
	}
}

// Words read into a plan are copies: changing one station leaves the next alone.
func TestValuesAreNotShared(t *testing.T) {
	file := []byte(collection(point("A", `"beam":"omni","inside":"wood"`), point("B", `"beam":"omni","inside":"wood"`)))
	p, err := Read("", file)
	if err != nil {
		t.Fatal(err)
	}
	*p.Stations[0].Beam, *p.Stations[0].Inside = Sector, "open"
	for i := range file {
		file[i] = 'x' // nor is the caller's text kept
	}
	if *p.Stations[1].Beam != Omni || *p.Stations[1].Inside != "wood" {
		t.Errorf("%+v", p.Stations[1])
	}
	if _, err := Read("", []byte(collection(point("A", `"beam":"omni","inside":"wood"`)))); err != nil {
		t.Error(err)
	}
	for range 2 { // the second time after writing into the first answer
		raw, _ := p.Stations[1].Property("inside")
		if string(raw) != `"wood"` {
			t.Errorf("kept text changed: %s", raw)
		}
		raw[1] = 'x'
	}
}
