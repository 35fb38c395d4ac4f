package plan

import (
	"strings"
	"testing"
)

// WGS 84 in the forms that writers add (RFC 7946 section 4; OGC and EPSG names), and
// systems that are others.
func TestCRS(t *testing.T) {
	for name, fine := range map[string]bool{
		"urn:ogc:def:crs:OGC:1.3:CRS84": true, "urn:ogc:def:crs:EPSG::4326": true, "EPSG:4326": true, "WGS 84": true,
		"EPSG:25832": false, "urn:ogc:def:crs:EPSG::27700": false, "EPSG:14326": false, "WGS 84 / UTM zone 16N": false,
		"": false,
	} {
		_, err := Read("p.geojson", []byte(`{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"`+name+`"}},"features":[`+point("Gate", "")+`]}`))
		if (err == nil) != fine || !fine && !strings.Contains(err.Error(),
			`p.geojson: crs: found text "`+name+`", allowed WGS 84`) {
			t.Errorf("%q: %v", name, err)
		}
	}
	for crs, fine := range map[string]bool{`null`: true, `"EPSG:4326"`: true, `"EPSG:3857"`: false,
		`{"type":"link"}`: false, `12`: false} {
		_, err := Read("p.geojson", []byte(`{"type":"FeatureCollection","crs":`+crs+`,"features":[`+point("Gate", "")+`]}`))
		if (err == nil) != fine {
			t.Errorf("%s: %v", crs, err)
		}
	}
}

// A thousand poles in metres are one line, and none beside a crs that says why.
func TestMapGridIsOneLine(t *testing.T) {
	features := make([]string, 1000)
	for i := range features {
		features[i] = pointAt("[743000.5,4043000]")
	}
	list := strings.Join(features, ",")
	_, err := Read("p.geojson", []byte(`{"type":"FeatureCollection","features":[`+list+`]}`))
	if err == nil || strings.Count(err.Error(), "map grid") != 1 || !strings.Contains(err.Error(),
		"so in 1000 positions") ||
		!strings.Contains(err.Error(), "EPSG:4326") {
		t.Errorf("%.600v", err)
	}
	_, err = Read("p.geojson", []byte(`{"type":"FeatureCollection","crs":"EPSG:25832","features":[`+features[0]+`]}`))
	if err == nil || strings.Contains(err.Error(), "map grid") || strings.Count(err.Error(), "\n") != 0 {
		t.Error(err)
	}
}
