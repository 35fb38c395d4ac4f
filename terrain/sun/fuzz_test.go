package sun

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func zipped(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestSpeed)
	if err == nil {
		_, err = w.Write([]byte(text))
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// FuzzReadGzip: a compressed text reads as the text itself; with a byte changed, or cut, it is
// refused or still the same.
func FuzzReadGzip(f *testing.F) {
	csv, j := station{at: inland.at}.pvgis("0.5")
	f.Add(csv[:600], uint16(20), byte(1), true)
	f.Add(string(j[:600]), uint16(9), byte(128), false)
	f.Add("LOCATION,a,b,c,d,e,46,8,1,400\nDESIGN CONDITIONS,0\n", uint16(0), byte(0), false)
	f.Fuzz(func(t *testing.T, text string, at uint16, bits byte, cut bool) {
		want, wantErr := ReadWeather(strings.NewReader(text), WeatherOptions{})
		data := zipped(t, text)
		got, err := ReadWeather(bytes.NewReader(data), WeatherOptions{})
		if fmt.Sprint(err) != fmt.Sprint(wantErr) || cmp.Diff(want, got) != "" {
			t.Fatalf("compressed: %v, plain: %v", err, wantErr)
		}
		if k := int(at) % len(data); cut {
			data = data[:k]
		} else {
			data[k] ^= bits
		}
		if got, err := ReadWeather(bytes.NewReader(data), WeatherOptions{}); err == nil && cmp.Diff(want, got) != "" {
			t.Fatal("damage goes unnoticed")
		}
	})
}

// FuzzPVGISYear puts a word into a whole year of either form: it is refused, or the year is
// sound and no other hour has changed.
func FuzzPVGISYear(f *testing.F) {
	csv, j := station{at: inland.at}.pvgis("0.5")
	good, err := ReadWeather(strings.NewReader(csv), WeatherOptions{})
	if err != nil {
		f.Fatal(err)
	}
	lines, values := strings.Split(csv, "\n"), strings.Split(string(j), ",")
	f.Add(uint16(40), byte(1), "12.5", false)
	f.Add(uint16(4000), byte(3), "-9", false)
	f.Add(uint16(40000), byte(3), `"G(h)":1e3`, true)
	f.Add(uint16(1), byte(0), `"elevation":null`, true)
	f.Fuzz(func(t *testing.T, at uint16, column byte, word string, asJSON bool) {
		if len(word) > 40 {
			return
		}
		text := ""
		if asJSON {
			k := int(at) % len(values)
			was := values[k]
			values[k] = word
			text = strings.Join(values, ",")
			values[k] = was
		} else {
			k := int(at) % len(lines)
			was := lines[k]
			fields := strings.Split(was, ",")
			fields[int(column)%len(fields)] = word
			lines[k] = strings.Join(fields, ",")
			text = strings.Join(lines, "\n")
			lines[k] = was
		}
		w, err := ReadWeather(strings.NewReader(text), WeatherOptions{})
		if err != nil {
			return
		}
		if err := w.check(); err != nil {
			t.Fatalf("accepted, but %v", err)
		}
		changed := 0
		for i := range w.Hours {
			if w.Hours[i] != good.Hours[i] {
				changed++
			}
		}
		if changed > 2 && w.At == good.At { // an hour, and the one that is taken from it
			t.Fatalf("%q changes %d hours", word, changed)
		}
	})
}
