package terrain

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
)

// Coordinate systems as GDAL and Esri programs write them: EPSG 4326, 4258,
// 4269, 32632, 3857, 4267, 4807 and 4978 by the EPSG register, typed in and
// shortened to what the reader looks at.
const (
	wktWGS84 = `GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
	wkt2     = `GEOGCRS["WGS 84",
    ENSEMBLE["World Geodetic System 1984 ensemble", MEMBER["World Geodetic System 1984 (G2139)"],
        ELLIPSOID["WGS 84",6378137,298.257223563, LENGTHUNIT["metre",1]], ENSEMBLEACCURACY[2.0]],
    PRIMEM["Greenwich",0, ANGLEUNIT["degree",0.0174532925199433]],
    CS[ellipsoidal,2], AXIS["geodetic latitude (Lat)",north], AXIS["geodetic longitude (Lon)",east],
    ANGLEUNIT["degree",0.0174532925199433], ID["EPSG",4326]]`
	wktETRS89   = `GEOGCS["ETRS89",DATUM["European_Terrestrial_Reference_System_1989",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`
	wktCompound = `COMPD_CS["WGS 84 + EGM96 height",` + wktWGS84 +
		`,VERT_CS["EGM96 height",VERT_DATUM["EGM96 geoid",2005],UNIT["metre",1]]]`
	wktFeet = `COMPD_CS["WGS 84 + height in feet",` + wktWGS84 +
		`,VERT_CS["height",VERT_DATUM["geoid",2005],UNIT["foot",0.3048]]]`
	wktUTM = `PROJCS["WGS_1984_UTM_Zone_32N",` + wktWGS84 +
		`,PROJECTION["Transverse_Mercator"],PARAMETER["Central_Meridian",9.0],UNIT["Meter",1.0]]`
	wkt2UTM  = `PROJCRS["WGS 84 / UTM zone 32N", BASEGEOGCRS["WGS 84", DATUM["WGS 84", ELLIPSOID["WGS 84",6378137,298.257223563]]], CONVERSION["UTM"], CS[Cartesian,2], LENGTHUNIT["metre",1]]`
	wktNAD27 = `GEOGCS["NAD27",DATUM["North_American_Datum_1927",SPHEROID["Clarke 1866",6378206.4,294.9786982138982]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]]`
	wktParis = `GEOGCS["NTF-like",DATUM["d",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Paris",2.33722917],UNIT["degree",0.0174532925199433]]`
	wktGrad  = `GEOGCS["in grads",DATUM["d",SPHEROID["GRS 1980",6378137,298.257222101]],PRIMEM["Greenwich",0],UNIT["grad",0.01570796326794897]]`
	wktECEF  = `GEOCCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563]],PRIMEM["Greenwich",0],UNIT["metre",1]]`
	wkt2ECEF = `GEODCRS["WGS 84",DATUM["WGS 84",ELLIPSOID["WGS 84",6378137,298.257223563]],CS[Cartesian,3],LENGTHUNIT["metre",1]]`
)

func TestPRJ(t *testing.T) {
	for _, tc := range []struct {
		what, text string
		words      []string // none: taken
	}{
		{"WGS 84, Esri", wktWGS84, nil},
		{"WGS 84, version 2", wkt2, nil},
		{"GRS 80 datum", wktETRS89, nil},
		{"with heights in metres", wktCompound, nil},
		{"byte order mark and line ends", "\ufeff\r\n" + wktWGS84 + "\r\n", nil},
		{"lower case, round brackets", strings.NewReplacer("[", "(", "]", ")", "GEOGCS", "geogcs").Replace(wktWGS84), nil},
		{"a name with a keyword in it", strings.Replace(wktWGS84, "GCS_WGS_1984", "not a PROJCS[ at all", 1), nil},
		{"keywords", "Projection    GEOGRAPHIC\nDatum         WGS84\nSpheroid      WGS84\nUnits         DD\nZunits        METERS\nParameters\n", nil},
		{"UTM", wktUTM, []string{"projected", "WGS_1984_UTM_Zone_32N", "-tags gdal"}},
		{"UTM, version 2", wkt2UTM, []string{"projected", "WGS 84 / UTM zone 32N", "-tags gdal"}},
		{"other ellipsoid", wktNAD27, []string{"NAD27", "Clarke 1866"}},
		{"other meridian", wktParis, []string{"NTF-like", "Paris"}},
		{"grads", wktGrad, []string{"in grads", `"grad"`}},
		{"heights in feet", wktFeet, []string{"foot"}},
		{"geocentric", wktECEF, []string{"GEOCCS", "not longitude and latitude"}},
		{"geocentric, version 2", wkt2ECEF, []string{"not longitude and latitude"}},
		{"no ellipsoid", `GEOGCS["bare"]`, []string{"bare", "no ellipsoid"}},
		{"nonsense numbers", `GEOGCS["odd",DATUM["d",SPHEROID["s",1e,--]]]`, []string{"odd"}},
		{"local", `LOCAL_CS["site grid",UNIT["metre",1]]`, []string{"site grid", "not longitude and latitude"}},
		{"keywords, projected", "Projection UTM\nZone 32\n", []string{"projected", "UTM"}},
		{"keywords, several faults", "Projection GEOGRAPHIC\nDatum ED50\nUnits DS\nZunits FEET\n", []string{"ED50", `"DS"`, "FEET"}},
		{"empty", "", []string{"not understood"}},
		{"something else", "EPSG:4326", []string{"not understood", "EPSG:4326"}},
		{"too long", strings.Repeat(" ", maxPRJ+1), []string{"longer than 65536 bytes"}},
	} {
		for _, ext := range []string{".prj", ".PRJ"} {
			fsys := fstest.MapFS{
				"a/g.asc":   {Data: []byte("ncols 2 nrows 1 xllcorner 0 yllcorner 0 cellsize 1 4 5")},
				"a/g" + ext: {Data: []byte(tc.text)},
			}
			_, err := OpenSources(fsys, "a/g.asc")
			if len(tc.words) == 0 {
				if err != nil {
					t.Errorf("%s: %v", tc.what, err)
				}
				continue
			}
			wantError(t, tc.what, err, append(tc.words, "a/g.asc", "a/g"+ext)...)
			if !errors.Is(err, ErrNotBuiltIn) && tc.what != "too long" {
				t.Errorf("%s: error %v, want ErrNotBuiltIn", tc.what, err)
			}
		}
	}
}

// A system in degrees does not excuse coordinates in metres, but it does allow
// cells larger than a degree.
func TestPRJAgainstTheHeader(t *testing.T) {
	fsys := fstest.MapFS{
		"g.asc": {Data: []byte("ncols 2 nrows 1 xllcorner 701640 yllcorner 5543640 cellsize 90 4 5")},
		"g.prj": {Data: []byte(wktWGS84)},
		"w.asc": {Data: []byte("ncols 144 nrows 2 xllcorner -180 yllcorner -2.5 cellsize 2.5 " + strings.Repeat("1 ", 288))},
		"w.prj": {Data: []byte(wktWGS84)},
	}
	_, err := OpenSources(fsys, "g.asc")
	wantError(t, "metres", err, "g.asc", "west edge at 701685°")
	if errors.Is(err, ErrNotBuiltIn) {
		t.Errorf("error %v sends the user to GDAL, the files contradict each other", err)
	}
	if g := mustLoad(t, fsys, "w.asc"); g.WestDeg != -178.75 {
		t.Errorf("west post at %g°, want -178.75°", g.WestDeg)
	}
}

// A .prj that is there but cannot be read is not passed over, and its fault
// comes together with those of the header.
func TestPRJUnreadable(t *testing.T) {
	fsys := forbidding{fstest.MapFS{"g.asc": {Data: []byte("ncols 2 nrows 1 4 5")}}, "g.prj"}
	_, err := OpenSources(fsys, "g.asc")
	wantError(t, "no permission", err, "g.asc", "g.prj", "permission", "cellsize is missing", "xllcorner")
	if !errors.Is(err, fs.ErrPermission) {
		t.Errorf("error %v, want fs.ErrPermission", err)
	}
}

// forbidding is a file system in which one file must not be opened.
type forbidding struct {
	fs.FS
	name string
}

func (f forbidding) Open(name string) (fs.File, error) {
	if name == f.name {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrPermission}
	}
	return f.FS.Open(name)
}
