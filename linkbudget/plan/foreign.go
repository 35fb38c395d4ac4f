package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"path/filepath"
	"strings"
)

// foreign tells what a file is that is no JSON, as far as its beginning shows, and the command
// that makes a plan of it; "" where it may be JSON.
func foreign(source string, data []byte) string {
	data = bytes.TrimPrefix(data, []byte("\uFEFF"))
	has := func(magic string) bool { return bytes.HasPrefix(data, []byte(magic)) }
	for _, f := range [...]struct{ magic, what string }{
		{"\x00\x00\x27\x0a", "a shapefile"}, {"SQLite format 3\x00", "a GeoPackage or another SQLite file"},
		{"fgb\x03", "a FlatGeobuf file"}, {"\x1e", "a sequence of GeoJSON texts (RFC 8142)"},
	} {
		if has(f.magic) {
			return "found " + f.what + ": " + ogr(source, "") + " makes a plan of it"
		}
	}
	switch {
	case has("PK\x03\x04"):
		return archive(source, data)
	case has("\x1f\x8b"):
		return "found a file that is compressed by gzip: gunzip it first"
	case has("GEOGCS["), has("PROJCS["), has("GEOGCRS["), has("PROJCRS["), has("\x03") && len(data) > 32:
		return "found a file that goes with a shapefile: name the .shp beside it, " + ogr("FILE.shp", "") +
			" makes a plan of it"
	case has("\x89PNG"), has("\xff\xd8\xff"), has("II*\x00"), has("MM\x00*"), has("%PDF"):
		return "found a picture or a raster, allowed a GeoJSON FeatureCollection of what is drawn on the map; terrain is " +
			"given " +
			"by --dem"
	}
	start := bytes.TrimLeft(data[:min(len(data), 4096)], " \t\r\n")
	if len(start) > 0 && start[0] == '<' {
		return markup(source, start)
	}
	return ""
}

// archive tells a ZIP by the names in it.
func archive(source string, data []byte) string {
	inside := func(name string) bool { return bytes.Contains(data, []byte(name)) }
	switch {
	case inside(".shp"):
		return "found a shapefile in an archive: " + strings.Replace(ogr(source, ""), "plan.geojson ",
			"plan.geojson /vsizip/", 1) +
			" makes a plan of it"
	case inside(".kml"):
		return "found KMZ: unzip it, then " + begin("doc.kml") + " makes a plan of the KML in it"
	case inside("xl/"), inside("opendocument.spreadsheet"):
		return "found a spreadsheet: save it as CSV with columns lon, lat and name, then " + begin("FILE.csv") +
			" makes a plan of it"
	}
	return "found an archive, allowed a GeoJSON FeatureCollection: unzip it and give the file in it"
}

// markup tells XML by its first elements.
func markup(source string, start []byte) string {
	lower := bytes.ToLower(start)
	has := func(word string) bool { return bytes.Contains(lower, []byte(word)) }
	switch {
	case has("<gpx"):
		return "found GPX: " + begin(source) + " makes a plan of its waypoints"
	case has("<kml"):
		return "found KML: " + begin(source) + " makes a plan of its places"
	case has("<html"), has("<!doctype html"):
		return "found a web page, perhaps the answer of a server that failed; allowed a GeoJSON FeatureCollection: get the " +
			"file itself"
	case has("qgis"):
		return "found the project of a GIS, which holds no places: export the layer as GeoJSON in EPSG:4326"
	}
	return "found XML: if it holds places, as GML and OSM do, " + ogr(source, "") + " makes a plan of it"
}

// otherText tells text that is no JSON; "" where only its syntax is at fault.
func otherText(source string, data []byte) string {
	data = bytes.TrimSpace(bytes.TrimPrefix(data, []byte("\uFEFF")))
	line, _, _ := bytes.Cut(data, []byte("\n"))
	head := strings.ToLower(string(line[:min(len(line), 400)]))
	for _, word := range [...]string{"point", "linestring", "polygon", "multi", "srid="} {
		if strings.HasPrefix(head, word) && strings.Contains(head, "(") {
			return "found well-known text (WKT): put it into a CSV with a column WKT, then " + ogr("FILE.csv", "") +
				" makes a plan of it"
		}
	}
	if strings.HasPrefix(head, "version https://git-lfs") {
		return "found the pointer to a large file, not the file: git lfs pull gets it"
	}
	if strings.ContainsAny(head, ",;\t") && !strings.ContainsAny(head, "{}[]=") {
		return "found a table, such as CSV: " + begin(source) + " makes a plan of it, where it has columns lon, lat and " +
			"perhaps " +
			"name"
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	var first, second struct {
		Type string `json:"type"`
	}
	if dec.Decode(&first) == nil && first.Type != "" {
		if err := dec.Decode(&second); err == nil || !errors.Is(err, io.EOF) && second.Type != "" {
			return "found a sequence of GeoJSON texts, one a line: " + ogr(source, "") + " makes a plan of it"
		}
	}
	if head == "" || strings.ContainsRune(`{["`, rune(head[0])) {
		return ""
	}
	return "found text that is no JSON, allowed a GeoJSON FeatureCollection, as GIS programs export it; of waypoints " +
		"in GPX, " +
		"KML or CSV " + begin("") + " makes one"
}

// begin is the command that makes a plan of waypoints.
func begin(source string) string {
	return "polereach begin --from " + shellWord(source) + " --band BAND FOLDER"
}

// ogr is the command that makes a plan of a file in another format, or in another coordinate
// system; how tells it what the file does not say.
func ogr(source, how string) string {
	to := "plan.geojson"
	if filepath.Base(source) == to {
		to = "plan-wgs84.geojson"
	}
	return "ogr2ogr -f GeoJSON " + how + "-t_srs EPSG:4326 " + to + " " + shellWord(source)
}

// explode is ogr for geometries of several parts.
func explode(source string) string { return ogr(source, "-explodecollections ") }

// shellWord is a name as it is typed; FILE where there is none.
func shellWord(name string) string {
	switch {
	case name == "" || name == "-":
		return "FILE"
	case strings.ContainsFunc(name, func(r rune) bool {
		return r < '+' || strings.ContainsRune(";<=>?[\\]^`{|}", r) || obeyed(r)
	}):
		return "'" + strings.ReplaceAll(name, "'", `'\''`) + "'"
	}
	return name
}
