package band

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/radio"
)

// largestEIRP is a second way to what Check keeps: the largest EIRP that a row for plain
// nodes allows on the use's channel, with its bandwidth, hopping and airtime, and the key
// of that row; its power and gain play no part. An empty key means that no row would be
// kept at any power.
func largestEIRP(b Band, u Use) (eirp radio.DBm, key string, err error) {
	rules, err := checked(b, u)
	if err != nil {
		return 0, "", err
	}
	for _, r := range held(rules, u) {
		if !keptBarPower(r, u) {
			continue
		}
		if p := r.maxEIRP(u.BWHz); key == "" || p > eirp {
			eirp, key = p, r.Key
		}
	}
	return eirp, key, nil
}

// keptBarPower tells whether the row is for a plain node and all but power,
// gain and density is kept.
func keptBarPower(r Rule, u Use) bool {
	if r.Class != "" {
		return false
	}
	for _, f := range append(r.judgeChannel(u), r.judgeTime(u)...) {
		if f.Status == Exceeds {
			return false
		}
	}
	return true
}

// TestLargestEIRP: reference notes on LoRa, section 5.
func TestLargestEIRP(t *testing.T) {
	for _, c := range []struct {
		name string
		band Band
		use  Use
		want float64
		key  string
	}{
		{"25 mW ERP = 16.13 dBm EIRP", EU868, Use{FreqHz: 868.1e6, BWHz: 125e3}, 16.13, "eu-868.0-868.6"},
		{"500 mW ERP = 29.14 dBm EIRP", EU868, Use{FreqHz: 869.525e6, BWHz: 125e3}, 29.14, "eu-869.4-869.65"},
		{"25 mW beats 5 mW", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3}, 16.13, "eu-869.7-870"},
		{"but not with 2 % duty: 5 mW ERP = 9.14", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3, AirtimeS: 0.72, PacketsPerHour: 100}, 9.14, "eu-869.7-870-lp"},
		{"10 mW ERP = 12.15", EU433, Use{FreqHz: 434e6, BWHz: 125e3}, 12.15, "eu-433"},
		// 10 % exceeded; 1 mW is 2.15 dBm EIRP, and -13 dBm/10 kHz is 3.99 dBm in 500 kHz.
		{"1 mW ERP decides over the density", EU433, Use{FreqHz: 434e6, BWHz: 500e3, AirtimeS: 1, PacketsPerHour: 400}, 2.15, "eu-433-wide"},
		{"United States: 30 + 6 = 36", US915, Use{FreqHz: 915e6, BWHz: 500e3}, 36, "us-902-dts"},
		{"fixed narrow carrier: 15.249", US915, Use{FreqHz: 915e6, BWHz: 125e3}, -1.25, "us-902-249"},
		{"hopping: 36", US915, Use{FreqHz: 915e6, BWHz: 125e3, Hopping: 64}, 36, "us-902-fhss50"},
		{"Canada: 4 W", CA915, Use{FreqHz: 915e6, BWHz: 500e3}, 36.02, "ca-902-dts"},
		{"Japan: 16", JP920, Use{FreqHz: 921e6, BWHz: 125e3}, 16, "jp-920-lbt"},
		{"Korea: 10 below 922", KR920, Use{FreqHz: 921.5e6, BWHz: 125e3}, 10, "kr-920-low"},
		{"only for networked devices", EU868, Use{FreqHz: 918e6, BWHz: 125e3}, 0, ""},
		{"a gap", EU868, Use{FreqHz: 868.65e6, BWHz: 62.5e3}, 0, ""},
		{"Japan, three unit channels", JP920, Use{FreqHz: 921e6, BWHz: 500e3}, 16, "jp-920-lbt"},
		{"too wide at any power", KR920, Use{FreqHz: 921.5e6, BWHz: 250e3}, 0, ""},
	} {
		got, key, err := largestEIRP(c.band, c.use)
		if err != nil || key != c.key || !(math.Abs(float64(got)-c.want) <= 0.005) {
			t.Errorf("%s: %.3f dBm by %q, %v; want %.2f by %q", c.name, got, key, err, c.want, c.key)
		}
	}
	if _, _, err := largestEIRP("mars915", Use{}); err == nil {
		t.Error("no error for an unknown band and an empty use")
	}
}

// TestAllowanceAgreesWithCheck: no use that Check keeps radiates more than the largest EIRP.
func TestAllowanceAgreesWithCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(Names()).Draw(t, "band")
		u := drawUse(t, b)
		r, err := Check(b, u)
		if err != nil {
			t.Fatal(err)
		}
		most, key, err := largestEIRP(b, u)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict() == Within && (key == "" || float64(u.EIRP().Sub(most)) > slackDB+1e-9) {
			t.Fatalf("%g dBm EIRP is within, the largest is %g by %q", u.EIRP(), most, key)
		}
	})
}
