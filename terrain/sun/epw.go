package sun

import (
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/polereach/polereach/terrain/fault"
)

// An EPW file has eight lines of head, each with its keyword.
var epwHead = [8][]string{
	{"LOCATION"}, {"DESIGN CONDITIONS"}, {"TYPICAL/EXTREME PERIODS"}, {"GROUND TEMPERATURES"},
	{"HOLIDAYS/DAYLIGHT SAVINGS", "HOLIDAYS/DAYLIGHT SAVING"}, {"COMMENTS 1"}, {"COMMENTS 2"}, {"DATA PERIODS"},
}

// readEPW reads the EPW format (EnergyPlus, Auxiliary Programs, "EPW data
// dictionary").
func readEPW(r io.Reader) (*parser, error) {
	p := &parser{w: &Weather{}, airLateH: 0.5}
	if err := p.eachLine(r, p.take); err != nil {
		return nil, err
	}
	if p.line < len(epwHead) {
		return nil, fault.Input("sun: weather file: %d lines, must be 8 lines of head and 8760 of data", p.line)
	}
	return p, nil
}

// take takes one line in.
func (p *parser) take(text string) {
	if p.line > len(epwHead) {
		if text != "" {
			p.rows++
			p.row(strings.Split(text, ","))
		}
		return
	}
	fields, want := strings.Split(text, ","), epwHead[p.line-1]
	if !slices.ContainsFunc(want, func(w string) bool { return strings.EqualFold(strings.TrimSpace(fields[0]), w) }) {
		p.fault("line %d begins with %.40q, must be %s", p.line, fields[0], want[0])
		return
	}
	switch want[0] {
	case "LOCATION":
		p.location(fields)
	case "COMMENTS 1", "COMMENTS 2":
		p.offset(text)
	case "DATA PERIODS":
		p.checkZone()
		if len(fields) > 2 && strings.TrimSpace(fields[2]) != "1" {
			p.fault("line %d: %.20q records an hour, must be 1", p.line, fields[2])
		}
	}
}

// location reads name, latitude, longitude, zone and height.
func (p *parser) location(fields []string) {
	if len(fields) < 10 {
		p.fault("line 1: LOCATION has %d fields, must be 10", len(fields))
		return
	}
	p.w.Name = strings.TrimSpace(fields[1])
	p.w.Typical = strings.Contains(strings.ToUpper(strings.Join(fields[:6], " ")), "TMY")
	p.w.At[1] = p.number(fields[6], "latitude", 90)
	p.w.At[0] = p.number(fields[7], "longitude", 360)
	p.w.ZoneH = p.number(fields[8], "time zone", 14)
	p.w.HeightM = p.number(fields[9], "height", 9000)
}

// checkZone holds the zone of the head against the longitude: a zone runs at most some hours off
// the sun, so that a longitude west given as a positive number shows here. Files that state the
// offset of their irradiance are known to name any zone; there the sun decides.
func (p *parser) checkZone() {
	off := math.Remainder(p.w.At[0]/15-p.w.ZoneH, 24)
	if p.stated || len(p.faults) > 0 || math.Abs(off) <= 4 {
		return
	}
	p.fault("line 1: longitude %g° and time zone %g h are %.1f h apart; longitudes count positive to the east",
		p.w.At[0], p.w.ZoneH, off)
}

// missingWM2 and missingAirC are the codes of missing values: whatever is at
// least as high is missing.
const missingWM2, missingAirC = 9999, 99.9

// row reads a row of data: missing values become NaN until they are filled in.
func (p *parser) row(fields []string) {
	if len(fields) < 16 {
		p.fault("line %d: %d fields, must be 16 or more", p.line, len(fields))
		return
	}
	before := len(p.faults) + p.more
	h := WeatherHour{
		Year:       int(p.number(fields[0], "year", 9999)),
		Month:      time.Month(p.number(fields[1], "month", 12)),
		DayOfMonth: int(p.number(fields[2], "day", 31)),
		Hour:       int(p.number(fields[3], "hour", 24)),
		AirK:       p.value(fields[6], "temperature", -90, 70, missingAirC) + 273.15,
		GlobalWM2:  p.value(fields[13], "global radiation", 0, 1999, missingWM2),
		BeamWM2:    p.value(fields[14], "beam radiation", 0, 1999, missingWM2),
		DiffuseWM2: p.value(fields[15], "diffuse radiation", 0, 1999, missingWM2),
	}
	if len(p.faults)+p.more == before {
		p.hour(h)
	}
}
