package band

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Band names a table of rules: the channel-plan name of the LoRaWAN regional
// parameters in lower case where one exists, else region and megahertz.
type Band string

// The bands.
const (
	EU868  Band = "eu868" // with the neighbouring segments at 874 and 917 MHz
	EU433  Band = "eu433"
	EU169  Band = "eu169"
	UK868  Band = "uk868" // with 870 to 874.4 MHz
	US915  Band = "us915"
	CA915  Band = "ca915"
	BR915  Band = "br915"
	AU915  Band = "au915"
	NZ915  Band = "nz915" // with 864 to 868 MHz
	IN865  Band = "in865"
	IN433  Band = "in433"
	JP920  Band = "jp920"
	KR920  Band = "kr920"
	AS9231 Band = "as923-1"
	AS9232 Band = "as923-2"
	AS9233 Band = "as923-3"
	AS9234 Band = "as923-4"
	CN470  Band = "cn470"
	RU864  Band = "ru864"
)

// tables holds the rows of each band, in the order of help texts, and the first channels
// of its plan, by which a node is set up where nobody states a frequency. LoRaWAN
// regional parameters v1.0.3A and RP002-1.0.5: the default channels, for 64-channel
// plans the first of 125 and of 500 kHz. Bands without a plan of their own take that of
// the same stretch; at 169 MHz the middles of the rows stand in (engineering judgement).
var tables = []struct {
	band        Band
	rules       func() []Rule
	channelsMHz []float64
}{
	{EU868, eu868Rules, []float64{868.1, 868.3, 868.5}},
	{EU433, eu433Rules, []float64{433.175, 433.375, 433.575}},
	{EU169, eu169Rules, []float64{169.4375, 169.7}},
	{UK868, uk868Rules, []float64{868.1, 868.3, 868.5}},
	{US915, us915Rules, []float64{902.3, 903}},
	{CA915, ca915Rules, []float64{902.3, 903}},
	{BR915, br915Rules, []float64{915.2, 915.9}},
	{AU915, au915Rules, []float64{915.2, 915.9}},
	{NZ915, nz915Rules, []float64{915.2, 915.9}},
	{IN865, in865Rules, []float64{865.0625, 865.4025, 865.985}},
	{IN433, in433Rules, []float64{433.175, 433.375, 433.575}},
	{JP920, jp920Rules, []float64{923.2, 923.4}},
	{KR920, kr920Rules, []float64{922.1, 922.3, 922.5}},
	{AS9231, as923Rules(AS9231, 915e6, 928e6), []float64{923.2, 923.4}},
	{AS9232, as923Rules(AS9232, 920e6, 923e6), []float64{921.4, 921.6}}, // group 1 less 1.8 MHz (RP002-1.0.5, 3.10)
	{AS9233, as923Rules(AS9233, 915e6, 921e6), []float64{916.6, 916.8}}, // less 6.6 MHz
	{AS9234, as923Rules(AS9234, 917e6, 920e6), []float64{917.3, 917.5}}, // less 5.9 MHz
	{CN470, cn470Rules, []float64{470.3}},
	{RU864, ru864Rules, []float64{868.9, 869.1}},
}

// Names returns all bands in the order of help texts.
func Names() []Band {
	var names []Band
	for _, t := range tables {
		names = append(names, t.band)
	}
	return names
}

// Parse returns the band of a name, in any case of letters. The error for an
// unknown name lists all.
func Parse(name string) (Band, error) {
	b := Band(strings.ToLower(strings.TrimSpace(name)))
	if slices.Contains(Names(), b) {
		return b, nil
	}
	return "", unknown(name)
}

func unknown(name string) error {
	all := fmt.Sprint(Names())
	return fault.Found("band", strconv.Quote(name), all[1:len(all)-1])
}

// Rules returns the rows of a band in table order, or nil for an unknown band. Every duty
// cycle is counted over an hour, per transmitter and sub-band (EN 300 220-1, from memory).
func Rules(b Band) []Rule {
	for _, t := range tables {
		if t.band != b {
			continue
		}
		rows := t.rules()
		for i := range rows {
			if rows[i].Plan = b; rows[i].Duty > 0 {
				rows[i].DutyWindowS = 3600
			}
		}
		return rows
	}
	return nil
}

// gap is a stretch between rows that other services use.
type gap struct{ fromHz, toHz float64 }

// gaps returns the stretches refused by default: alarm and narrow-band segments.
func gaps(b Band) []gap {
	if b != EU868 && b != UK868 {
		return nil
	}
	return []gap{{868.6e6, 868.7e6}, {869.2e6, 869.4e6}, {869.65e6, 869.7e6}}
}
