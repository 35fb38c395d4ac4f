package sun

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain/fault"
)

// WeatherHour is one hour of a weather file, from Hour-1 to Hour o'clock in the
// time of the file.
type WeatherHour struct {
	Year       int
	Month      time.Month
	DayOfMonth int
	Hour       int // 1 to 24
	// AirK is the temperature of the air in the middle of the hour, kelvin.
	AirK float64
	// GlobalWM2 and DiffuseWM2 are means on level ground, BeamWM2 the mean square
	// to the sun, W/m².
	GlobalWM2, BeamWM2, DiffuseWM2 float64
}

// Weather is a year of hours, as a weather file tells them. Several
// goroutines may replay it at once.
type Weather struct {
	Name    string
	At      orb.Point
	HeightM float64
	// ZoneH is the time of the hours less universal time, hours: the radiation of
	// an hour is that of its middle.
	ZoneH float64
	// Hours holds 8760 hours from 1 January, without a 29 February.
	Hours []WeatherHour
	// Filled counts the values that were missing and could be filled in safely.
	Filled int
	// Typical says that the months were chosen from many years.
	Typical bool
	// Source says in a few words what the file is.
	Source string
}

// WeatherOptions says how to take a weather file whose times are known to be off.
type WeatherOptions struct {
	// ShiftH is added to the times of the file, hours, -12 to 12. A file whose
	// hours are those of universal time but whose head names zone 1 needs 1,
	// unless it states the offset of its irradiance times.
	ShiftH float64
}

// Bounds on what is read, so that no file can ask for unlimited memory.
const (
	longestLine   = 1 << 20
	mostRows      = 8784
	mostFaults    = 8
	mostFileBytes = 64 << 20
)

// ReadWeather reads a year of hourly weather as its makers deliver it, plain or compressed by gzip:
// the EPW format, and the typical year of PVGIS in CSV and JSON.
//
// A file may state how far the times of its irradiance lie from those of its rows ("Irradiance Time
// Offset"). Rows of an EPW file that does are taken in universal time or in the zone of its head,
// whichever fits the sun. The radiation of a file is that of an hour, its temperature that of a
// moment: the end of the hour in EPW files, the beginning in those of PVGIS. Between two of them it
// is taken along a straight line.
//
// Refused, all faults of the file in one error: a head out of order, a number of rows other than
// 8760 (or 8784 with a 29 February, which is left out), rows out of order, values that are no
// numbers, missing values that cannot be filled in, and hours that do not fit the sun. Filled in
// are missing radiation while the sun is down, one missing of the three kinds of radiation, and
// missing temperatures between known ones at most six hours apart.
func ReadWeather(r io.Reader, opt WeatherOptions) (*Weather, error) {
	if !(math.Abs(opt.ShiftH) <= 12) {
		return nil, fault.Input("sun: weather file: shift of %g h, must be within ±12 h", opt.ShiftH)
	}
	in := bufio.NewReader(r)
	if magic, _ := in.Peek(2); bytes.Equal(magic, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(in)
		if err != nil {
			return nil, fmt.Errorf("sun: weather file: gzip: %w", err)
		}
		in = bufio.NewReader(z)
	}
	read := readEPW
	switch head, _ := in.Peek(512); {
	case bytes.HasPrefix(bytes.TrimLeft(head, "\ufeff \t\r\n"), []byte("{")):
		read = readPVGISJSON
	case bytes.Contains(head, []byte("(decimal degrees)")):
		read = readPVGISCSV
	}
	p, err := read(io.LimitReader(in, mostFileBytes))
	if err != nil {
		return nil, err
	}
	p.checkRows()
	if err := p.err(); err != nil {
		return nil, err
	}
	w := p.finish()
	w.ZoneH -= opt.ShiftH     // times later by the shift
	w.chooseZone(p.headZoneH) // first: what may be filled in hangs on the sun
	if err := w.complete(); err != nil {
		return nil, err
	}
	w.airToMiddle(p.airLateH)
	if err := w.checkShift(); err != nil {
		return nil, err
	}
	return w, nil
}

// parser collects a file and its faults.
type parser struct {
	w          *Weather
	line, rows int
	leap       int     // rows of a 29 February
	disordered bool    // a row out of order has been reported
	stated     bool    // an EPW file states the offset of its irradiance
	headZoneH  float64 // of such a file
	airLateH   float64 // when the temperature is of, after the middle of the hour of sun
	faults     []error
	more       int // faults beyond the first few
}

// eachLine calls f with the lines of a file, until there are more rows than a year has.
func (p *parser) eachLine(r io.Reader, f func(text string)) error {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, 64<<10), longestLine)
	for p.rows <= mostRows && lines.Scan() {
		p.line++
		f(strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff")))
	}
	if err := lines.Err(); err != nil {
		return fmt.Errorf("sun: weather file: line %d: %w", p.line+1, err)
	}
	return nil
}

func (p *parser) fault(format string, args ...any) {
	if len(p.faults) == mostFaults {
		p.more++
		return
	}
	p.faults = append(p.faults, fault.Input("sun: weather file: "+format, args...))
}

func (p *parser) err() error {
	if p.more > 0 {
		return errors.Join(append(p.faults, fmt.Errorf("sun: weather file: and %d more faults", p.more))...)
	}
	return errors.Join(p.faults...)
}

// offset takes in a line of an EPW file that may state how many hours after the
// stamp of its row the irradiance was seen.
func (p *parser) offset(text string) {
	const words = "irradiance time offset (h):"
	at := strings.Index(strings.ToLower(text), words)
	if at < 0 {
		return
	}
	// The stamp of a row is the end of its hour, half an hour after the middle.
	p.headZoneH, p.stated = p.w.ZoneH, true
	stampToSunH := p.number(strings.Trim(text[at+len(words):], " ,\r"), "offset of the irradiance", 12)
	p.w.ZoneH = -0.5 - stampToSunH
	// PVGIS does so, and writes the air of the beginning of the hour.
	p.airLateH, p.w.Source = -1-stampToSunH, pvgisCredit
}

// chooseZone takes the rows, until now in universal time, in the zone of the head
// where that fits the sun better.
func (w *Weather) chooseZone(headZoneH float64) {
	if headZoneH == 0 {
		return
	}
	universal, _ := w.residue(0)
	if inHead, _ := w.residue(-headZoneH); inHead < universal {
		w.ZoneH += headZoneH
	}
}

// finish fills in what the rows tell together.
func (p *parser) finish() *Weather {
	w := p.w
	years := map[int]bool{}
	for _, h := range w.Hours {
		years[h.Year] = true
	}
	// A single year may have a row or two of its neighbours.
	w.Typical = w.Typical || len(years) > 2
	if w.Name == "" || strings.EqualFold(w.Name, "unknown") {
		w.Name = fmt.Sprintf("%.3f, %.3f", w.At[1], w.At[0])
	}
	kind := "a year"
	if w.Typical {
		kind = "a typical year"
	}
	w.Source = strings.TrimSuffix(fmt.Sprintf("weather file %s, %s; %s", w.Name, kind, w.Source), "; ")
	return w
}

// number reads a number within ±limit.
func (p *parser) number(text, what string, limit float64) float64 {
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || !(math.Abs(x) <= limit) {
		p.fault("line %d: %s is %.20q, must be a number within ±%g", p.line, what, text, limit)
		return 0
	}
	return x
}

// value reads a value, NaN where it is missing.
func (p *parser) value(text, what string, least, most, missing float64) float64 {
	text = strings.TrimSpace(text)
	if text == "" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !(x >= least) || x > most && x < missing {
		p.fault("line %d: %s is %.20q, must be a number, %g to %g, or %g and above where missing", p.line, what, text,
			least, most, missing)
		return 0
	}
	if x >= missing {
		return math.NaN()
	}
	return x
}

// hour takes an hour in, in its place.
func (p *parser) hour(h WeatherHour) {
	if h.Month == time.February && h.DayOfMonth == 29 {
		p.leap++
		return
	}
	p.checkOrder(h)
	p.w.Hours = append(p.w.Hours, h)
}

// checkOrder holds a row against the place it must have in the year. The first
// one that is out of place is reported; all after it may be, too.
func (p *parser) checkOrder(h WeatherHour) {
	i := p.rows - 1 - p.leap
	if p.disordered || i >= 8760 {
		return
	}
	want := time.Date(referenceYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Hour)
	if h.Month != want.Month() || h.DayOfMonth != want.Day() || h.Hour != want.Hour()+1 {
		p.disordered = true
		p.fault("line %d: month %d, day %d, hour %d, must be month %d, day %d, hour %d (hours run from 1 to 24, rows from "+
			"1 January on)",
			p.line, h.Month, h.DayOfMonth, h.Hour, want.Month(), want.Day(), want.Hour()+1)
	}
}

// checkRows holds the number of rows against that of a year. It goes first.
func (p *parser) checkRows() {
	const wanted = "rows of data, must be 8760, one for each hour of a year"
	var err error
	switch {
	case p.rows > mostRows:
		err = fault.Input("sun: weather file: more than %d "+wanted, mostRows)
	case p.rows-p.leap != 8760 || p.leap != 0 && p.leap != 24:
		err = fault.Input("sun: weather file: %d "+wanted, p.rows)
	default:
		return
	}
	p.faults = append([]error{err}, p.faults...)
}
