package sun

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"
)

// WeatherHour is one hour of a weather file, from Hour-1 to Hour o'clock in local
// standard time.
type WeatherHour struct {
	Year       int
	Month      time.Month
	DayOfMonth int
	Hour       int // 1 to 24
	// AirK is the temperature of the air, kelvin.
	AirK float64
	// GlobalWM2 and DiffuseWM2 are means on level ground, BeamWM2 the mean square
	// to the sun, W/m².
	GlobalWM2, BeamWM2, DiffuseWM2 float64
}

// Weather is a year of hours, as a weather file tells them.
type Weather struct {
	Name    string
	At      orb.Point
	HeightM float64
	// ZoneH is local standard time less universal time, hours.
	ZoneH float64
	// Hours holds 8760 hours from 1 January, without a 29 February.
	Hours []WeatherHour
	// Filled counts the values that were missing and could be filled in safely.
	Filled int
}

// EPWOptions says how to take a weather file whose times are known to be off.
type EPWOptions struct {
	// ShiftH is added to the times of the file, hours, -12 to 12. A file whose
	// hours are those of universal time but whose head names zone 1 needs 1.
	ShiftH float64
}

// An EPW file has eight lines of head, each with its keyword.
var epwHead = [8][]string{
	{"LOCATION"}, {"DESIGN CONDITIONS"}, {"TYPICAL/EXTREME PERIODS"}, {"GROUND TEMPERATURES"},
	{"HOLIDAYS/DAYLIGHT SAVINGS", "HOLIDAYS/DAYLIGHT SAVING"}, {"COMMENTS 1"}, {"COMMENTS 2"}, {"DATA PERIODS"},
}

// Bounds on what is read, so that no file can ask for unlimited memory.
const (
	longestEPWLine = 1 << 20
	mostEPWRows    = 8784
	mostFaults     = 8
)

// ReadEPW reads a year of hourly weather in the EPW format (EnergyPlus, Auxiliary
// Programs, "EPW data dictionary").
//
// Refused, all faults of the file in one error: a head out of order, a number of
// rows other than 8760 (or 8784 with a 29 February, which is left out), rows out
// of order, values that are no numbers, missing values that cannot be filled in,
// and hours that do not fit the sun. Filled in are missing radiation while the
// sun is down, one missing of the three kinds of radiation, and missing
// temperatures between known ones at most six hours apart.
func ReadEPW(r io.Reader, opt EPWOptions) (*Weather, error) {
	if !(math.Abs(opt.ShiftH) <= 12) {
		return nil, fmt.Errorf("sun: weather file: shift of %g h, must be within ±12 h", opt.ShiftH)
	}
	p := epwParser{w: &Weather{}}
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, 64<<10), longestEPWLine)
	for lines.Scan() {
		p.line++
		p.take(strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff")))
		if p.rows > mostEPWRows {
			break
		}
	}
	if err := lines.Err(); err != nil {
		return nil, fmt.Errorf("sun: weather file: line %d: %w", p.line+1, err)
	}
	if p.line < len(epwHead) {
		return nil, fmt.Errorf("sun: weather file: %d lines, must be 8 lines of head and 8760 of data", p.line)
	}
	p.checkRows()
	if err := p.err(); err != nil {
		return nil, err
	}
	w := p.w
	w.ZoneH -= opt.ShiftH // times later by the shift
	if err := w.complete(); err != nil {
		return nil, err
	}
	if err := w.checkShift(); err != nil {
		return nil, err
	}
	return w, nil
}

// epwParser collects a file and its faults.
type epwParser struct {
	w          *Weather
	line, rows int
	leap       int  // rows of a 29 February
	disordered bool // a row out of order has been reported
	faults     []error
	more       int // faults beyond the first few
}

func (p *epwParser) fault(format string, args ...any) {
	if len(p.faults) == mostFaults {
		p.more++
		return
	}
	p.faults = append(p.faults, fmt.Errorf("sun: weather file: "+format, args...))
}

func (p *epwParser) err() error {
	if p.more > 0 {
		return errors.Join(append(p.faults, fmt.Errorf("sun: weather file: and %d more faults", p.more))...)
	}
	return errors.Join(p.faults...)
}

// take takes one line in.
func (p *epwParser) take(text string) {
	if p.line > len(epwHead) {
		if text != "" {
			p.rows++
			p.row(strings.Split(text, ","))
		}
		return
	}
	fields := strings.Split(text, ",")
	want := epwHead[p.line-1]
	found := false
	for _, w := range want {
		found = found || strings.EqualFold(strings.TrimSpace(fields[0]), w)
	}
	if !found {
		p.fault("line %d begins with %.40q, must be %s", p.line, fields[0], want[0])
		return
	}
	switch want[0] {
	case "LOCATION":
		p.location(fields)
	case "DATA PERIODS":
		if len(fields) > 2 && strings.TrimSpace(fields[2]) != "1" {
			p.fault("line %d: %.20q records an hour, must be 1", p.line, fields[2])
		}
	}
}

// location reads name, latitude, longitude, zone and height.
func (p *epwParser) location(fields []string) {
	if len(fields) < 10 {
		p.fault("line 1: LOCATION has %d fields, must be 10", len(fields))
		return
	}
	p.w.Name = strings.TrimSpace(fields[1])
	p.w.At[1] = p.number(fields[6], "latitude", 90)
	p.w.At[0] = p.number(fields[7], "longitude", 360)
	p.w.ZoneH = p.number(fields[8], "time zone", 14)
	p.w.HeightM = p.number(fields[9], "height", 9000)
	// A zone runs at most some hours off the sun: a longitude west given as a
	// positive number shows here.
	if off := math.Remainder(p.w.At[0]/15-p.w.ZoneH, 24); len(p.faults) == 0 && math.Abs(off) > 4 {
		p.fault("line 1: longitude %g° and time zone %g h are %.1f h apart; longitudes count positive to the east", p.w.At[0], p.w.ZoneH, off)
	}
}

// number reads a number within ±limit.
func (p *epwParser) number(text, what string, limit float64) float64 {
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(math.Abs(x) <= limit) {
		p.fault("line %d: %s is %.20q, must be a number within ±%g", p.line, what, text, limit)
		return 0
	}
	return x
}

// missingWM2 and missingAirC are the codes of missing values: whatever is at
// least as high is missing.
const missingWM2, missingAirC = 9999, 99.9

// row reads a row of data: missing values become NaN until they are filled in.
func (p *epwParser) row(fields []string) {
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
	switch {
	case len(p.faults)+p.more > before:
	case h.Month == time.February && h.DayOfMonth == 29:
		p.leap++
	default:
		p.checkOrder(h)
		p.w.Hours = append(p.w.Hours, h)
	}
}

// value reads a value, NaN where it is missing.
func (p *epwParser) value(text, what string, least, most, missing float64) float64 {
	text = strings.TrimSpace(text)
	if text == "" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= least) || x > most && x < missing {
		p.fault("line %d: %s is %.20q, must be a number, %g to %g, or %g and above where missing", p.line, what, text, least, most, missing)
		return 0
	}
	if x >= missing {
		return math.NaN()
	}
	return x
}

// checkOrder holds a row against the place it must have in the year. The first
// one that is out of place is reported; all after it may be, too.
func (p *epwParser) checkOrder(h WeatherHour) {
	i := p.rows - 1 - p.leap
	if p.disordered || i >= 8760 {
		return
	}
	want := time.Date(referenceYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Hour)
	if h.Month != want.Month() || h.DayOfMonth != want.Day() || h.Hour != want.Hour()+1 {
		p.disordered = true
		p.fault("line %d: month %d, day %d, hour %d, must be month %d, day %d, hour %d (hours run from 1 to 24, rows from 1 January on)",
			p.line, h.Month, h.DayOfMonth, h.Hour, want.Month(), want.Day(), want.Hour()+1)
	}
}

// checkRows holds the number of rows against that of a year. It goes first.
func (p *epwParser) checkRows() {
	var err error
	switch {
	case p.rows > mostEPWRows:
		err = fmt.Errorf("sun: weather file: more than %d rows of data, must be 8760, one for each hour of a year", mostEPWRows)
	case p.rows-p.leap != 8760 || p.leap != 0 && p.leap != 24:
		err = fmt.Errorf("sun: weather file: %d rows of data, must be 8760, one for each hour of a year", p.rows)
	default:
		return
	}
	p.faults = append([]error{err}, p.faults...)
}
