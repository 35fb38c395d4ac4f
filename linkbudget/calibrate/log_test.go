package calibrate

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// logOf reads texts as files of one log between Ash, Birch and Elm.
func logOf(t *testing.T, texts ...string) (*Log, error) {
	t.Helper()
	l := NewLog(LogOptions{TxDBm: map[string]float64{"Ash": 14, "Birch": 14, "Elm": 20}, ThermalDBm: -123,
		NoiseDBm: map[string]float64{"Ash": -117, "Birch": -117, "Elm": -117}})
	for i, text := range texts {
		if err := l.Read(context.Background(), fmt.Sprintf("log %d", i+1), strings.NewReader(text)); err != nil {
			return l, err
		}
	}
	return l, nil
}

// One log in every form and with other names for its columns is one log.
func TestFormsOfLogs(t *testing.T) {
	forms := []string{
		"time,from,to,rssi_dbm,snr_db,seq\n2026-05-01T12:00:00Z,Ash,Birch,-100,0,1\n2026-05-01T12:00:10Z,Ash,Birch,-102,0,3\n",
		"\xef\xbb\xbfTimestamp;Sender;Receiver;RSSI;SNR;fCnt\r\n1777636800;Ash;Birch;-100;0;1\r\n1777636810000;\"Ash\";Birch;-102;0;3\r\n",
		`{"time":"2026-05-01 12:00:00","tx":"Ash","rx":"Birch","rssi":-100,"snr":0,"seq":1}` + "\n" +
			`{"rssi": -102, "snr": 0.0, "tx": "\u0041sh", "rx":"Birch", "seq":3, "time":1777636810, "more":{"a":[1]}}` + "\n",
		`{"type":"FeatureCollection","features":[` +
			`{"type":"Feature","geometry":null,"properties":{"time":1777636800,"from":"Ash","to":"Birch","rssi":-100,"snr":0,"seq":1}},` +
			`{"type":"Feature","geometry":null,"properties":{"time":1777636810,"from":"Ash","to":"Birch","rssi":-102,"snr":0,"seq":3}}]}`,
	}
	for i, text := range forms {
		l, err := logOf(t, text)
		if err != nil || l.Good != 2 || l.Faulty != 0 || len(l.order) != 1 {
			t.Errorf("form %d: %v, %d good, faults %v", i, err, l.Good, l.Faults)
			continue
		}
		tally := l.links[l.order[0]]
		mean, _ := tally.levels.moments()
		// From 0 dB of SNR on the makers' rule takes the RSSI for the signal; the classes are of 0.25 dB.
		if math.Abs(mean+101) > 0.13 || tally.lostCount() != 1 || tally.lastS-tally.firstS != 10 {
			t.Errorf("form %d: mean %.2f dBm, lost %d, %.0f s; wanted -101, 1 and 10", i, mean, tally.lostCount(),
				tally.lastS-tally.firstS)
		}
	}
}

// Every faulty row is told with its line and reason, and costs itself alone.
func TestBrokenRows(t *testing.T) {
	faults := map[string]string{
		"2026-05-01T12:00:00Z,Ash,Birch,100,5,,":          "the sign is lost",
		"2026-05-01T12:00:00Z,Ash,Birch,-100,160,,":       "quarter decibels",
		"2026-05-01T12:00:00Z,Ash,Birch,-100,5,500,":      "milliwatts?",
		"1970-01-01T00:01:00Z,Ash,Birch,-100,5,,":         "was the clock set?",
		"yesterday,Ash,Birch,-100,5,,":                    "allowed such as",
		"2026-05-01T12:00:00Z,Ash,Nobody,-100,5,,":        `no station "Nobody"`,
		"2026-05-01T12:00:00Z,Ash,Ash,-100,5,,":           "allowed two nodes",
		"2026-05-01T12:00:00Z,Ash,Birch,-140,5,,":         "below the thermal noise",
		"2026-05-01T12:00:00Z,Ash,Birch,,,,":              "neither rssi_dbm",
		"2026-05-01T12:00:00Z,Ash,Birch":                  "found 3 fields",
		"2026-05-01T12:00:00Z,\"Ash,Birch,-100,5,,":       "broken quotation",
		"2026-05-01T12:00:00Z,Ash,Birch,NaN,5,,":          "allowed a number",
		"2026-05-01T12:00:00Z,Ash,Birch,-100,5,,lots":     "allowed a number",
		"2026-05-01T12:00:00Z,,Birch,-100,5,,":            "allowed two names",
		"\x00\x01\x02,2026-05-01T12:00:00Z,Birch,-1,5,,,": "found 8 fields",
	}
	var b strings.Builder
	b.WriteString("time,from,to,rssi_dbm,snr_db,tx_dbm,seq\n")
	line, good, want := 1, 0, map[int]string{}
	for row, why := range faults {
		for range 9 {
			fmt.Fprintf(&b, "2026-05-01T12:00:00Z,Ash,Birch,-100,5,,%d\n", good)
			line, good = line+1, good+1
		}
		b.WriteString(row + "\n")
		line++
		want[line] = why
	}
	l, err := logOf(t, b.String())
	if err != nil {
		t.Fatal(err)
	}
	if l.Good != good || l.Faulty != len(faults) || l.Rows != good+len(faults) || len(l.Faults) != len(faults) {
		t.Errorf("%d rows, %d good, %d faulty; wanted %d good, %d faulty", l.Rows, l.Good, l.Faulty, good, len(faults))
	}
	for _, f := range l.Faults {
		if !strings.Contains(f.What, want[f.Line]) || want[f.Line] == "" {
			t.Errorf("%s; wanted %q", f, want[f.Line])
		}
	}
}

// A file of which no row can be used is refused with a sentence.
func TestRefusedLogs(t *testing.T) {
	const names = "time,from,to,rssi_dbm,snr_db\n"
	for text, want := range map[string]string{
		"":                          "found nothing",
		"<gpx></gpx>":               "found XML",
		"[1,2]":                     "NDJSON",
		"a,b\n1,2\n":                "names no column rssi_dbm",
		names:                       "found no row",
		names + ",Ash,Birch,97,3\n": "the sign is lost",
		names + "1970-01-01,Ash,Birch,-97,3\n" + names[:0]: "was the clock set?",
		`{"from":"Ash"}`:                      "names no column",
		`{"type":"FeatureCollection","x":[]}`: "found no features",
	} {
		if _, err := logOf(t, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, wanted %q", text, err, want)
		}
	}
}

// Powers of the log in the place of the plan's; levels that need no chip's rule.
func TestLevelsAreReckonedToThePlan(t *testing.T) {
	for _, c := range []struct {
		name string
		rule Rule
		row  string
		want float64 // dBm
	}{
		{"level", RSSIExact, "Ash,Birch,,,-101,", -101}, {"own power", RSSIExact, "Ash,Birch,,,-101,20", -107},
		{"exact at 10 dB", RSSIExact, "Ash,Birch,-90,10,,", -90 - 10*math.Log10(1.1)},
		{"exact at -10 dB", RSSIExact, "Ash,Birch,-115,-10,,", -115 - 10*math.Log10(11)},
		{"vendor above", RSSIVendor, "Ash,Birch,-90,10,,", -90}, {"vendor below", RSSIVendor, "Ash,Birch,-115,-10,,", -125},
		{"signal", RSSISignal, "Ash,Birch,-135,-10,,", -135},
		{"RSSI alone, noise of -117 taken off", RSSIExact, "Ash,Birch,-114,,,", 10 * math.Log10(math.Pow(10,
			-11.4)-math.Pow(10, -11.7))},
		{"SNR alone", RSSIExact, "Ash,Birch,,-10,,", -127},
	} {
		l := NewLog(LogOptions{TxDBm: map[string]float64{"Ash": 14, "Birch": 14}, ThermalDBm: -123, Rule: c.rule,
			NoiseDBm: map[string]float64{"Birch": -117}})
		if err := l.Read(context.Background(), "log", strings.NewReader("from,to,rssi,snr,level,power\n"+c.row)); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got, _ := l.links[l.order[0]].levels.moments(); math.Abs(got-c.want) > binDB/2+1e-9 {
			t.Errorf("%s: %.2f dBm, wanted %.2f", c.name, got, c.want)
		}
	}
}

// A track gives places by time; a clock an hour off is told, not guessed.
func TestTrack(t *testing.T) {
	const gpx = `<gpx><trk><trkseg><trkpt lat="50" lon="10"><time>2026-05-01T12:00:00Z</time></trkpt>
<trkpt lat="50.001" lon="10.002"><time>2026-05-01T12:01:40Z</time></trkpt></trkseg></trk></gpx>`
	track, err := ReadTrack(strings.NewReader(gpx))
	if err != nil {
		t.Fatal(err)
	}
	l := NewLog(LogOptions{TxDBm: map[string]float64{"Ash": 14, "Birch": 14}, Tracks: map[string]Track{"Ash": track},
		ThermalDBm: -123})
	const rows = "time,from,to,level_dbm\n2026-05-01T12:00:50Z,Ash,Birch,-90\n2026-05-01T14:00:50+01:00,Ash,Birch,-90\n"
	if err := l.Read(context.Background(), "log", strings.NewReader(rows)); err != nil {
		t.Fatal(err)
	}
	at := l.links[l.order[0]].at
	if math.Abs(at[0]-10.001) > 1e-9 || math.Abs(at[1]-50.0005) > 1e-9 {
		t.Errorf("half way: %v", at)
	}
	if l.Faulty != 1 || !strings.Contains(l.Faults[0].What, "local time") {
		t.Errorf("an hour off: %v", l.Faults)
	}
}

// The median and the width of a histogram are those of a sorted list to a class's width; a
// first-order process of correlation r has (1-r)/(1+r) as many independent values.
func TestHistogramAndCorrelation(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	const n, rho = 200_000, 0.8
	var tally tally
	x := 0.0
	for range n {
		x = rho*x + math.Sqrt(1-rho*rho)*r.NormFloat64()
		tally.levels.add(-100+3*x, 1)
		tally.follow(-100 + 3*x)
	}
	median, mad := tally.levels.medianAndMAD()
	if math.Abs(median+100) > 0.1 || math.Abs(1.4826*mad-3) > 0.1 {
		t.Errorf("median %.3f, width %.3f; drawn -100 and 3", median, 1.4826*mad)
	}
	mean, variance := tally.levels.moments()
	if math.Abs(mean+100) > 0.1 || math.Abs(variance-9) > 0.3 {
		t.Errorf("mean %.3f, variance %.3f; drawn -100 and 9", mean, variance)
	}
	if got, want := tally.effective(), (1-rho)/(1+rho); math.Abs(got-want) > 0.01 {
		t.Errorf("%.3f of the values are independent, wanted %.3f", got, want)
	}
}

// BenchmarkMillionRows reads a million rows of a log with ten links; the memory that it asks for
// in all is shown by -benchmem, what it holds does not grow with the rows.
func BenchmarkMillionRows(b *testing.B) {
	var text strings.Builder
	text.WriteString("time,from,to,rssi_dbm,snr_db,seq\n")
	names := []string{"Ash", "Birch", "Elm"}
	for i := range 1_000_000 {
		fmt.Fprintf(&text, "2026-05-01T12:%02d:%02dZ,%s,%s,%d,%.2f,%d\n", i/60%60, i%60, names[i%3], names[(i+1+i/3%2)%3],
			-80-i%30,
			float64(i%40)/4, i/3)
	}
	b.SetBytes(int64(text.Len()))
	for b.Loop() {
		l := NewLog(LogOptions{TxDBm: map[string]float64{"Ash": 14, "Birch": 14, "Elm": 14}, ThermalDBm: -123})
		if err := l.Read(context.Background(), "log", strings.NewReader(text.String())); err != nil || l.Faulty > 0 {
			b.Fatal(err, l.Faults)
		}
	}
}

// What a person wrote down in the table of a sheet: series with counts, one never heard, another
// spreading factor, times by the minute.
func TestTableOfASheet(t *testing.T) {
	l, err := logOf(t, "time,from,to,rssi_dbm,snr_db,sf,received,sent\n2026-05-01 14:30,Ash,Birch,-100,10,9,8,10\n"+
		"2026-05-01 14:40,Birch,Ash,,,9,0,10\n,,,,,,,\n")
	if err != nil || l.Good != 2 || l.Faulty != 1 {
		t.Fatal(err, l.Good, l.Faults)
	}
	there, back := l.links[l.order[0]], l.links[l.order[1]]
	if there.heard() != 8 || there.lostCount() != 2 || there.sf != 9 || back.heard() != 0 || back.lostCount() != 10 {
		t.Errorf("heard %d and %d, lost %d and %d, SF%g; written 8 and 0, 2 and 10, SF9", there.heard(), back.heard(),
			there.lostCount(), back.lostCount(), there.sf)
	}
}
