package sun

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

// What must be refused, with a message that helps.
func TestReadEPWRefusals(t *testing.T) {
	set := func(row, field int, text string) string {
		return inland.epw(func(r int, f []string) []string {
			if r == row {
				f[field] = text
			}
			return f
		})
	}
	good := inland.epw(nil)
	for name, c := range map[string]struct{ text, want string }{
		"empty":           {"", "0 lines"},
		"not an EPW file": {"a,b,c\n1,2,3\n" + strings.Repeat("x\n", 20), "must be LOCATION"},
		"head cut":        {strings.Join(strings.Split(good, "\n")[1:], "\n"), "must be LOCATION"},
		"latitude":        {strings.Replace(good, ",46,8,", ",146,8,", 1), "latitude"},
		"longitude sign":  {strings.Replace(good, ",46,8,1,", ",46,105,-7,", 1), "positive to the east"},
		"half hours":      {strings.Replace(good, "DATA PERIODS,1,1", "DATA PERIODS,1,2", 1), "must be 1"},
		"row missing": {inland.epw(func(r int, f []string) []string { return map[bool][]string{false: f}[r == 100] }),
			"8759 rows"},
		"cut off": {inland.epw(func(r int, f []string) []string { return map[bool][]string{true: f}[r < 5000] }),
			"5000 rows"},
		"row twice": {good + strings.Split(good, "\n")[8] + "\n", "8761 rows"},
		"too long":  {good + good[strings.Index(good, "1990,"):], "more than 8784"},
		"hours from 0": {inland.epw(func(r int, f []string) []string { f[3] = fmt.Sprint(r % 24); return f }),
			"hours run from 1 to 24"},
		"no number":         {set(50, 13, "sunny"), "global radiation"},
		"too bright":        {set(50, 13, "2500"), "global radiation"},
		"not a temperature": {set(50, 6, "81"), "temperature"},
		"negative":          {set(50, 15, "-3"), "diffuse radiation"},
		"short row":         {inland.epw(func(r int, f []string) []string { return f[:12+r%2*23] }), "fields"},
		"radiation missing": {inland.epw(func(_ int, f []string) []string {
			f[13], f[14], f[15] = "9999", "9999",
				"9999"
			return f
		}), "the radiation is missing in"},
		"air missing": {inland.epw(func(r int, f []string) []string {
			if r > 100 && r < 120 {
				f[6] = "99.9"
			}
			return f
		}), "the temperature is missing in 19 hours"},
		"late":  {station{inland.at, 1, 2}.epw(nil), "clock put"},
		"early": {station{inland.at, 1, -1}.epw(nil), "clock put"},
	} {
		w, err := ReadWeather(strings.NewReader(c.text), WeatherOptions{})
		if err == nil || w != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q in it", name, err, c.want)
		}
		if err != nil && len(err.Error()) > 4000 {
			t.Errorf("%s: %d letters of error", name, len(err.Error()))
		}
	}
	if _, err := ReadWeather(strings.NewReader(good), WeatherOptions{ShiftH: math.NaN()}); err == nil {
		t.Error("shift NaN: no error")
	}
}

func FuzzReadEPW(f *testing.F) {
	head := "LOCATION,a,b,c,d,e,46,8,1,400\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n" +
		"HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,\nCOMMENTS 2,\nDATA PERIODS,1,1,Data,Sunday,1/1,12/31\n"
	row := "1990,1,1,1,0,x,5.0,1,80,99000,0,0,300,0,0,0,0,0,0,0,0,3\n"
	f.Add(head, row, 1)
	f.Add(head, row, 8760)
	f.Add("LOCATION,a\n", "", 0)
	f.Fuzz(func(t *testing.T, head, row string, rows int) {
		if rows < 0 || rows > 9000 || len(row) > 300 {
			return
		}
		// Rows in order, so that a whole year gets to the checks behind them.
		var b strings.Builder
		b.WriteString(head)
		_, rest, _ := strings.Cut(row, ",0,")
		start := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
		for i := range rows {
			h := start.Add(time.Duration(i) * time.Hour)
			fmt.Fprintf(&b, "1990,%d,%d,%d,0,%s\n", int(h.Month()), h.Day(), h.Hour()+1, strings.TrimSpace(rest))
		}
		w, err := ReadWeather(strings.NewReader(b.String()), WeatherOptions{})
		if err == nil && w.check() != nil {
			t.Errorf("accepted, but %v", w.check())
		}
	})
}
