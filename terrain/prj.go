package terrain

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// maxPRJ bounds a .prj file; real ones have a few hundred bytes.
const maxPRJ = 64 << 10

// checkPRJ reads the .prj file beside a grid. It refuses everything but
// longitude and latitude in degrees on WGS 84 or a datum alike; has is false
// if there is no such file.
func checkPRJ(fsys fs.FS, grid string) (has bool, err error) {
	stem := strings.TrimSuffix(grid, path.Ext(grid))
	for _, ext := range []string{".prj", ".PRJ", ".Prj"} {
		f, err := fsys.Open(stem + ext)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return true, err
		}
		defer f.Close()
		text, err := io.ReadAll(io.LimitReader(f, maxPRJ+1))
		if err != nil {
			return true, err
		}
		if len(text) > maxPRJ {
			return true, fmt.Errorf("%s is longer than %d bytes", stem+ext, maxPRJ)
		}
		if err := geographicWGS84(string(text)); err != nil {
			return true, fmt.Errorf("%s: %w; built in is longitude and latitude in degrees on WGS 84 or a datum alike: %w, "+
				"it needs a build with -tags gdal", stem+ext, err, ErrNotBuiltIn)
		}
		return true, nil
	}
	return false, nil
}

// Well-known text of a coordinate system, version 1 (OGC 01-009) and 2
// (ISO 19162). Only what decides about degrees on WGS 84 is looked at.
var (
	wktRoot      = regexp.MustCompile(`(?i)^([a-z_]+)\s*[[(]\s*"([^"]*)"`)
	wktQuoted    = regexp.MustCompile(`"[^"]*"`)
	wktProjected = regexp.MustCompile(`(?i)\bPROJ(CS|CRS|ECTEDCRS)\s*[[(]`)
	wktGeodetic  = regexp.MustCompile(`(?i)\bGEO(GCS|GCRS|GRAPHICCRS|DCRS|DETICCRS)\s*[[(]`)
	wktEllipsoid = regexp.MustCompile(`(?i)\b(?:SPHEROID|ELLIPSOID)\s*[[(]\s*"([^"]*)"\s*,\s*([-+.0-9eE]+)\s*,\s*([-+.0-9eE]+)`)
	wktMeridian  = regexp.MustCompile(`(?i)\b(?:PRIMEM|PRIMEMERIDIAN)\s*[[(]\s*"([^"]*)"\s*,\s*([-+.0-9eE]+)`)
	wktUnit      = regexp.MustCompile(`(?i)\b(?:ANGLE|LENGTH)?UNIT\s*[[(]\s*"([^"]*)"\s*,\s*([-+.0-9eE]+)`)
)

// geographicWGS84 returns what speaks against a coordinate system.
//
// The datums taken for WGS 84 are those on its ellipsoid or on GRS 80 (ETRS89,
// NAD83 and others): they lie within a few metres of it, less than a post.
func geographicWGS84(text string) error {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\ufeff"))
	root := wktRoot.FindStringSubmatch(text)
	if root == nil {
		return geographicKeywords(text)
	}
	quote := func(word string) string { return quoteWord([]byte(word)) }
	name := quote(root[2])
	bare := wktQuoted.ReplaceAllString(text, `""`) // a name may contain a keyword
	if wktProjected.MatchString(bare) {
		return fmt.Errorf("the grid is projected, %s", name)
	}
	if !wktGeodetic.MatchString(bare) || strings.Contains(strings.ToUpper(bare), "CARTESIAN") {
		return fmt.Errorf("%s (%s) is not longitude and latitude", name, quote(root[1]))
	}
	ellipsoids := wktEllipsoid.FindAllStringSubmatch(text, -1)
	if len(ellipsoids) == 0 {
		return fmt.Errorf("%s names no ellipsoid", name)
	}
	for _, e := range ellipsoids {
		// WGS 84: 6378137 m and 298.257223563; GRS 80: the same and
		// 298.257222101 (EPSG ellipsoids 7030 and 7019).
		if !(math.Abs(wktNumber(e[2])-6378137) <= 0.5) || !(math.Abs(wktNumber(e[3])-298.257223) <= 1e-4) {
			return fmt.Errorf("%s lies on the ellipsoid %s", name, quote(e[1]))
		}
	}
	for _, m := range wktMeridian.FindAllStringSubmatch(text, -1) {
		if wktNumber(m[2]) != 0 {
			return fmt.Errorf("%s counts longitude from %s", name, quote(m[1]))
		}
	}
	for _, u := range wktUnit.FindAllStringSubmatch(text, -1) {
		// Metres occur as the unit of the ellipsoid or of the heights.
		if v := wktNumber(u[2]); !(math.Abs(v-math.Pi/180) <= 1e-9) && v != 1 {
			return fmt.Errorf("%s is in units of %s", name, quote(u[1]))
		}
	}
	return nil
}

// wktNumber reads a number out of well-known text, NaN if it is none.
func wktNumber(word string) float64 {
	v, err := strconv.ParseFloat(word, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// geographicKeywords judges the older form of a .prj file: a keyword and its
// value per line, such as "Projection GEOGRAPHIC".
func geographicKeywords(text string) error {
	value := map[string]string{}
	for line := range strings.Lines(text) {
		if words := strings.Fields(strings.ToUpper(line)); len(words) >= 2 {
			value[words[0]] = words[1]
		}
	}
	switch projection := value["PROJECTION"]; projection {
	case "GEOGRAPHIC":
	case "":
		return fmt.Errorf("not understood as a coordinate system, it begins with %s", quoteWord([]byte(text)))
	default:
		return fmt.Errorf("the grid is projected, %s", quoteWord([]byte(projection)))
	}
	var errs []error
	for _, want := range []struct {
		key     string
		allowed []string
	}{
		{"DATUM", []string{"WGS84", "WGS_1984", "NAD83"}},
		{"UNITS", []string{"DD", "DEGREES"}},
		{"ZUNITS", []string{"METERS", "NO"}},
	} {
		if v, has := value[want.key]; has && !slices.Contains(want.allowed, v) {
			errs = append(errs, fmt.Errorf("%s is %s, allowed are %s", want.key, quoteWord([]byte(v)),
				strings.Join(want.allowed, ", ")))
		}
	}
	return errors.Join(errs...)
}
