package report_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/report"
)

// named is a term or an item of doubt as a reader of the JSON sees it.
type named struct {
	Name, Source string
	DB           *float64
}

func total(items []named, of func(float64) float64) float64 {
	var sum float64
	for _, i := range items {
		sum += of(*i.DB)
	}
	return sum
}

func same(v float64) float64   { return v }
func square(v float64) float64 { return v * v }

// What the JSON shows adds up to what it says: loss from its terms, level and
// noise of both directions from their items, doubt from its squares, and the
// probability is the normal integral of margin over doubt. Rounding to 0.001
// leaves some thousandths.
func TestSiteJSONAddsUp(t *testing.T) {
	text, err := json.Marshal(siteObject(t, report.SiteOptions{}))
	if err != nil {
		t.Fatal(err)
	}
	var v struct {
		Pole  struct{ Status string }
		Links []struct {
			To, Verdict string
			Terms       []named
			Loss        float64 `json:"loss_db"`
			Margin      float64 `json:"margin_db"`
			Doubt       []named
			Sigma       float64 `json:"sigma_db"`
			Probability float64
			Directions  []struct {
				Tx          float64 `json:"tx_dbm"`
				Items       []named
				Rx          float64 `json:"rx_dbm"`
				Thermal     float64 `json:"thermal_dbm"`
				Noise       []named
				NoiseDBm    float64 `json:"noise_dbm"`
				SNR         float64 `json:"snr_db"`
				Sensitivity float64 `json:"sensitivity_dbm"`
				Margin      float64 `json:"margin_db"`
			}
		}
	}
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	if v.Pole.Status != "standing" {
		t.Errorf("status of the pole is %q, want the word of the plan file", v.Pole.Status)
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 0.006) {
			t.Errorf("%s: %.4f, want %.4f", what, got, want)
		}
	}
	judged := 0
	for _, l := range v.Links {
		if l.Verdict == "unknown" {
			continue
		}
		judged++
		near(l.To+" loss", total(l.Terms, same), l.Loss)
		near(l.To+" doubt", math.Sqrt(total(l.Doubt, square)), l.Sigma)
		near(l.To+" probability", 0.5*math.Erfc(-l.Margin/l.Sigma/math.Sqrt2), l.Probability)
		weaker := math.Inf(1)
		for _, d := range l.Directions {
			near(l.To+" level", d.Tx+total(d.Items, same), d.Rx)
			near(l.To+" noise", d.Thermal+total(d.Noise, same), d.NoiseDBm)
			near(l.To+" ratio", d.Rx-d.NoiseDBm, d.SNR)
			near(l.To+" margin", d.Rx-d.Sensitivity, d.Margin)
			weaker = math.Min(weaker, d.Margin)
		}
		near(l.To+" weaker margin", weaker, l.Margin)
		for _, i := range append(append([]named(nil), l.Terms...), l.Doubt...) {
			if i.Name == "" || i.Source == "" {
				t.Errorf("%s: item %+v without name or source", l.To, i)
			}
		}
	}
	if judged < 2 {
		t.Errorf("only %d links judged", judged)
	}
}
