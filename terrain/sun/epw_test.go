package sun

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

// station is an invented weather station.
type station struct {
	at    orb.Point
	zoneH float64
	// lateH puts the times of the file behind the sun.
	lateH float64
}

var inland = station{at: orb.Point{8, 46}, zoneH: 1}

var stationRows sync.Map // of a station, made once

// rows returns a year of invented weather in the EPW layout: clear and dull days
// in turn, made by the clear-sky model, the radiation of each hour the mean of 6
// moments.
func (s station) rows() [][]string {
	if made, ok := stationRows.Load(s); ok {
		return made.([][]string)
	}
	rows := make([][]string, 8760)
	var sun track
	start := time.Date(referenceYear, 1, 1, 0, 0, 0, 0, time.UTC)
	for i := range rows {
		civil := start.Add(time.Duration(i) * time.Hour)
		var g, bn, d float64
		for k := range 6 {
			at := civil.Add(time.Duration((float64(k)+0.5)/6*float64(time.Hour)) -
				time.Duration((s.zoneH+s.lateH)*float64(time.Hour)))
			p := sun.at(julianDay(at), s.at)
			sky := Ineichen(p.TrueElevDeg, 400, 3, SolarConstantWM2)
			if i/24%3 == 1 { // a dull day
				sky = ClearSky{GlobalWM2: 0.3 * sky.GlobalWM2, DiffuseWM2: 0.3 * sky.GlobalWM2}
			}
			g, bn, d = g+sky.GlobalWM2/6, bn+sky.BeamWM2/6, d+sky.DiffuseWM2/6
		}
		air := 10 - 12*math.Cos(2*math.Pi*float64(i)/8760) - 4*math.Cos(2*math.Pi*float64(i%24)/24)
		f := make([]string, 35)
		for k := range f {
			f[k] = "0"
		}
		f[0], f[1], f[2], f[3] = fmt.Sprint(1990+i%7), fmt.Sprint(int(civil.Month())), fmt.Sprint(civil.Day()),
			fmt.Sprint(civil.Hour()+1)
		f[6], f[13], f[14], f[15] = fmt.Sprintf("%.1f", air), fmt.Sprintf("%.2f", g), fmt.Sprintf("%.2f", bn),
			fmt.Sprintf("%.2f", d)
		rows[i] = f
	}
	stationRows.Store(s, rows)
	return rows
}

// epw writes the file of a station. edit may change or drop a row (by its number
// from 0).
func (s station) epw(edit func(row int, fields []string) []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "LOCATION,Windy Gap,Nowhere,XXX,invented,000000,%g,%g,%g,400\n", s.at[1], s.at[0], s.zoneH)
	for _, k := range []string{"DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,invented", "COMMENTS 2,",
		"DATA PERIODS,1,1,Data,Sunday,1/1,12/31"} {
		b.WriteString(k + "\n")
	}
	for i, row := range s.rows() {
		f := slices.Clone(row)
		if edit != nil {
			if f = edit(i, f); f == nil {
				continue
			}
		}
		b.WriteString(strings.Join(f, ",") + "\n")
	}
	return b.String()
}

func readAll(text string) (*Weather, error) {
	return ReadWeather(strings.NewReader(text), WeatherOptions{})
}

func mustReadEPW(t *testing.T, text string, opt WeatherOptions) *Weather {
	t.Helper()
	w, err := ReadWeather(strings.NewReader(text), opt)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func TestReadEPW(t *testing.T) {
	w := mustReadEPW(t, inland.epw(nil), WeatherOptions{})
	if w.Name != "Windy Gap" || w.At != inland.at || w.ZoneH != 1 || w.HeightM != 400 || len(w.Hours) != 8760 ||
		w.Filled != 0 {
		t.Errorf("%q %v zone %g, %g m, %d hours, %d filled", w.Name, w.At, w.ZoneH, w.HeightM, len(w.Hours), w.Filled)
	}
	h := w.Hours[171*24+11]
	if h.Month != time.June || h.DayOfMonth != 21 || h.Hour != 12 || h.GlobalWM2 < 100 {
		t.Errorf("21 June, noon: %+v", h)
	}
	// Line ends, a byte order mark and the other spelling of line 5.
	text := "\ufeff" + strings.ReplaceAll(inland.epw(nil), "\n", "\r\n")
	text = strings.Replace(text, "DAYLIGHT SAVINGS", "DAYLIGHT SAVING", 1)
	mustReadEPW(t, text, WeatherOptions{})
	// Across the date line, in the south, within a polar circle.
	for _, s := range []station{{orb.Point{178, -18}, 12, 0}, {orb.Point{-179, 52}, -12, 0},
		{orb.Point{179.5, -45}, -12, 0}, {orb.Point{25, 70}, 1, 0}, {orb.Point{-70, -33}, -4, 0}} {
		if _, err := ReadWeather(strings.NewReader(s.epw(nil)), WeatherOptions{}); err != nil {
			t.Errorf("%v: %v", s, err)
		}
	}
}

// The radiation of a row is that of its hour, its temperature that of a moment: the
// end of the hour in EPW (EnergyPlus, "EPW data dictionary": "at the time indicated"),
// the stamp at its beginning in PVGIS, 0.2 h before the irradiance here. The air of
// the invented station is a cosine in the number of the row.
func TestAirIsOfTheMiddleOfTheHour(t *testing.T) {
	air := func(row float64) float64 {
		return 283.15 - 12*math.Cos(2*math.Pi*row/8760) - 4*math.Cos(2*math.Pi*row/24)
	}
	utc := station{at: inland.at}
	csv, j := utc.pvgis("0.5")
	stated := strings.Replace(utc.epw(nil), "COMMENTS 2,", "COMMENTS 2,Irradiance Time Offset (h):-0.5", 1)
	for _, c := range []struct {
		name, text string
		lateH      float64
	}{{"EPW", inland.epw(nil), 0.5}, {"EPW of PVGIS", stated, -0.5}, {"CSV", csv, -0.5}, {"JSON", string(j), -0.5}} {
		w := mustReadEPW(t, c.text, WeatherOptions{})
		for _, i := range []int{0, 5, 30, 4000, 8759} {
			near(t, fmt.Sprintf("%s, row %d", c.name, i), w.Hours[i].AirK, air(float64(i)-c.lateH), 0.11)
		}
	}
}

// What is missing and can be filled in.
func TestReadEPWFills(t *testing.T) {
	const noon, night = 172*24 + 11, 172*24 + 1 // 22 June, dull; the day after is clear
	full := mustReadEPW(t, inland.epw(nil), WeatherOptions{})
	for _, c := range []struct {
		name   string
		row    int
		fields map[int]string
		filled int
	}{
		{"night", night, map[int]string{13: "9999", 14: "9999", 15: "9999"}, 3},
		{"global", noon + 24, map[int]string{13: "9999"}, 1},
		{"beam", noon + 24, map[int]string{14: "9999"}, 1},
		{"diffuse", noon + 24, map[int]string{15: "99990"}, 1},
		{"air", noon, map[int]string{6: "99.9"}, 1},
	} {
		w := mustReadEPW(t, inland.epw(func(row int, f []string) []string {
			if row == c.row {
				for k, v := range c.fields {
					f[k] = v
				}
			}
			return f
		}), WeatherOptions{})
		got, want := w.Hours[c.row], full.Hours[c.row]
		if w.Filled != c.filled {
			t.Errorf("%s: %d filled, want %d", c.name, w.Filled, c.filled)
		}
		near(t, c.name+": global", got.GlobalWM2, want.GlobalWM2, 0.01*want.GlobalWM2)
		near(t, c.name+": beam", got.BeamWM2, want.BeamWM2, 0.01*want.BeamWM2)
		near(t, c.name+": diffuse", got.DiffuseWM2, want.DiffuseWM2, 5)
		near(t, c.name+": air", got.AirK, want.AirK, 0.5)
	}
	// Beam and diffuse from global alone: Erbs splits, the parts add up.
	w := mustReadEPW(t, inland.epw(func(_ int, f []string) []string { f[14], f[15] = "9999", "9999"; return f }),
		WeatherOptions{})
	h := w.Hours[noon+24]
	near(t, "split adds up", h.DiffuseWM2+h.BeamWM2*w.meanSinElev(&track{}, noon+24), h.GlobalWM2, 1)
}

// A file of universal time whose head says zone 1, as one of the files behind the
// reference: the error names the shift, and with it the file is read.
func TestReadEPWShift(t *testing.T) {
	utc := station{at: orb.Point{8, 45}, zoneH: 1, lateH: -1}.epw(nil)
	_, err := ReadWeather(strings.NewReader(utc), WeatherOptions{})
	if err == nil || !strings.Contains(err.Error(), "shift of +1 h") {
		t.Fatalf("error %v, want a shift of +1 h", err)
	}
	shifted := mustReadEPW(t, utc, WeatherOptions{ShiftH: 1})
	right := mustReadEPW(t, station{at: orb.Point{8, 45}, zoneH: 0}.epw(nil), WeatherOptions{})
	p := Panel{TiltDeg: 60, AzimuthDeg: 180}
	a, err1 := Replay(Site{At: orb.Point{8, 45}}, p, shifted)
	b, err2 := Replay(Site{At: orb.Point{8, 45}}, p, right)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	for i := range a.Days {
		near(t, "a day read with the shift", a.Days[i].PlaneWhM2(), b.Days[i].PlaneWhM2(), 0.02*b.Days[i].PlaneWhM2()+1)
	}
}

func TestReadEPWLeapYear(t *testing.T) {
	var out []string
	for i, line := range strings.Split(strings.TrimSpace(inland.epw(nil)), "\n") {
		out = append(out, line)
		if i == 8+59*24-1 { // after 28 February, 24 h
			for h := range 24 {
				f := strings.Split(line, ",")
				f[2], f[3] = "29", fmt.Sprint(h+1)
				out = append(out, strings.Join(f, ","))
			}
		}
	}
	w := mustReadEPW(t, strings.Join(out, "\n"), WeatherOptions{})
	if len(w.Hours) != 8760 || w.Hours[59*24].Month != time.March {
		t.Errorf("%d hours, %+v", len(w.Hours), w.Hours[59*24])
	}
}
