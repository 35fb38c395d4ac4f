package band

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
)

// TestCheckRefuses: every fault at once, and no numbers out of nothing.
func TestCheckRefuses(t *testing.T) {
	nan := math.NaN()
	_, err := Check("mars915", Use{FreqHz: nan, BWHz: -1, TxDBm: radio.DBm(math.Inf(1)), FeedLossDB: -1,
		GainDBi: radio.DB(nan), AirtimeS: -1, Hopping: -1, PacketsPerHour: nan})
	if err == nil {
		t.Fatal("no error")
	}
	for _, word := range []string{"mars915", "eu868", "freq_hz", "bw_hz", "tx_dbm", "feed_loss_db", "gain_dbi",
		"airtime_s", "hopping", "packets_per_hour"} {
		if !strings.Contains(err.Error(), word) {
			t.Errorf("error lacks %s: %v", word, err)
		}
	}
}

// drawUse draws any acceptable use near a band.
func drawUse(t *rapid.T, b Band) Use {
	rules := Rules(b)
	r := rules[rapid.IntRange(0, len(rules)-1).Draw(t, "row")]
	return Use{
		FreqHz:         rapid.Float64Range(r.FromHz-0.3e6, r.ToHz+0.3e6).Draw(t, "freq"),
		BWHz:           rapid.SampledFrom(lora.Bandwidths()).Draw(t, "bw"),
		TxDBm:          radio.DBm(rapid.Float64Range(-10, 33).Draw(t, "tx")),
		FeedLossDB:     radio.DB(rapid.Float64Range(0, 6).Draw(t, "feed")),
		GainDBi:        radio.DB(rapid.Float64Range(-5, 15).Draw(t, "gain")),
		AirtimeS:       rapid.SampledFrom([]float64{0, 1e-6, 0.05, 0.37, 0.4, 0.41, 2, 3600}).Draw(t, "airtime"),
		Hopping:        rapid.SampledFrom([]int{0, 1, 2, 8, 25, 50, 64, 10000}).Draw(t, "hopping"),
		PacketsPerHour: rapid.SampledFrom([]float64{0, 0.5, 10, 200, 1e6}).Draw(t, "packets"),
	}
}

// TestCheckProperties: numbers are finite, statuses are consistent, and less
// power or fewer packets never turn a use that is kept into one that is not.
func TestCheckProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(Names()).Draw(t, "band")
		u := drawUse(t, b)
		r, err := Check(b, u)
		if err != nil {
			t.Fatal(err)
		}
		if (len(r.Rows) == 0) != (len(r.Edges) > 0) || len(r.Edges) > 0 && !r.Exceeds() {
			t.Fatalf("%d rows and %d edge findings, verdict %s", len(r.Rows), len(r.Edges), r.Verdict())
		}
		for _, f := range r.Findings() {
			if math.IsNaN(f.Have+f.Allowed) || math.IsInf(f.Have+f.Allowed, 0) || f.Says == "" || (f.Status == Exceeds) &&
				f.Unit == "" {
				t.Fatalf("%+v", f)
			}
		}
		for _, row := range r.Rows {
			if s := row.Rate.SilenceS; !(s >= 0) || math.IsInf(s, 1) || row.Rate.PacketsPerHour < 0 {
				t.Fatalf("%s: %+v", row.Rule.Key, row.Rate)
			}
		}
		if r.Exceeds() {
			return
		}
		less := u
		less.TxDBm -= radio.DBm(rapid.Float64Range(0, 20).Draw(t, "less"))
		less.PacketsPerHour *= rapid.Float64Range(0, 1).Draw(t, "share")
		if again, err := Check(b, less); err != nil || again.Exceeds() {
			t.Fatalf("%+v is beyond the table, %+v was not (%v)", less, u, err)
		}
	})
}
