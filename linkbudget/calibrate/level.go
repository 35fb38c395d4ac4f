package calibrate

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/internal/words"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Rule says what the RSSI of a log is, as text too.
type Rule int8

// The rules.
const (
	// RSSIVendor is the chip makers' rule: the RSSI from 0 dB of SNR on, below RSSI + SNR
	// (SX1276/77/78/79 datasheet Rev 4, 5.5.5). Of packets through known attenuation it gives
	// levels that lie within 0.5 dB of a straight line, RSSIExact within 0.7.
	RSSIVendor Rule = iota
	// RSSIExact takes the RSSI for signal and noise together: S = RSSI - 10 log(1 + n/s).
	RSSIExact
	// RSSISignal takes it for the signal alone, as drivers do that applied the rule already.
	RSSISignal
)

var ruleWords = words.List{"vendor", "exact", "signal"}

// String returns the word.
func (r Rule) String() string { return ruleWords.Of(int8(r)) }

// MarshalText returns the word. The error is of a value that is none of the constants.
func (r Rule) MarshalText() ([]byte, error) { return ruleWords.Text("rssi rule", int8(r)) }

// UnmarshalText takes a word. The error lists what is allowed.
func (r *Rule) UnmarshalText(text []byte) error { return words.Read(ruleWords, "rssi rule", text, r) }

// floorDB is how far over the noise an RSSI without SNR must lie to tell of a signal:
// nearer, the difference is that of the noise itself (practice).
const floorDB = 1.0

// lowestDB is how far below the thermal noise a report of signal and noise together may lie:
// receivers in open sets report down to 3 dB below it, their scale is off by so much.
const lowestDB = 6.0

// level is the signal of a reception, dBm. floor is true where it is only known to be no
// more than that: an RSSI without SNR at the noise. noiseDBm is the receiver's in the
// modem's bandwidth, NaN where unknown. An SNR without RSSI tells up to 5 dB, where
// reports saturate (practice).
func (rule Rule) level(r *Row, thermalDBm, noiseDBm float64) (dBm float64, floor bool, err error) {
	switch hasRSSI, hasSNR := !math.IsNaN(r.RSSIDBm), !math.IsNaN(r.SNRDB); {
	case !math.IsNaN(r.LevelDBm):
		return r.LevelDBm, false, nil
	case hasRSSI && rule == RSSISignal:
		return r.RSSIDBm, false, nil
	case hasRSSI && r.RSSIDBm < thermalDBm-lowestDB:
		return 0, false, fmt.Errorf("rssi_dbm: found %g, below the thermal noise of %.1f dBm, which signal and noise "+
			"together cannot be; if the log holds the signal alone say --rssi signal", r.RSSIDBm, thermalDBm)
	case hasRSSI && hasSNR && rule == RSSIVendor:
		return r.RSSIDBm + min(r.SNRDB, 0), false, nil
	case hasRSSI && hasSNR:
		report := lora.Reception{TotalDBm: radio.DBm(r.RSSIDBm), SNRDB: radio.DB(r.SNRDB)}
		return float64(report.Signal()), false, nil
	case hasRSSI && math.IsNaN(noiseDBm):
		return r.RSSIDBm, false, nil
	case hasRSSI:
		if over := r.RSSIDBm - noiseDBm; over < floorDB {
			return noiseDBm, true, nil
		}
		return 10 * math.Log10(math.Pow(10, r.RSSIDBm/10)-math.Pow(10, noiseDBm/10)), false, nil
	case hasSNR && r.SNRDB <= 5 && !math.IsNaN(noiseDBm):
		return noiseDBm + r.SNRDB, false, nil
	case hasSNR:
		return 0, false, fmt.Errorf("snr_db: found %g without rssi_dbm; above 5 dB reports saturate", r.SNRDB)
	}
	return 0, false, fmt.Errorf("found neither rssi_dbm nor level_dbm nor received 0")
}
