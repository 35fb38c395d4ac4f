package plan

import "testing"

func TestPositionFaults(t *testing.T) {
	const allowed = ", allowed [longitude, latitude]"
	for _, c := range []struct{ coordinates, key, problem string }{
		// RFC 7946 §3.1.1: longitude first.
		{`[36.5,-84.25]`, "", ""}, // swapped, yet a place on Earth: not to be told
		{`[-33.5,151.25]`, "geometry.coordinates", "found latitude 151.25 in [-33.5,151.25], allowed -90 to 90 deg: longitude first; are they swapped?"},
		{`[100,95]`, "geometry.coordinates", "found latitude 95 in [100,95], allowed -90 to 90 deg"},
		{`[10,-90.001]`, "geometry.coordinates", "found latitude -90.001 in [10,-90.001], allowed -90 to 90 deg: longitude first; are they swapped?"},
		{`[275.75,36.5]`, "geometry.coordinates", "found longitude 275.75 in [275.75,36.5], allowed -180 to 180 deg"},
		{`[-180.001,0]`, "geometry.coordinates", "found longitude -180.001 in [-180.001,0], allowed -180 to 180 deg"},
		{`[743000.5,4043000]`, "geometry.coordinates", "found [743000.5,4043000], allowed longitude -180 to 180 deg and latitude -90 to 90 deg in WGS 84; are these metres of a map grid? ogr2ogr -f GeoJSON -s_srs EPSG:CODE -t_srs EPSG:4326 plan-wgs84.geojson plan.geojson, CODE being that of the grid, writes the file anew"},
		{`[1e999,0]`, "geometry.coordinates", "found longitude +Inf in [1e999,0], allowed -180 to 180 deg"},
		{`[-84.25]`, "geometry.coordinates", "found 1 numbers, allowed 2: [longitude, latitude]"},
		{`[]`, "geometry.coordinates", "found 0 numbers, allowed 2: [longitude, latitude]"},
		{`[1,2,3,4,5]`, "geometry.coordinates", "found 5 numbers, allowed 2: [longitude, latitude]"},
		{`["-84.25","36.5"]`, "geometry.coordinates", `found text "-84.25"` + allowed + " in numbers"},
		{`[-84.25,36.5,"410"]`, "geometry.coordinates", `found text "410"` + allowed + " in numbers"},
		{`[null,36.5]`, "geometry.coordinates", "found null" + allowed + " in numbers"},
		{`[[-84.25,36.5]]`, "geometry.coordinates", "found a list" + allowed + " in numbers"},
		{`"-84.25,36.5"`, "geometry.coordinates", `found text "-84.25,36.5"` + allowed},
		{`null`, "geometry.coordinates", "missing, allowed those of a Point"},
	} {
		t.Run(c.coordinates, func(t *testing.T) {
			file := collection(point("Fox Hill", ""), pointAt(c.coordinates))
			if c.key == "" {
				if _, err := Read("", []byte(file)); err != nil {
					t.Error(err)
				}
				return
			}
			check(t, file, 1, "Old Mill", c.key, c.problem)
		})
	}
	for _, c := range []string{`[-180,-90]`, `[180,90]`, `[0,0]`, `[-0.0,1e-9]`} {
		if _, err := Read("", []byte(collection(pointAt(c)))); err != nil {
			t.Errorf("%s: %v", c, err)
		}
	}
}

func TestGeometryTypeFaults(t *testing.T) {
	const allowed = ", allowed Point (station), LineString (link) or Polygon (ground for a pole)"
	split := ": split it into single parts, as does " + explode("plan.geojson")
	named := func(members string) string {
		return `{"type":"Feature","properties":{"name":"Old Mill"}` + members + `}`
	}
	for _, c := range []struct{ feature, key, problem string }{
		{named(``), "geometry", "missing" + allowed},
		{named(`,"geometry":null`), "geometry", "found null" + allowed + ": draw its place, or take the feature out"},
		{named(`,"geometry":"Point"`), "geometry", `found text "Point"` + allowed},
		{named(`,"geometry":{}`), "geometry.type", "missing" + allowed},
		{named(`,"geometry":{"type":"MultiPoint","coordinates":[[1,2],[3,4]]}`), "geometry.type", "found MultiPoint of 2 parts" + allowed + split},
		{named(`,"geometry":{"type":"MultiLineString","coordinates":[]}`), "geometry.type", "found MultiLineString of 0 parts" + allowed + split},
		{named(`,"geometry":{"type":"MultiPolygon","coordinates":[]}`), "geometry.type", "found MultiPolygon of 0 parts" + allowed + split},
		{named(`,"geometry":{"type":"GeometryCollection","geometries":[]}`), "geometry.type", "found GeometryCollection" + allowed + split},
		{named(`,"geometry":{"type":"point","coordinates":[1,2]}`), "geometry.type", `found text "point"` + allowed},
		{named(`,"geometry":{"type":7,"coordinates":[1,2]}`), "geometry.type", `found 7` + allowed},
		{named(`,"geometry":{"type":"Point"}`), "geometry.coordinates", "missing, allowed those of a Point"},
		{named(`,"geometry":{"type":"Point","coordinates":[1,2],"type":"Point"}`), "type", "found more than once in one object, allowed once"},
	} {
		t.Run(c.feature, func(t *testing.T) {
			check(t, collection(point("Fox Hill", ""), c.feature), 1, "Old Mill", c.key, c.problem)
		})
	}
}

func TestLineAndPolygonFaults(t *testing.T) {
	link := func(coordinates string) string {
		return feature(`{"from":"Fox Hill","to":"Gate"}`, `{"type":"LineString","coordinates":`+coordinates+`}`)
	}
	for _, c := range []struct{ feature, name, key, problem string }{
		{link(`[]`), "Fox Hill - Gate", "geometry.coordinates", "found 0 positions, allowed 2 or more"},
		{link(`[[1,2]]`), "Fox Hill - Gate", "geometry.coordinates", "found 1 positions, allowed 2 or more"},
		{link(`7`), "Fox Hill - Gate", "geometry.coordinates", "found 7, allowed a list of positions"},
		{link(`[[1,2],[1,95]]`), "Fox Hill - Gate", "geometry.coordinates[1]", "found latitude 95 in [1,95], allowed -90 to 90 deg: longitude first; are they swapped?"},
		{link(`[[1,2],3]`), "Fox Hill - Gate", "geometry.coordinates[1]", "found 3, allowed [longitude, latitude]"},
		// RFC 7946 §3.1.6: closed, four positions or more.
		{ground(`[[[0,0],[1,0],[1,1],[0,1]]]`), "Ridge", "geometry.coordinates[0]", "found an open ring (first [0 0], last [0 1]), allowed one that ends where it begins"},
		{ground(`[[[0,0],[1,0],[0,0]]]`), "Ridge", "geometry.coordinates[0]", "found 3 positions, allowed 4 or more"},
		{ground(`[[[0,0],[1,0],[1,1],[0,0]],[]]`), "Ridge", "geometry.coordinates[1]", "found 0 positions, allowed 4 or more"},
		{ground(`[[[0,0],[1,0],[1,91],[0,0]]]`), "Ridge", "geometry.coordinates[0][2]", "found latitude 91 in [1,91], allowed -90 to 90 deg: longitude first; are they swapped?"},
		{ground(`[[0,0],[1,0],[1,1],[0,0]]`), "Ridge", "", ""},
		{ground(`[7]`), "Ridge", "geometry.coordinates[0]", "found 7, allowed a list of positions"},
		{ground(`[]`), "Ridge", "geometry.coordinates", "found no ring, allowed 1 or more"},
		{ground(`{}`), "Ridge", "geometry.coordinates", "found an object, allowed a list of rings"},
	} {
		t.Run(c.feature, func(t *testing.T) {
			file := collection(point("Fox Hill", ""), point("Gate", ""), c.feature)
			if c.key == "" { // a LineString's coordinates: every number is a fault of its own
				if list := faultsOf(t, file); len(list) < 4 {
					t.Errorf("got %v", list)
				}
				return
			}
			check(t, file, 2, c.name, c.key, c.problem)
		})
	}
}

func TestAreaFaults(t *testing.T) {
	const ring = `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}`
	for _, c := range []struct{ properties, key, problem string }{
		{`{"status":"forbidden"}`, "status", `found text "forbidden", allowed "searchable"`},
		{`{"height_m":0}`, "height_m", "found 0, allowed above 0 to 300 m"},
		{`{"name":[7]}`, "name", "found a list, allowed text of 1 to 100 characters on one line"},
	} {
		check(t, collection(point("Gate", ""), feature(c.properties, ring)), 1, "", c.key, c.problem)
	}
	p, err := Read("", []byte(collection(point("Gate", ""), feature(`null`, ring),
		feature(`{"status":"searchable","height_m":8}`, ring))))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Areas) != 2 || p.Areas[0].HeightM != nil || *p.Areas[1].HeightM != 8 || len(p.Areas[1].Polygon[0]) != 4 ||
		p.Areas[1].Feature != 2 {
		t.Errorf("%+v", p.Areas)
	}
}
