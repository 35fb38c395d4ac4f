package band

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget"
)

// TestMaxEIRP: reference notes on LoRa, section 5.
func TestMaxEIRP(t *testing.T) {
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
		got, key, err := MaxEIRP(c.band, c.use)
		if err != nil || key != c.key || !(math.Abs(float64(got)-c.want) <= 0.005) {
			t.Errorf("%s: %.3f dBm by %q, %v; want %.2f by %q", c.name, got, key, err, c.want, c.key)
		}
	}
	if _, _, err := MaxEIRP("mars915", Use{}); err == nil {
		t.Error("no error for an unknown band and an empty use")
	}
}

// TestGainHeadroom: highest gains worked by hand from the limits of the
// reference notes on LoRa, section 5: P_tx - L_feed + G <= limit.
func TestGainHeadroom(t *testing.T) {
	for _, c := range []struct {
		name string
		band Band
		use  Use
		want float64
		ok   bool
	}{
		{"16.13 - 22 = -5.87 dBi, has 8", EU868, Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 22, GainDBi: 8}, -13.87, true},
		{"29.14 - 22 + 1 = 8.14 dBi, has 8", EU868, Use{FreqHz: 869.525e6, BWHz: 125e3, TxDBm: 22, FeedLossDB: 1, GainDBi: 8}, 0.14, true},
		{"36 - 22 = 14 dBi, has 3", US915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 22, GainDBi: 3}, 11, true},
		{"36 - 30 = 6 dBi, has 6", US915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 30, GainDBi: 6}, 0, true},
		{"31 dBm conducted at any gain: 15.249 is for fixed gains of -32 dBi", US915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 31}, -32.25, true},
		{"Canada has no low-field row: 31 dBm conducted helps nothing", CA915, Use{FreqHz: 915e6, BWHz: 500e3, TxDBm: 31}, 0, false},
		{"Japan: 3 dBi", JP920, Use{FreqHz: 921e6, BWHz: 125e3, TxDBm: 10, GainDBi: 1}, 2, true},
		{"a gap", EU868, Use{FreqHz: 868.65e6, BWHz: 62.5e3}, 0, false},
		{"no use", EU868, Use{}, 0, false},
	} {
		got, ok := GainHeadroom(c.band, c.use)
		if ok != c.ok || !(math.Abs(float64(got)-c.want) <= 0.005) {
			t.Errorf("%s: %.3f dB, %t; want %.2f, %t", c.name, got, ok, c.want, c.ok)
		}
	}
}

// TestAllowanceAgreesWithCheck: the gain that GainHeadroom allows is kept by
// Check and a tenth of a decibel more is not; without headroom no gain is kept;
// and no use that Check keeps radiates more than MaxEIRP.
func TestAllowanceAgreesWithCheck(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(Names()).Draw(t, "band")
		u := drawUse(t, b)
		headroom, ok := GainHeadroom(b, u)
		for _, c := range []struct {
			more linkbudget.DB
			kept bool
		}{{0, true}, {0.1, false}} {
			v := u
			v.GainDBi += headroom + c.more
			if v.GainDBi < -40 || v.GainDBi > 60 {
				return
			}
			r, err := Check(b, v)
			if err != nil {
				t.Fatal(err)
			}
			if got := r.Verdict() == Within; got != (c.kept && ok) {
				t.Fatalf("%+v with %g dBi: within %t; headroom %g, %t", u, v.GainDBi, got, headroom, ok)
			}
		}
		r, err := Check(b, u)
		if err != nil {
			t.Fatal(err)
		}
		most, key, err := MaxEIRP(b, u)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict() == Within && (key == "" || float64(u.EIRP().Sub(most)) > slackDB+1e-9) {
			t.Fatalf("%g dBm EIRP is within, MaxEIRP says %g by %q", u.EIRP(), most, key)
		}
	})
}
