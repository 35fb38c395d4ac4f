package calibrate

import (
	"bytes"
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/polereach/polereach/terrain/fault"
)

// Whatever a log holds: no panic, rows that add up, levels that are numbers, and a refusal that is
// the caller's fault.
func FuzzLog(f *testing.F) {
	for _, seed := range []string{
		"time,from,to,rssi_dbm,snr_db,seq\n2026-05-01T12:00:00Z,Ash,Birch,-100,0,1\n",
		"from;to;level;received;sent;lon;lat\nAsh;Birch;-100;3;5;10;50\n",
		`{"from":"Ash","to":"Birch","rssi":-100,"snr":3,"sf":"SF9"}` + "\n" + `{"from":"A\u0073h","to":"Birch","rssi":[1]}`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[10,50]},` +
			`"properties":{"from":"Ash","to":"Birch","rssi":-100}}]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		l := NewLog(LogOptions{TxDBm: map[string]float64{"Ash": 14, "Birch": 14}, ThermalDBm: -123,
			NoiseDBm: map[string]float64{"Ash": -117, "Birch": -117}})
		err := l.Read(context.Background(), "log", bytes.NewReader(data))
		if err != nil && !errors.Is(err, fault.ErrInput) && !strings.Contains(err.Error(), "the log") {
			t.Fatalf("%v is no fault of the input", err)
		}
		if err == nil && l.Good+l.Faulty != l.Rows {
			t.Fatalf("%d rows, %d good, %d faulty", l.Rows, l.Good, l.Faulty)
		}
		for _, key := range l.order {
			tally := l.links[key]
			if tally.levels.n == 0 {
				continue
			}
			median, mad := tally.levels.medianAndMAD()
			if e := tally.effective(); !(math.Abs(median) < 400 && mad >= 0 && e > 0 && e <= 1) || tally.lostCount() < 0 {
				t.Fatalf("median %g, MAD %g, independent %g, lost %d", median, mad, e, tally.lostCount())
			}
		}
	})
}

// Whatever stands in a calibration, it is refused or can be used.
func FuzzFile(f *testing.F) {
	f.Add([]byte(`{"schema":1,"kind":"calibration","area_db":-3,"area_sigma_db":1,"spread":0.8,"season_db":2.5,` +
		`"nodes":[{"name":"Ash","lon_deg":10,"lat_deg":50,"send_db":1,"receive_db":2,"send_earned_db2":4}],` +
		`"paths":[{"from":"Birch","to":"Ash","from_height_m":5,"to_height_m":6,"forward_db":3,"sigma_db":3}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := ReadFile("calibration.json", data)
		if err != nil {
			if !errors.Is(err, fault.ErrInput) {
				t.Fatalf("%v is no fault of the input", err)
			}
			return
		}
		if err := file.Validate(); err != nil {
			t.Fatal(err)
		}
	})
}
