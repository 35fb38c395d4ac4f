package band

import (
	"math"
	"strings"
	"testing"
)

// mustCheck returns the report of an acceptable use.
func mustCheck(t *testing.T, b Band, u Use) Report {
	t.Helper()
	r, err := Check(b, u)
	if err != nil {
		t.Fatalf("%s %+v: %v", b, u, err)
	}
	return r
}

// exceeded lists what is beyond a row as "key topic", in order.
func exceeded(r Report) string {
	var words []string
	for _, f := range r.Findings() {
		if f.Status == Exceeds {
			words = append(words, strings.TrimSpace(f.Key+" "+string(f.Topic)))
		}
	}
	return strings.Join(words, "; ")
}

// TestCheckCases: what is flagged, and in which row. Each row names the
// sentence of reference notes on LoRa, section 5 it follows from.
func TestCheckCases(t *testing.T) {
	for _, c := range []struct {
		name    string
		band    Band
		use     Use
		want    string // beyond the rows
		verdict Status
		best    string
	}{
		{"25 mW ERP against 30 dBm EIRP", EU868, Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8},
			"eu-868.0-868.6 power", Exceeds, "eu-868.0-868.6"},
		{"500 mW ERP is 29.14 dBm EIRP, less than 30", EU868, Use{FreqHz: 869.525e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8},
			"eu-869.4-869.65 power", Exceeds, "eu-869.4-869.65"},
		{"1 dB of cable brings it under 29.14", EU868, Use{FreqHz: 869.525e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8, FeedLossDB: 1},
			"", Within, "eu-869.4-869.65"},
		{"250 kHz just fits", EU868, Use{FreqHz: 869.525e6, BWHz: 250e3, TxDBm: 22}, "", Within, "eu-869.4-869.65"},
		{"500 kHz does not, and touches both gaps", EU868, Use{FreqHz: 869.525e6, BWHz: 500e3, TxDBm: 0},
			"eu-869.4-869.65 band edge; band edge; band edge", Exceeds, ""},
		{"250 kHz off centre does not", EU868, Use{FreqHz: 869.5e6, BWHz: 250e3, TxDBm: 0},
			"eu-869.4-869.65 band edge; band edge", Exceeds, ""},
		{"gap 868.6-868.7", EU868, Use{FreqHz: 868.65e6, BWHz: 62.5e3}, "band edge", Exceeds, ""},
		{"gap 869.2-869.4", EU868, Use{FreqHz: 869.3e6, BWHz: 125e3}, "band edge", Exceeds, ""},
		{"gap 869.65-869.7", UK868, Use{FreqHz: 869.675e6, BWHz: 41666.667}, "band edge", Exceeds, ""},
		{"across 868.0, centre in both rows", EU868, Use{FreqHz: 868e6, BWHz: 125e3},
			"eu-865-868 band edge; eu-868.0-868.6 band edge", Exceeds, ""},
		{"outside", EU868, Use{FreqHz: 915e6, BWHz: 125e3}, "band edge", Exceeds, ""},
		{"5 mW without duty, 25 mW with: high power", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3, TxDBm: 14, AirtimeS: 0.4, PacketsPerHour: 20},
			"eu-869.7-870-lp power", Within, "eu-869.7-870"},
		{"the same: much airtime", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3, TxDBm: 7, AirtimeS: 0.4, PacketsPerHour: 200},
			"eu-869.7-870 duty", Within, "eu-869.7-870-lp"},
		{"the same: both too much", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3, TxDBm: 14, AirtimeS: 0.4, PacketsPerHour: 200},
			"eu-869.7-870-lp power; eu-869.7-870 duty", Exceeds, "eu-869.7-870"},
		{"500 mW at 865.7 only for networked devices", EU868, Use{FreqHz: 865.7e6, BWHz: 125e3, TxDBm: 22},
			"eu-865-868 power", Exceeds, "eu-865-868"},
		{"917 MHz only for networked devices", EU868, Use{FreqHz: 918e6, BWHz: 125e3, TxDBm: 10}, "", NotJudged, "eu-917"},
		{"and 25 mW ERP", EU868, Use{FreqHz: 918e6, BWHz: 125e3, TxDBm: 22}, "eu-917 power", Exceeds, "eu-917"},
		{"433 MHz at 500 kHz: 1 mW passes -13 dBm/10 kHz only below 4 dBm", EU433, Use{FreqHz: 434e6, BWHz: 500e3, TxDBm: 2, AirtimeS: 1, PacketsPerHour: 1000},
			"eu-433 duty", Within, "eu-433-wide"}, // 2 - 2.15 = -0.15 dBm ERP, -17.1 in 10 kHz
		{"433 MHz narrow: 20.8 kHz", EU433, Use{FreqHz: 434.5e6, BWHz: 20833.333, TxDBm: 12, AirtimeS: 1, PacketsPerHour: 1000},
			"eu-433 duty; eu-433-wide power", Within, "eu-433-narrow"},
		{"433 MHz narrow: not 31.25 kHz", EU433, Use{FreqHz: 434.5e6, BWHz: 31250, TxDBm: 12, AirtimeS: 1, PacketsPerHour: 1000},
			"eu-433 duty; eu-433-wide power; eu-433-narrow bandwidth", Exceeds, "eu-433"},
		{"169 MHz: 41.7 kHz", EU169, Use{FreqHz: 169.44e6, BWHz: 41666.667, TxDBm: 27}, "eu-169.4-lp power", Within, "eu-169-hp"},
		{"169 MHz: not 62.5 kHz", EU169, Use{FreqHz: 169.44e6, BWHz: 62500, TxDBm: 27}, "eu-169-hp bandwidth; eu-169.4-lp power", Exceeds, "eu-169-hp"},

		{"fixed narrow carrier: neither DTS nor hopping, 15.249 at -1.25 dBm", US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 22, GainDBi: 2},
			"us-902-dts bandwidth; us-902-fhss50 hopping; us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-hybrid " +
				"hopping; us-902-249 power", Exceeds, "us-902-dts"},
		{"the same at -4 dBm into 2 dBi", US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: -4, GainDBi: 2},
			"us-902-dts bandwidth; us-902-fhss50 hopping; us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-hybrid hopping", Within, "us-902-249"},
		{"500 kHz at 30 dBm passes 8 dBm/3 kHz", US915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 30, GainDBi: 6},
			"us-902-fhss50 bandwidth; us-902-fhss50 hopping; us-902-fhss25 power; us-902-fhss25 gain; us-902-fhss25 " +
				"bandwidth; us-902-fhss25 hopping; us-902-hybrid hopping; us-902-249 power",
			Within, "us-902-dts"},
		{"gain rule: 30 dBm into 8 dBi is 2 dB too much", US915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 30, GainDBi: 8},
			"us-902-dts gain; us-902-fhss50 gain; us-902-fhss50 bandwidth; us-902-fhss50 hopping; us-902-fhss25 power; " +
				"us-902-fhss25 gain; us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-hybrid gain; us-902-hybrid hopping; " +
				"us-902-249 power",
			Exceeds, "us-902-dts"},
		{"64 channels of 125 kHz hop", US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 22, GainDBi: 2, Hopping: 64, AirtimeS: 0.37, PacketsPerHour: 10},
			"us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-dts bandwidth; us-902-249 power", Within, "us-902-fhss50"},
		{"8 channels hop: the hybrid", US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 22, GainDBi: 2, Hopping: 8, AirtimeS: 0.37, PacketsPerHour: 10},
			"us-902-dts bandwidth; us-902-fhss50 hopping; us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-249 power",
			Within, "us-902-hybrid"},
		{"the hybrid passes up to 24.2 dBm at 125 kHz", US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 25, GainDBi: 2, Hopping: 8},
			"us-902-dts density; us-902-dts bandwidth; us-902-fhss50 hopping; us-902-fhss25 power; us-902-fhss25 gain; " +
				"us-902-fhss25 bandwidth; us-902-fhss25 hopping; us-902-hybrid density; us-902-249 power", Exceeds,
			"us-902-fhss50"},
		{"30 channels of 250 kHz", US915, Use{FreqHz: 915e6, BWHz: 250e3, TxDBm: 20, Hopping: 30},
			"us-902-dts bandwidth; us-902-fhss50 bandwidth; us-902-fhss50 hopping; us-902-249 power", Within, "us-902-hybrid"},
		// Hopping: 2 packets in each of 30 channels and 10 s, 21600 an hour; the
		// hybrid's window is 0.4 s times 30 = 12 s, 18000, at more power.
		{"Canada: more packets before more power", CA915, Use{FreqHz: 915e6, BWHz: 250e3, TxDBm: 20, Hopping: 30, AirtimeS: 0.15},
			"ca-902-dts bandwidth; ca-902-fhss50 bandwidth; ca-902-fhss50 hopping", Within, "ca-902-fhss25"},
		{"500 kHz over the edge at 902", US915, Use{FreqHz: 902.2e6, BWHz: 500e3},
			"us-902-dts band edge; us-902-fhss50 band edge; us-902-fhss25 band edge; us-902-hybrid band edge; us-902-249 " +
				"band edge", Exceeds, ""},
		{"Canada: 4 W EIRP beside 1 W", CA915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 28, GainDBi: 9},
			"ca-902-dts power; ca-902-fhss50 power; ca-902-fhss50 bandwidth; ca-902-fhss50 hopping; ca-902-fhss25 power; " +
				"ca-902-fhss25 power; ca-902-fhss25 bandwidth; ca-902-fhss25 hopping; ca-902-hybrid power; ca-902-hybrid hopping",
			Exceeds, "ca-902-dts"},
		{"Brazil: nothing between 907.5 and 915", BR915, Use{FreqHz: 910e6, BWHz: 125e3}, "band edge", Exceeds, ""},
		{"Australia: fixed 125 kHz has 3 mW", AU915, Use{FreqHz: 917e6, BWHz: 125e3, TxDBm: 4}, "au-915-fh hopping; au-915-dm bandwidth", Within, "au-915-any"},
		{"Australia: 1 W EIRP at 500 kHz", AU915, Use{FreqHz: 917e6, BWHz: 500e3, TxDBm: 22, GainDBi: 8}, "au-915-fh hopping; au-915-any power", Within, "au-915-dm"},
		{"Japan: antenna above 3 dBi", JP920, Use{FreqHz: 921e6, BWHz: 125e3, TxDBm: 8, GainDBi: 5},
			"jp-920-lbt gain; jp-920-dc gain", Exceeds, "jp-920-lbt"},
		{"Japan: 250 kHz takes two unit channels", JP920, Use{FreqHz: 921e6, BWHz: 250e3, TxDBm: 8}, "", Within, "jp-920-lbt"},
		{"Japan: two channels, 200 ms above 922.3", JP920, Use{FreqHz: 925e6, BWHz: 250e3, TxDBm: 8, AirtimeS: 0.3, PacketsPerHour: 1},
			"jp-922-928-1 bandwidth; jp-922-928-2 dwell; jp-922-928-5 dwell", Exceeds, "jp-922-928-1"},
		{"Korea: 10 dBm below 922", KR920, Use{FreqHz: 921.5e6, BWHz: 125e3, TxDBm: 14}, "kr-920-low power", Exceeds, "kr-920-low"},
		{"Korea: 14 dBm above", KR920, Use{FreqHz: 922.5e6, BWHz: 125e3, TxDBm: 14}, "", Within, "kr-920-high"},
		{"Korea: 922.1, the first channel above", KR920, Use{FreqHz: 922.1e6, BWHz: 125e3, TxDBm: 14}, "", Within, "kr-920-high"},
		{"India: 20 dBm, 500 packets an hour, fixed", IN865, Use{FreqHz: 866e6, BWHz: 125e3, TxDBm: 20, AirtimeS: 0.37, PacketsPerHour: 500},
			"in-865 power; in-865 bandwidth; in-865 hopping; in-865 duty; in-865-data duty", Exceeds, "in-865"},
		{"India: narrow hopping", IN865, Use{FreqHz: 866e6, BWHz: 41666.667, TxDBm: 14, Hopping: 58, AirtimeS: 0.5, PacketsPerHour: 60},
			"", Within, "in-865"},
		{"Brazil: 35 narrow channels", BR915, Use{FreqHz: 920e6, BWHz: 125e3, TxDBm: 20, Hopping: 35, AirtimeS: 0.37},
			"br-915-dts bandwidth; br-915-fhss35-wide bandwidth; br-915-fhss17-wide bandwidth; br-915-fhss17-wide hopping; " +
				"br-915-low power",
			Within, "br-915-fhss35"},
		{"Brazil: 17 wide channels, a quarter of the power", BR915, Use{FreqHz: 920e6, BWHz: 250e3, TxDBm: 23, Hopping: 17, AirtimeS: 0.37},
			"br-915-dts bandwidth; br-915-fhss35 bandwidth; br-915-fhss35 hopping; br-915-fhss35-wide hopping; br-915-low power",
			Within, "br-915-fhss17-wide"},
		{"New Zealand: 864-868", NZ915, Use{FreqHz: 867e6, BWHz: 125e3, TxDBm: 30, GainDBi: 6}, "", Within, "nz-864"},
		{"China: 1 s at most", CN470, Use{FreqHz: 480e6, BWHz: 125e3, TxDBm: 17, AirtimeS: 1.2}, "cn-470 dwell", Exceeds, "cn-470"},
	} {
		r := mustCheck(t, c.band, c.use)
		got := exceeded(r)
		if !sameWords(got, c.want) {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
		if r.Verdict() != c.verdict || r.Exceeds() != (c.verdict == Exceeds) {
			t.Errorf("%s: verdict %q, exceeds %t; want %q", c.name, r.Verdict(), r.Exceeds(), c.verdict)
		}
		best, ok := r.Best()
		if best.Rule.Key != c.best || ok != (c.best != "") {
			t.Errorf("%s: best %q, want %q", c.name, best.Rule.Key, c.best)
		}
	}
}

// sameWords compares two lists joined by "; " without regard to order.
func sameWords(a, b string) bool {
	count := map[string]int{}
	for _, w := range strings.Split(a, "; ") {
		count[w]++
	}
	for _, w := range strings.Split(b, "; ") {
		count[w]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

// TestFlaggedFigures: 22 dBm + 8 dBi is 30 dBm EIRP, 27.85 dBm ERP, against
// 13.98 (25 mW) and 26.99 dBm (500 mW), reference notes on LoRa, section 5; the finding carries
// its clause.
func TestFlaggedFigures(t *testing.T) {
	for _, c := range []struct{ mhz, allowed float64 }{{868.1, 13.98}, {869.525, 26.99}} {
		r := mustCheck(t, EU868, Use{FreqHz: c.mhz * 1e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8})
		f := r.Findings()[0]
		if f.Topic != TopicPower || f.Status != Exceeds || f.Unit != "dBm ERP" ||
			!(math.Abs(f.Have-27.85) <= 1e-9) || !(math.Abs(f.Allowed-c.allowed) <= 0.005) {
			t.Errorf("%g MHz: %+v", c.mhz, f)
		}
		if !strings.Contains(f.Source, "2006/771/EC") || f.Clause == "" || f.Year != 2017 || f.Confidence != ConfidenceB ||
			!strings.Contains(f.SecondHand, "UN-39") {
			t.Errorf("%g MHz: provenance %+v", c.mhz, f)
		}
	}
}

// TestRoundingIsForgiven: 14 dBm ERP passes 25 mW (13.98 dBm), as the trade
// counts it (reference notes on propagation, section 9.1: "14 dBm ERP = 16.15 dBm EIRP, 25 mW");
// a tenth of a decibel does not.
func TestRoundingIsForgiven(t *testing.T) {
	u := Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 14, GainDBi: 2.15}
	if r := mustCheck(t, EU868, u); r.Exceeds() || !strings.Contains(strings.Join(r.Lines(), "\n"), "within by rounding") {
		t.Errorf("14 dBm ERP: %s", r.Lines())
	}
	u.TxDBm = 14.08
	if !mustCheck(t, EU868, u).Exceeds() {
		t.Error("14.08 dBm ERP passes 25 mW")
	}
}

// TestBandwidthFigures: 635 kHz at 6 dB for 500 kHz (AN1200.62, reference
// notes on LoRa, section 5.2), the nominal bandwidth elsewhere.
func TestBandwidthFigures(t *testing.T) {
	for _, c := range []struct {
		band          Band
		key           string
		freqHz, bwHz  float64
		have, allowed float64 // kHz
		status        Status
	}{
		{US915, "us-902-dts", 915e6, 500e3, 635, 500, Within},
		{US915, "us-902-dts", 915e6, 250e3, 250, 500, Exceeds},
		{US915, "us-902-dts", 915e6, 125e3, 125, 500, Exceeds},
		{US915, "us-902-fhss50", 915e6, 125e3, 125, 250, Within},
		{US915, "us-902-fhss50", 915e6, 250e3, 250, 250, Exceeds},
		{JP920, "jp-920-lbt", 921e6, 125e3, 125, 1000, Within},
		{JP920, "jp-922-928-1", 925e6, 250e3, 250, 200, Exceeds},
		{EU169, "eu-169-hp", 169.44e6, 41666.667, 41.666667, 50, Within},
	} {
		seen := false
		for _, f := range mustCheck(t, c.band, Use{FreqHz: c.freqHz, BWHz: c.bwHz}).Findings() {
			if f.Key != c.key || f.Topic != TopicBandwidth {
				continue
			}
			seen = true
			if f.Status != c.status || !(math.Abs(f.Have-c.have) <= 1e-6) || !(math.Abs(f.Allowed-c.allowed) <= 1e-6) {
				t.Errorf("%s at %g Hz: %+v", c.key, c.bwHz, f)
			}
		}
		if !seen {
			t.Errorf("%s: no finding on bandwidth", c.key)
		}
	}
}

// TestNotJudged: listening and conditions in words are said and not judged;
// figures of reference notes on LoRa, section 5.3.
func TestNotJudged(t *testing.T) {
	for _, c := range []struct {
		band  Band
		mhz   float64
		key   string
		topic Topic
		says  string
	}{
		{JP920, 921, "jp-920-lbt", TopicListen, "listen 5 ms before talking, threshold -80 dBm"},
		{JP920, 921, "jp-920-dc", TopicAccess, "a duty cycle instead of listening, of which the table has no figure"},
		{JP920, 925, "jp-922-928-1", TopicListen, "listen 128 µs before talking"},
		{KR920, 921.5, "kr-920-low", TopicListen, "listen 5 ms before talking, threshold -65 dBm"},
		{KR920, 922.5, "kr-920-high", TopicAccess, "or, instead of listening, 2 % in any 20 s, or hopping over 16 channels with 0.4 s on each"},
		{RU864, 868.9, "ru-864-870", TopicAccess, "only parts of the band are usable"},
		{UK868, 872, "uk-870-874.4-net", TopicAccess, "only for networked short-range devices with adaptive power control"},
	} {
		seen := false
		for _, f := range mustCheck(t, c.band, Use{FreqHz: c.mhz * 1e6, BWHz: 125e3}).Findings() {
			if f.Key == c.key && f.Topic == c.topic && f.Says == c.says && f.Status == NotJudged && f.Unit == "" {
				seen = true
			}
		}
		if !seen {
			t.Errorf("%s: no finding %q, not judged", c.key, c.says)
		}
	}
}
