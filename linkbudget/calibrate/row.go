package calibrate

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
)

// Row is one reception, or one packet that was not received. NaN stands for what it does
// not say.
type Row struct {
	TimeS    float64 // since 1970, UTC
	From, To string
	At       orb.Point // of the end that moves, where HasAt
	HasAt    bool
	RSSIDBm  float64 // signal and noise
	SNRDB    float64
	LevelDBm float64 // the signal alone, where a log has it
	TxDBm    float64
	SF       float64
	Seq      float64 // number of the packet, counted up by the sender
	Received float64 // packets: 1 and 0, or a count beside Sent
	Sent     float64
}

// Column is a column of a log.
type Column struct {
	Key  string // its name
	Doc  string
	Also []string // what other logs call it; case, blanks and signs do not count
}

// Columns are those of a log; the keys are the columns of the sheet of heard signals. A row
// needs from, to and one of rssi_dbm, level_dbm, received.
func Columns() []Column {
	return []Column{
		{"time", "RFC 3339, or seconds or milliseconds since 1970, UTC", []string{"timestamp", "rxtime", "rxtimems", "date",
			"datetime", "receivedat"}},
		{"from", "the sender, a station of the plan", []string{"tx", "sender", "source", "src", "node", "transmitter",
			"deviceid", "devaddr"}},
		{"to", "the receiver, a station of the plan", []string{"rx", "receiver", "gateway", "gatewayid", "gw", "dest",
			"destination"}},
		{"rssi_dbm", "power in the channel as the receiver reports it, -160 to 10 dBm", []string{"rssi", "packetrssi"}},
		{"snr_db", "signal to noise in the bandwidth, -40 to 30 dB", []string{"snr", "packetsnr", "lsnr"}},
		{"level_dbm", "the signal alone, in place of both, -180 to 10 dBm", []string{"level", "signaldbm", "signal",
			"signalrssi", "esp", "espdbm"}},
		{"tx_dbm", "the sender's output, -30 to 40 dBm, where it is not the plan's", []string{"txpower", "txpowerdbm",
			"power", "powerdbm"}},
		{"sf", "spreading factor, 5 to 12, where it is not the plan's", []string{"spreadingfactor"}},
		{"seq", "number of the packet", []string{"sequence", "fcnt", "framecounter", "counter", "packetid", "seqno",
			"sequencenumber"}},
		{"received", "1 or 0, or how many of sent", []string{"ok", "rxcount"}},
		{"sent", "how many packets the row stands for", []string{"txcount"}},
		{"lon_deg", "where the end is that moves, degrees", []string{"lon", "lng", "long", "longitude"}},
		{"lat_deg", "where the end is that moves, degrees", []string{"lat", "latitude"}},
	}
}

// The places of columns in Columns.
const (
	colTime = iota
	colFrom
	colTo
	colRSSI
	colSNR
	colLevel
	colTx
	colSF
	colSeq
	colReceived
	colSent
	colLon
	colLat
	columnCount
)

// bare is a name without case and signs.
func bare(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		}
		return -1
	}, name)
}

// header finds the columns by their names, those of mapped (key: name in the log) first; -1
// for one that is not there. The error tells what is missing.
func header(names []string, mapped map[string]string) (at [columnCount]int, err error) {
	index := map[string]int{}
	for i, name := range names {
		if _, twice := index[bare(name)]; !twice {
			index[bare(name)] = i
		}
	}
	for c, column := range Columns() {
		at[c] = -1
		if name, ok := mapped[column.Key]; ok {
			i, found := index[bare(name)]
			if !found {
				return at, fault.Input("column %s: the log has no %q; it has: %s", column.Key, name, strings.Join(names, ", "))
			}
			at[c] = i
			continue
		}
		for _, name := range append([]string{column.Key}, column.Also...) {
			if i, ok := index[bare(name)]; ok {
				at[c] = i
				break
			}
		}
	}
	if at[colRSSI] < 0 && at[colLevel] < 0 && at[colReceived] < 0 {
		return at, fault.Input("the first line names no column rssi_dbm, level_dbm or received; it has: %s; "+
			"say which is meant with --column rssi_dbm=NAME", strings.Join(names, ", "))
	}
	return at, nil
}

// number reads one with a decimal point; NaN for an empty field.
func number(field, text, unit string, low, high float64) (float64, error) {
	if text == "" {
		return math.NaN(), nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) {
		return 0, fmt.Errorf("%s: found %q, allowed a number", field, text)
	}
	if !(v >= low && v <= high) {
		return 0, fault.Range(field, v, low, high, unit)
	}
	return v, nil
}

// parse reads a row of texts, one per column, "" for none. The error is the first fault.
func parse(text *[columnCount]string) (r Row, err error) {
	r.From, r.To = text[colFrom], text[colTo]
	if r.TimeS, err = moment(text[colTime]); err != nil {
		return r, err
	}
	for _, n := range [...]struct {
		at        int
		to        *float64
		unit      string
		low, high float64
	}{
		{colRSSI, &r.RSSIDBm, "dBm", -160, 10}, {colSNR, &r.SNRDB, "dB", -40, 30}, {colLevel, &r.LevelDBm, "dBm", -180, 10},
		{colTx, &r.TxDBm, "dBm", -30, 40}, {colSF, &r.SF, "", 5, 12}, {colSeq, &r.Seq, "", 0, 1 << 52},
		{colReceived, &r.Received, "", 0, 1e6}, {colSent, &r.Sent, "", 0, 1e6},
	} {
		if *n.to, err = number(keys[n.at], strings.TrimPrefix(text[n.at], plusSF(n.at)), n.unit, n.low, n.high); err != nil {
			return r, hinted(n.at, text[n.at], err)
		}
	}
	if r.Received > r.Sent {
		return r, fmt.Errorf("received: found %g of %g sent, allowed no more than those", r.Received, r.Sent)
	}
	if text[colLon] != "" || text[colLat] != "" {
		lon, err1 := number("lon_deg", text[colLon], "degrees", -180, 180)
		lat, err2 := number("lat_deg", text[colLat], "degrees", -90, 90)
		r.At, r.HasAt = orb.Point{lon, lat}, true
		switch {
		case err1 != nil:
			return r, err1
		case err2 != nil:
			return r, err2
		}
		if err := terrain.CheckPlace(r.At); err != nil {
			return r, err
		}
	}
	return r, nil
}

// keys are those of Columns.
var keys = func() (list [columnCount]string) {
	for i, c := range Columns() {
		list[i] = c.Key
	}
	return list
}()

// plusSF is what may stand before the number of a spreading factor.
func plusSF(column int) string {
	if column == colSF {
		return "SF"
	}
	return ""
}

// hinted adds what the fault probably is.
func hinted(column int, text string, err error) error {
	v, noNumber := strconv.ParseFloat(text, 64)
	switch {
	case noNumber != nil && strings.Contains(text, ","):
		return fmt.Errorf("%w; decimals have a point", err)
	case noNumber != nil:
		return err
	case column == colRSSI && v > 10:
		return fmt.Errorf("%w; the sign is lost, or it is a register", err)
	case column == colSNR:
		return fmt.Errorf("%w; a register counts quarter decibels", err)
	case column == colTx && v > 40:
		return fmt.Errorf("%w; milliwatts?", err)
	}
	return err
}

// Times outside are those of clocks that nobody set: before 2015 there was no such log.
var firstS = float64(time.Date(2015, 1, 1, 0, 0, 0, 0, time.UTC).Unix())

const lastS = 4102444800 // 2100

// moment reads a time; NaN for none.
func moment(text string) (float64, error) {
	if text == "" {
		return math.NaN(), nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t, err := parseTime(text)
		if err != nil {
			return 0, err
		}
		v = float64(t.UnixNano()) / 1e9
	} else if v > 1e11 {
		v /= 1e3
	}
	if !(v >= firstS && v <= lastS) {
		return 0, fmt.Errorf("time: found %q, allowed 2015 to 2100; was the clock set?", text)
	}
	return v, nil
}

var timeForms = []string{time.RFC3339Nano, "2006-01-02T15:04:05.999999999", "2006-01-02 15:04:05.999999999",
	"2006-01-02 15:04:05.999999999Z07:00", "2006-01-02 15:04", "2006-01-02"}

func parseTime(text string) (time.Time, error) {
	for _, form := range timeForms {
		if t, err := time.Parse(form, text); err == nil {
			return t, nil
		}
	}
	return time.Time{}, fmt.Errorf("time: found %q, allowed such as 2026-05-01T12:30:00Z, or seconds since 1970", text)
}
