package sun

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// delivered is a weather file as its makers deliver it, plain.
func delivered(t *testing.T, name string) string {
	t.Helper()
	dir := os.Getenv("POLEREACH_WEATHER_DIR")
	if dir == "" {
		t.Skip("POLEREACH_WEATHER_DIR is not set: no weather files as delivered")
	}
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func mustReadWeather(t *testing.T, text string) *Weather {
	t.Helper()
	w, err := ReadWeather(strings.NewReader(text), WeatherOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The same typical year in its three forms: one place, one clock (the heads of
// the CSV and JSON forms state 0.1761 h from the beginning of the hour, so that
// the middle of an hour lies 0.3239 h later), and monthly sums on the level and on
// a steep panel within 1 %.
func TestYearOfPVGISInThreeForms(t *testing.T) {
	var first [24]float64
	for i, name := range []string{"pvgis_tmy_45_8.epw.gz", "pvgis_tmy_45_8.csv.gz", "pvgis_tmy_45_8.json.gz"} {
		w := mustReadWeather(t, delivered(t, name))
		near(t, name+": clock", w.ZoneH, 0.3239, 1e-9)
		if !strings.Contains(w.Source, "(c) European Union") {
			t.Errorf("%s: its makers are not named: %s", name, w.Source)
		}
		if w.At != [2]float64{8, 45} || w.HeightM != 250 || !w.Typical || !strings.Contains(w.Source,
			"45.000, 8.000, a typical year") {
			t.Errorf("%s: %v, %g m, %q, typical %v", name, w.At, w.HeightM, w.Source, w.Typical)
		}
		off, total := w.residue(0)
		if !(off < 0.06*total) {
			t.Errorf("%s: global, beam and diffuse disagree by %.1f %%", name, 100*off/total)
		}
		year, err := Replay(Site{At: w.At}, Panel{TiltDeg: 60, AzimuthDeg: 180}, w)
		if err != nil {
			t.Fatal(err)
		}
		var sums [24]float64
		for d := range year.Days {
			for _, h := range year.Days[d].Hours {
				sums[year.Days[d].Month-1] += h.GlobalWM2
				sums[11+year.Days[d].Month] += h.PlaneWM2
			}
		}
		if i == 0 {
			first = sums
		}
		for m := range sums {
			near(t, fmt.Sprintf("%s: sum %d", name, m), sums[m], first[m], 0.01*first[m])
		}
	}
}

// A file that states no offset is held against the sun as ever: refused with the
// shift that fits.
func TestFileWithoutOffsetIsCheckedByFit(t *testing.T) {
	text := strings.Replace(delivered(t, "pvgis_tmy_45_8.epw.gz"), "Irradiance Time Offset (h):-0.8239", "", 1)
	_, err := ReadWeather(strings.NewReader(text), WeatherOptions{})
	if err == nil || !strings.Contains(err.Error(), "do not fit the sun") || !strings.Contains(err.Error(),
		"a shift of +0.5 h") {
		t.Errorf("%v", err)
	}
	if _, err := ReadWeather(strings.NewReader(text), WeatherOptions{ShiftH: 0.5}); err != nil {
		t.Errorf("with the shift it asks for: %v", err)
	}
}

// A year of the west in universal time under a head that names zone 1 reads by the
// offset it states; in the zone of its head it does when the rows are in that.
func TestZoneOfTheHeadIsNotBelieved(t *testing.T) {
	for _, c := range []struct{ rowsZoneH, headZoneH, wantZoneH float64 }{{0, 1, 0}, {0, -6, 0}, {-6, -6, -6}} {
		s := station{at: [2]float64{-84, 46}, zoneH: c.rowsZoneH}
		text := strings.Replace(s.epw(nil), fmt.Sprintf(",-84,%g,400", c.rowsZoneH), fmt.Sprintf(",-84,%g,400", c.headZoneH),
			1)
		if _, err := ReadWeather(strings.NewReader(text), WeatherOptions{}); (err == nil) != (c.headZoneH == c.rowsZoneH) {
			t.Errorf("rows in %g, head %g, no offset: %v", c.rowsZoneH, c.headZoneH, err)
		}
		text = strings.Replace(text, "COMMENTS 2,", "COMMENTS 2,Irradiance Time Offset (h):-0.5", 1)
		near(t, fmt.Sprintf("rows in %g, head %g", c.rowsZoneH, c.headZoneH), mustReadWeather(t, text).ZoneH, c.wantZoneH,
			1e-9)
	}
}

// What is missing is filled in by the sun of the zone that fits: at nine in the
// morning of a file in its own zone, where universal time would have night, nothing is
// taken for nothing.
func TestZoneIsChosenBeforeGapsAreFilled(t *testing.T) {
	s := station{at: [2]float64{-84, 46}, zoneH: -6}
	for _, row := range []int{171*24 + 8, 171*24 + 14} { // 21 June
		text := s.epw(func(r int, f []string) []string {
			if r == row {
				f[13], f[14], f[15] = "9999", "9999", "9999"
			}
			return f
		})
		text = strings.Replace(text, "COMMENTS 2,", "COMMENTS 2,Irradiance Time Offset (h):-0.5", 1)
		if _, err := ReadWeather(strings.NewReader(text), WeatherOptions{}); err == nil || !strings.Contains(err.Error(),
			"radiation is missing in 1 hours") {
			t.Errorf("row %d: %v", row, err)
		}
	}
}

func TestTypicalYearOfBoulder(t *testing.T) {
	w := mustReadWeather(t, delivered(t, "boulder_tmy2.epw.gz"))
	if !w.Typical || w.Name != "BOULDER" || w.ZoneH != -7 {
		t.Errorf("%+v", w.Source)
	}
}

// pvgis writes the year of a station, in universal time, in both own forms of
// PVGIS; offsetH is what the head states, with the radiation made to fit.
func (s station) pvgis(offset string) (csv string, j []byte) {
	var b strings.Builder
	fmt.Fprintf(&b, "Latitude (decimal degrees): %g\nLongitude (decimal degrees): %g\nElevation (m): 400\n", s.at[1],
		s.at[0])
	if offset != "" {
		fmt.Fprintf(&b, "Irradiance Time Offset (h): %s\n", offset)
	}
	b.WriteString("month,year\n1,1999\n\ntime(UTC),T2m,RH,G(h),Gb(n),Gd(h)\n")
	var hours []map[string]any
	for _, r := range s.rows() {
		var month, day, hour int
		fmt.Sscan(r[1]+" "+r[2]+" "+r[3], &month, &day, &hour)
		stamp := fmt.Sprintf("2001%02d%02d:%02d00", month, day, hour-1)
		fmt.Fprintf(&b, "%s,%s,50,%s,%s,%s\n", stamp, r[6], r[13], r[14], r[15])
		row := map[string]any{"time(UTC)": stamp}
		for name, text := range map[string]string{"T2m": r[6], "G(h)": r[13], "Gb(n)": r[14], "Gd(h)": r[15]} {
			row[name] = json.Number(text)
		}
		hours = append(hours, row)
	}
	b.WriteString("\nT2m: explained\n")
	place := map[string]any{"latitude": s.at[1], "longitude": s.at[0], "elevation": 400}
	if offset != "" {
		place["irradiance_time_offset"] = json.Number(offset)
	}
	j, _ = json.Marshal(map[string]any{
		"inputs":  map[string]any{"location": place, "meteo_data": map[string]any{"use_horizon": true}},
		"outputs": map[string]any{"tmy_hourly": hours},
	})
	return b.String(), j
}

// An invented station in both forms, plain and compressed, reads as it was made;
// the radiation of the station is that of the middle of the hour.
func TestInventedYearInPVGISForms(t *testing.T) {
	s := station{at: inland.at}
	for _, offset := range []string{"", "0.5"} {
		csv, j := s.pvgis(offset)
		var packed bytes.Buffer
		z := gzip.NewWriter(&packed)
		if _, err := z.Write(j); err != nil || z.Close() != nil {
			t.Fatal(err)
		}
		for form, text := range map[string]string{"csv": csv, "json": string(j), "json.gz": packed.String()} {
			w := mustReadWeather(t, text)
			near(t, form+" clock", w.ZoneH, 0, 1e-12)
			if h := w.Hours[12]; w.At != s.at || h.Month != 1 || h.Hour != 13 || math.IsNaN(h.AirK) || !(h.GlobalWM2 > 100) ||
				w.HeightM != 400 {
				t.Errorf("%s: %v %+v", form, w.At, h)
			}
			if strings.Contains(w.Source, "behind the hills") != (form != "csv") {
				t.Errorf("%s: %s", form, w.Source)
			}
		}
	}
	// The offset is believed, and held against the sun.
	csv, _ := s.pvgis("-1.5")
	if _, err := ReadWeather(strings.NewReader(csv), WeatherOptions{}); err == nil || !strings.Contains(err.Error(),
		"do not fit the sun") {
		t.Errorf("two hours off: %v", err)
	}
}

func TestPVGISRefusals(t *testing.T) {
	csv, j := station{at: inland.at}.pvgis("0.5")
	line := func(n int, edit func(string) string) string {
		lines := strings.Split(csv, "\n")
		lines[n] = edit(lines[n])
		return strings.Join(lines, "\n")
	}
	for name, c := range map[string]struct{ text, want string }{
		"no place":     {strings.Replace(csv, "Longitude", "Lungitude", 1), "not both stated"},
		"column":       {strings.Replace(csv, "Gb(n)", "Gb", 1), "no column Gb(n)"},
		"time":         {line(20, func(s string) string { return "x" + s }), "line 21: time"},
		"value":        {line(20, func(s string) string { return s + "x" }), "line 21: Gd(h)"},
		"row short":    {line(20, func(string) string { return "20010101:1200,3" }), "line 21: 2 fields"},
		"row gone":     {strings.Replace(csv, "20010101:0500,", "20010101:0600,", 1), "month 1, day 1, hour 7"},
		"half a year":  {csv[:len(csv)/2], "rows of data, must be 8760"},
		"offset":       {strings.Replace(csv, "Offset (h): 0.5", "Offset (h): soon", 1), "offset of the irradiance"},
		"json broken":  {string(j[:len(j)/2]), "JSON"},
		"json empty":   {"{}", "not both stated"},
		"json no rows": {`{"inputs":{"location":{"latitude":46,"longitude":8}}}`, "0 rows of data"},
		"json offset": {strings.Replace(string(j), `"irradiance_time_offset":0.5`, `"irradiance_time_offset":50`, 1),
			"irradiance_time_offset 50"},
		"json place": {strings.Replace(string(j), `"latitude":46`, `"latitude":460`, 1), "no place"},
		"json value": {strings.Replace(string(j), `"Gb(n)":0.00`, `"Gb(n)":-9.00`, 1), "Gb(n) is missing or not within"},
		"gzip":       {"\x1f\x8bnothing", "gzip"},
	} {
		_, err := ReadWeather(strings.NewReader(c.text), WeatherOptions{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: no %q in %v", name, c.want, err)
		}
	}
}

func FuzzReadPVGIS(f *testing.F) {
	csv, j := station{at: inland.at}.pvgis("0.5")
	f.Add(csv[:3000])
	f.Add(string(j[:3000]))
	f.Add(`{"inputs":{"location":{"latitude":46,"longitude":8}},"outputs":{"tmy_hourly":[{"time(UTC)":"20010101:0000","T2m":1}]}}`)
	f.Fuzz(func(t *testing.T, text string) {
		if w, err := ReadWeather(strings.NewReader(text), WeatherOptions{}); err == nil && len(w.Hours) != 8760 {
			t.Errorf("%d hours accepted", len(w.Hours))
		}
	})
}
