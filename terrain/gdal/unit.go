//go:build gdal

package gdal

import (
	"fmt"
	"strings"
)

// Lengths in metres. The foot is 0.3048 m by the international yard and pound
// agreement of 1959; the US survey foot is 1200/3937 m by the Mendenhall order
// of 1893 (Federal Register 24 FR 5348).
const (
	footM         = 0.3048
	usSurveyFootM = 1200.0 / 3937.0
)

// verticalUnits are the names that drivers and coordinate systems use, lower
// case, blanks and underscores for one another.
var verticalUnits = map[string]struct {
	name    string
	lengthM float64
}{
	"m": {"metre", 1}, "metre": {"metre", 1}, "metres": {"metre", 1}, "meter": {"metre", 1}, "meters": {"metre", 1},
	"mm": {"millimetre", 1e-3}, "millimetre": {"millimetre", 1e-3}, "millimeter": {"millimetre", 1e-3}, "millimeters": {"millimetre", 1e-3},
	"cm": {"centimetre", 1e-2}, "centimetre": {"centimetre", 1e-2}, "centimeter": {"centimetre", 1e-2}, "centimeters": {"centimetre", 1e-2},
	"dm": {"decimetre", 1e-1}, "decimetre": {"decimetre", 1e-1}, "decimeter": {"decimetre", 1e-1}, "decimeters": {"decimetre", 1e-1},
	"km": {"kilometre", 1e3}, "kilometre": {"kilometre", 1e3}, "kilometer": {"kilometre", 1e3}, "kilometers": {"kilometre", 1e3},
	"ft": {"foot", footM}, "foot": {"foot", footM}, "feet": {"foot", footM}, "international foot": {"foot", footM}, "international feet": {"foot", footM},
	"us survey foot": {"US survey foot", usSurveyFootM}, "us survey feet": {"US survey foot", usSurveyFootM},
	"us-ft": {"US survey foot", usSurveyFootM}, "ftus": {"US survey foot", usSurveyFootM}, "foot us": {"US survey foot", usSurveyFootM},
	"survey foot": {"US survey foot", usSurveyFootM}, "u.s. survey foot": {"US survey foot", usSurveyFootM}, "sfoot": {"US survey foot", usSurveyFootM},
}

// verticalUnit settles the unit of the stored heights: what the band says, else
// what the vertical coordinate system says, else metres.
func verticalUnit(band string, system crs) (name string, lengthM float64, err error) {
	key := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(band, "_", " ")), " "))
	if key == "" || key == "unknown" {
		if system.verticalUnitM > 0 {
			if u, known := verticalUnits[strings.ToLower(system.verticalUnit)]; known && nearlyEqual(u.lengthM, system.verticalUnitM) {
				return u.name, u.lengthM, nil
			}
			return system.verticalUnit, system.verticalUnitM, nil
		}
		return "metre", 1, nil
	}
	if u, known := verticalUnits[key]; known {
		return u.name, u.lengthM, nil
	}
	return "", 0, fmt.Errorf("its heights are in %q, known are metres (also milli-, centi-, deci-, kilo-), feet and US survey feet", band)
}
