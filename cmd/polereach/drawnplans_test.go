package main

import (
	"encoding/binary"
	"strings"
	"testing"
	"unicode/utf16"
)

// Two poles on the demo ground, as every input below has them or ought to.
const (
	atA, atB = "[-84.2405,36.5565]", "[-84.15,36.65]"
	drawnA   = `{"type":"Feature","properties":{"name":"A"},"geometry":{"type":"Point","coordinates":` + atA + `}}`
	drawnB   = `{"type":"Feature","properties":{"name":"B"},"geometry":{"type":"Point","coordinates":` + atB + `}}`
)

// both are two points with properties each, and what else stands in the file.
func both(a, b string, more ...string) string {
	return collection(append([]string{feature(a, point(atA)), feature(b, point(atB))}, more...)...)
}

func drawnLine(properties, coordinates string) string {
	return feature(properties, `{"type":"LineString","coordinates":`+coordinates+`}`)
}

// ab is a line from A to B as a hand draws it: 9 m and 11 m beside them.
const ab = "[[-84.2404,36.5565],[-84.2,36.6],[-84.15,36.6501]]"

const ring = "[[-84.2,36.6],[-84.19,36.6],[-84.19,36.61],[-84.2,36.6]]"

func utf16Text(order binary.AppendByteOrder, s string) string {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = order.AppendUint16(b, u)
	}
	return string(b)
}

// What people have when they come with a plan, and what is told of it: the note where it is
// read, "" for none; these come from GIS and table exports, drawing tools and phones.
var drawnPlans = []struct{ name, text, note string }{
	{"GIS export with fid and crs", `{"type":"FeatureCollection","name":"poles","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}},"features":[` +
		feature(`{"fid":1,"name":"A"}`, point(atA)) + "," + feature(`{"fid":2,"name":"B"}`, point(atB)) + `]}`, ""},
	{"byte order mark, line ends of two characters", "\uFEFF" + strings.ReplaceAll(collection(drawnA, drawnB), ",", ",\r\n"), ""},
	{"layer without names", both(`{"fid":7}`, `{"fid":8}`), `features without "name" are named by what else they say: feature 0 ("7") by fid, feature 1 ("8") by fid`},
	{"KML by a converter", both(`{"Name":"A","description":"","tessellate":-1}`, `{"Name":"B"}`), `feature 0 ("A") by Name`},
	{"columns in capitals", both(`{"NAME":"A"}`, `{"NAME":"B"}`), `feature 0 ("A") by NAME`},
	{"marks of a drawing tool", both(`{"title":"A","marker-color":"#7e7e7e"}`, `{"title":"B","marker-size":"medium"}`), `feature 0 ("A") by title`},
	{"OpenStreetMap export", both(`{"@id":"node/17","man_made":"mast"}`, `{"@id":"node/18"}`), `feature 0 ("node/17") by @id`},
	{"ids of features alone", `{"type":"FeatureCollection","features":[{"id":"x1",` + drawnA[1:strings.Index(drawnA, `{"name"`)] + `{}` +
		drawnA[strings.Index(drawnA, `,"geometry"`):] + "," + drawnB + `]}`, `feature 0 ("x1") by the id of the feature`},
	{"no properties at all", both("null", "{}"), `numbered in the order of the file, from 1: feature 0 ("Pole 1"), feature 1 ("Pole 2")`},
	{"two masts of one name", both(`{"Name":"Mast"}`, `{"Name":"Mast"}`), `feature 0 ("Mast") as "Mast (1)", feature 1 ("Mast") as "Mast (2)"`},
	{"numbers for names", both(`{"name":1}`, `{"name":2}`, drawnLine(`{"from":1,"to":2}`, ab)), `numbers are taken for names: feature 0 ("1") in name, 1`},
	{"altitudes of a phone", collection(feature(`{"name":"A"}`, point("[-84.2405,36.5565,983.2]")), drawnB),
		`altitudes are not used: antennas are as high as height_m says, above ground, never as the altitude says: feature 0 ("A")`},
	{"altitudes and measures", collection(feature(`{"name":"A"}`, point("[-84.2405,36.5565,0,17]")), drawnB), `altitudes are not used`},
	{"one-part MultiPoint", collection(feature(`{"name":"A"}`, `{"type":"MultiPoint","coordinates":[`+atA+`]}`), drawnB), `Multi geometries of one part are taken for the part: feature 0 ("A")`},
	{"one-part MultiLineString", collection(drawnA, drawnB, feature(`{"from":"A","to":"B"}`, `{"type":"MultiLineString","coordinates":[`+ab+`]}`)), `taken for the part: feature 2 ("A - B")`},
	{"one-part MultiPolygon", collection(drawnA, drawnB, feature(`{"status":"searchable"}`, `{"type":"MultiPolygon","coordinates":[[`+ring+`]]}`)), `taken for the part: feature 2`},
	{"ground with a label", collection(drawnA, drawnB, feature(`{"label":"Common"}`, `{"type":"Polygon","coordinates":[`+ring+`]}`)), `feature 2 ("Common") by label`},
	{"numbers of a shapefile", both(`{"name":"A","height_m":"6","tx_dbm":"14"}`, `{"name":"B","height_m":" 6.5 "}`), `numbers given as text are taken for the numbers: feature 0 ("A") in height_m, text "6"`},
	{"numbers with their unit", both(`{"name":"A","height_m":"6 m","gain_dbi":"2.15 dBi"}`, `{"name":"B"}`), `in height_m, text "6 m"`},
	{"a panel of a table", both(`{"name":"A","panel_w":"6","cell_mah":""}`, `{"name":"B"}`), `in panel_w, text "6"`},
	{"SF9 and 4/5", collection(drawnA, drawnB, drawnLine(`{"from":"A","to":"B","sf":"SF9","cr":"4/5","bw_khz":"125 kHz"}`, ab)), `in sf, text "SF9"`},
	{"words in capitals", both(`{"name":"A","status":"Standing","beam":"Omni"}`, `{"name":"B","status":"PROPOSED"}`), `words in other letters or separators are taken for ours: feature 0 ("A") in status, text "Standing"`},
	{"words with blanks", both(`{"name":"A","inside":"Dense Urban"}`, `{"name":"B","coax":"rg 58","coax_m":2}`), `in inside, text "Dense Urban"`},
	{"empty cells of a table", both(`{"name":"A","height_m":"","inside":"","panel_w":""}`, `{"name":"B","beam":" "}`, drawnLine(`{"from":"","to":"","road":"","sf":""}`, ab)),
		`empty text is taken for a value that is not given: feature 0 ("A") in height_m`},
	{"truth in words", collection(drawnA, drawnB, drawnLine(`{"from":"A","to":"B","required":"TRUE"}`, ab)), `text, 0 and 1 are taken for true and false: feature 2 ("A - B") in required, text "TRUE"`},
	{"truth in numbers", collection(drawnA, drawnB, drawnLine(`{"from":"A","to":"B","required":0}`, ab)), `in required, 0`},
	{"a road by a word", collection(drawnA, drawnB, drawnLine(`{"road":"yes"}`, "[[-84.3,36.5],[-84.2,36.5]]")), `in road, text "yes"`},
	{"a drawing by a word", collection(drawnA, drawnB, drawnLine(`{"wanted":"no"}`, "[[-84.3,36.5],[-84.2,36.5]]")), `in wanted, text "no"`},
	{"a river of OpenStreetMap's roads", collection(drawnA, drawnB, drawnLine(`{"highway":"track","name":7}`, "[[-84.3,36.5],[-84.2,36.5]]")), `in name, 7`},
	{"a line between poles", collection(drawnA, drawnB, drawnLine(`{"stroke":"#ff0000"}`, ab)),
		`LineStrings without from and to link the stations within 50 m of their ends: feature 2 "A" (9 m) to "B" (11 m)`},
	{"a line that names others", collection(drawnA, drawnB, drawnLine(`{"from":"B","to":"A"}`, "[[0,0],[1,1]]")), ""},
	{"everything at once", collection(feature(`{"Name":"A","height_m":"6"}`, `{"type":"MultiPoint","coordinates":[[-84.2405,36.5565,12]]}`), drawnB,
		feature(`{}`, `{"type":"MultiLineString","coordinates":[`+strings.ReplaceAll(ab, "],", ",0],")+`]}`)), `feature 2 "A" (9 m) to "B" (11 m)`},
}

const ogr = "ogr2ogr -f GeoJSON -t_srs EPSG:4326 plan.geojson "

// What is refused: the way out, as the sentence has it. FILE is the path of the file.
var refusedPlans = []struct{ file, text, wayOut string }{
	{"poles.shp", "\x00\x00\x27\x0a" + strings.Repeat("\x00", 96), "found a shapefile: " + ogr + "FILE makes a plan of it"},
	{"poles.zip", "PK\x03\x04..........poles.shp", "found a shapefile in an archive: " + ogr + "/vsizip/FILE makes a plan of it"},
	{"poles.prj", `GEOGCS["GCS_WGS_1984",DATUM[...]]`, "name the .shp beside it"},
	{"poles.dbf", "\x03" + strings.Repeat("\x00", 64), "name the .shp beside it"},
	{"poles.kml", `<?xml version="1.0"?><kml xmlns="x"/>`, "found KML: polereach begin --from FILE --band BAND FOLDER makes a plan of its places"},
	{"poles.kmz", "PK\x03\x04..........doc.kml", "unzip it, then polereach begin --from doc.kml"},
	{"walk.gpx", "\uFEFF\n<gpx version=\"1.1\"/>", "found GPX: polereach begin --from FILE --band BAND FOLDER makes a plan of its waypoints"},
	{"poles.csv", "name,lat,lon\nA,36.5,-84.2\n", "found a table, such as CSV: polereach begin --from FILE --band BAND FOLDER"},
	{"poles.txt", "Name;X;Y\r\nA;-84,2;36,5\r\n", "polereach begin --from FILE"},
	{"poles.xlsx", "PK\x03\x04[Content_Types].xml xl/workbook.xml", "save it as CSV with columns lon, lat and name"},
	{"poles.ods", "PK\x03\x04mimetypeapplication/vnd.oasis.opendocument.spreadsheet", "save it as CSV"},
	{"poles.gpkg", "SQLite format 3\x00......", "found a GeoPackage or another SQLite file: " + ogr + "FILE"},
	{"poles.fgb", "fgb\x03fgb\x00...", "found a FlatGeobuf file: " + ogr + "FILE"},
	{"poles.topojson", `{"type":"Topology","objects":{},"arcs":[]}`, "found TopoJSON: " + ogr + "FILE"},
	{"query.json", `{"geometryType":"esriGeometryPoint","features":[]}`, "found features of an ArcGIS service (Esri JSON): " + ogr + "FILE"},
	{"answer.json", `{"version":0.6,"elements":[]}`, "ask for GeoJSON"},
	{"poles.geojsonl", drawnA + "\n" + drawnB + "\n", "one a line: " + ogr + "FILE"},
	{"poles.geojsons", "\x1e" + drawnA + "\n", "found a sequence of GeoJSON texts (RFC 8142): " + ogr + "FILE"},
	{"poles.gml", `<?xml version="1.0"?><ogr:FeatureCollection xmlns:gml="x"/>`, "found XML: if it holds places, as GML and OSM do, " + ogr + "FILE"},
	{"poles.wkt", "POINT (-84.2 36.5)\n", "put it into a CSV with a column WKT, then ogr2ogr"},
	{"poles.qgs", "<!DOCTYPE qgis>\n<qgis/>", "export the layer as GeoJSON in EPSG:4326"},
	{"map.html", "<!DOCTYPE html><html></html>", "get the file itself"},
	{"photo.jpg", "\xff\xd8\xff\xe0", "terrain is given by --dem"},
	{"poles.geojson.gz", "\x1f\x8b\x08", "gunzip it first"},
	{"large.geojson", "version https://git-lfs.github.com/spec/v1\noid sha256:0\n", "git lfs pull gets it"},
	{"notes.md", "# Poles\nto be done\n", "GPX, KML or CSV polereach begin --from"},
	{"empty.geojson", " \n", "draw poles in a GIS and export them, or let polereach begin"},
	{"wide.geojson", "\xff\xfe" + utf16Text(binary.LittleEndian, "{}"), "iconv -f UTF-16 -t UTF-8 FILE > utf8.geojson"},
	{"wider.geojson", utf16Text(binary.BigEndian, `{"type":1}`), "iconv -f UTF-16 -t UTF-8 FILE > utf8.geojson"},
	{"old.geojson", "{\"a\":\"M\xfchle\"}", "iconv -f WINDOWS-1252 -t UTF-8 FILE > utf8.geojson"},
	{"one.geojson", drawnA, "found a single GeoJSON Feature and no FeatureCollection: " + ogr + "FILE makes a plan of it"},
	{"bare.geojson", point(atA), "found a single GeoJSON Point and no FeatureCollection: " + ogr + "FILE makes a plan of it"},
	{"grid.geojson", `{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::25832"}},"features":[` + drawnA + `]}`, ogr + "FILE writes the file anew in it"},
	{"metres.geojson", collection(feature(`{"name":"A"}`, point("[743000,4043000]"))), "ogr2ogr -f GeoJSON -s_srs EPSG:CODE -t_srs EPSG:4326 plan.geojson FILE, CODE being that of the grid, writes the file anew"},
	{"turned.geojson", collection(feature(`{"name":"A"}`, point("[36.55,-94.24]"))), "longitude first; are they swapped?"},
	{"ground.geojson", collection(feature(`{}`, `{"type":"Polygon","coordinates":[`+ring+`]}`)), "draw the poles, or export their layer with the others"},
	{"nowhere.geojson", collection(drawnA, feature(`{"name":"B"}`, "null")), "draw its place, or take the feature out"},
	{"parts.geojson", collection(feature(`{"name":"A"}`, `{"type":"MultiPoint","coordinates":[`+atA+","+atB+`]}`)), "split it into single parts, as does ogr2ogr -f GeoJSON -explodecollections"},
	{"mixed.geojson", collection(feature(`{"name":"A"}`, `{"type":"GeometryCollection","geometries":[]}`)), "split it into single parts, as does ogr2ogr -f GeoJSON -explodecollections"},
	{"comma.geojson", both(`{"name":"A","height_m":"6,5"}`, `{"name":"B"}`), "write a point for the comma"},
	{"feet.geojson", both(`{"name":"A","height_m":"20 ft"}`, `{"name":"B"}`), "write the number in m (metres: 0.3048 times feet)"},
	{"unit.geojson", both(`{"name":"A","height_ft":20}`, `{"name":"B"}`), `allowed "height_m" (metres: 0.3048 times feet); rename it, or give "height_m" beside it`},
	{"height.geojson", both(`{"name":"A","Height":20}`, `{"name":"B"}`), `allowed "height_m"; rename it, or give "height_m" beside it`},
	{"word.geojson", both(`{"name":"A","status":"planned"}`, `{"name":"B"}`), `allowed "standing", "proposed"`},
	{"twice.geojson", both(`{"name":"A"}`, `{"name":"A"}`), "feature 0 has it; rename one"},
	{"far.geojson", collection(drawnA, drawnB, drawnLine(`{}`, "["+atA+",[-84.2,36.6]]")), `draw it to a station, or give the names of two in "from" and "to"; "road": true makes a road of it, "wanted": false a mere drawing`},
	{"between.geojson", both(`{"name":"A"}`, `{"name":"B"}`, feature(`{"name":"C"}`, point("[-84.2403,36.5565]")), drawnLine(`{}`, ab)), `has two stations about as near, `},
	{"half.geojson", collection(drawnA, drawnB, drawnLine(`{"from":"A"}`, ab)), "to: missing, allowed the name of a station"},
	{"text.geojson", collection(feature(`{"name":"A"}`, point(`["-84.2","36.5"]`))), "allowed [longitude, latitude] in numbers"},
	{"nan.geojson", `{"type":"FeatureCollection","features":[{"height_m":NaN}]}`, "leave the key out where no value is known"},
}

func TestPlansAsPeopleHaveThem(t *testing.T) {
	long(t)
	for _, c := range drawnPlans {
		t.Run(c.name, func(t *testing.T) {
			r := polereach(t, "plan", "--dem", demo+"dem", "--height-m", "5", write(t, "poles.geojson", []byte(c.text)))
			said := strings.Join(strings.Fields(r.out), " ")
			if r.code == exitUsage || r.code == exitFailed || r.err != "" || !strings.Contains(said, c.note) {
				t.Errorf("exit %d, want the note %q; stderr %q\n%s", r.code, c.note, r.err, r.out)
			}
			for _, liberty := range []string{"are taken for", "are not used:", "are named by", "are numbered", "link the stations within"} {
				if c.note == "" && strings.Contains(said, liberty) {
					t.Errorf("a note without a need: %q\n%s", liberty, r.out)
				}
			}
		})
	}
	for _, c := range refusedPlans {
		t.Run(c.file, func(t *testing.T) {
			path := write(t, c.file, []byte(c.text))
			refused(t, polereach(t, "plan", path), c.file, strings.ReplaceAll(c.wayOut, "FILE", path))
		})
	}
	if n := len(drawnPlans) + len(refusedPlans); n < 40 {
		t.Errorf("%d inputs", n)
	}
}
