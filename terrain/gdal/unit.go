//go:build gdal

package gdal

import (
	"fmt"
	"slices"
	"strings"
)

// Lengths in metres. The foot is 0.3048 m by the international yard and pound
// agreement of 1959; the US survey foot is 1200/3937 m by the Mendenhall order
// of 1893 (Federal Register 24 FR 5348).
const (
	footM         = 0.3048
	usSurveyFootM = 1200.0 / 3937.0
)

// verticalUnits are the names that drivers and coordinate systems use, the common one
// first, in any case, blanks and underscores for one another.
var verticalUnits = []struct {
	lengthM float64
	names   []string
}{
	{1, []string{"metre", "m", "metres", "meter", "meters"}},
	{1e-3, []string{"millimetre", "mm", "millimeter", "millimeters"}},
	{1e-2, []string{"centimetre", "cm", "centimeter", "centimeters"}},
	{1e-1, []string{"decimetre", "dm", "decimeter", "decimeters"}},
	{1e3, []string{"kilometre", "km", "kilometer", "kilometers"}},
	{footM, []string{"foot", "ft", "feet", "international foot", "international feet"}},
	{usSurveyFootM, []string{"US survey foot", "US survey feet", "us-ft", "ftus", "foot us",
		"survey foot", "U.S. survey foot", "sfoot"}},
}

// unitOf finds a unit by its name.
func unitOf(name string) (common string, lengthM float64, known bool) {
	name = strings.Join(strings.Fields(strings.ReplaceAll(name, "_", " ")), " ")
	for _, u := range verticalUnits {
		if slices.ContainsFunc(u.names, func(n string) bool { return strings.EqualFold(n, name) }) {
			return u.names[0], u.lengthM, true
		}
	}
	return "", 0, false
}

// verticalUnit settles the unit of the stored heights: what the band says, else
// what the vertical coordinate system says, else metres.
func verticalUnit(band string, system crs) (name string, lengthM float64, err error) {
	if name, lengthM, known := unitOf(band); known {
		return name, lengthM, nil
	}
	if word := strings.Trim(band, " _\t\n"); word != "" && !strings.EqualFold(word, "unknown") {
		return "", 0, fmt.Errorf("its heights are in %q, known are metres (also milli-, centi-, deci-, kilo-), "+
			"feet and US survey feet", band)
	}
	if !(system.verticalUnitM > 0) {
		return "metre", 1, nil
	}
	if name, lengthM, known := unitOf(system.verticalUnit); known && nearlyEqual(lengthM, system.verticalUnitM) {
		return name, lengthM, nil
	}
	return system.verticalUnit, system.verticalUnitM, nil
}
