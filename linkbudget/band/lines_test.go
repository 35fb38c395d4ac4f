package band

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestLinesNeverPromise: whatever the use, the text is short, names source and
// year of every row it cites, ends in "check locally" and promises nothing.
func TestLinesNeverPromise(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(Names()).Draw(t, "band")
		r, err := Check(b, drawUse(t, b))
		if err != nil {
			t.Fatal(err)
		}
		lines := r.Lines()
		text := strings.Join(lines, "\n")
		for _, word := range []string{"compliant", "legal", "NaN", "Inf", "%!", "e+"} {
			if strings.Contains(text, word) {
				t.Fatalf("%q in\n%s", word, text)
			}
		}
		if !strings.HasSuffix(text, "check locally.") || len(lines) < 3 {
			t.Fatalf("%s", text)
		}
		if r.Exceeds() != strings.Contains(lines[0], ": beyond the table") {
			t.Fatalf("verdict %s under %q", r.Verdict(), lines[0])
		}
		for _, line := range lines {
			if len(line) > 320 {
				t.Fatalf("%d bytes: %s", len(line), line)
			}
		}
		if r.Exceeds() { // every alternative is accounted for, with what is against it
			for _, row := range r.Rows {
				if !strings.Contains(text, row.Rule.Key+" ("+row.Rule.Source) {
					t.Fatalf("%s is not in\n%s", row.Rule.Key, text)
				}
			}
			if n := strings.Count(text, ": exceeds"); n != strings.Count(exceeded(r), ";")+1 {
				t.Fatalf("%d findings printed, beyond: %s", n, exceeded(r))
			}
		}
	})
}

// TestLinesOfANarrowFixedCarrier: reference notes on LoRa, section 5.2, "consequence to show
// users": neither rule is met, and 15.249 at -1.25 dBm EIRP is named.
func TestLinesOfANarrowFixedCarrier(t *testing.T) {
	text := strings.Join(mustCheck(t, US915, Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 22, GainDBi: 2}).Lines(), "\n")
	for _, want := range []string{"15.247(a)(2)", "6 dB bandwidth of at least 500 kHz: exceeds",
		"the frequency is fixed: exceeds",
		"us-902-249 (47 CFR Part 15, 15.249(a), 2026, confidence A)", "50 mV/m at 3 m, -1.25 dBm EIRP: exceeds"} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
}

// TestLinesShowTheRest: gap, class, duty and silence in words.
func TestLinesShowTheRest(t *testing.T) {
	for _, c := range []struct {
		use  Use
		want []string
	}{
		{Use{FreqHz: 868.65e6, BWHz: 62.5e3}, []string{"868.6 to 868.7 MHz lies between the rows of eu868"}},
		{Use{FreqHz: 915e6, BWHz: 125e3}, []string{"2400 kHz from the nearest row", "863-868.6, 868.7-869.2, 869.4-869.65, 869.7-870, 874-874.4, 917.4-919.4 MHz"}},
		{Use{FreqHz: 869.525e6, BWHz: 500e3}, []string{"must lie inside 869.4 to 869.65 MHz", "band O or P, 2017", "second-hand: the Spanish national table UN-39"}},
		{Use{FreqHz: 918e6, BWHz: 125e3}, []string{"only rows for another kind of device", "only for networked"}},
		{Use{FreqHz: 865.7e6, BWHz: 125e3, TxDBm: 20}, []string{"eu-865.6-865.8-net", "only for networked"}},
		{Use{FreqHz: 868.1e6, BWHz: 125e3, AirtimeS: 0.370688, PacketsPerHour: 10},
			[]string{"at most 1 % of an hour, 36 s, or polite access: within", "leaves 97 an hour", "36.7 s of silence"}},
	} {
		text := strings.Join(mustCheck(t, EU868, c.use).Lines(), "\n")
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("lacks %q:\n%s", want, text)
			}
		}
	}
}

// TestSecondHandIsSaid: every row in the text that nobody read says so below it, once
// in full where neighbours share it; rows of confidence A say nothing.
func TestSecondHandIsSaid(t *testing.T) {
	for _, b := range Names() {
		r := mustCheck(t, b, Use{FreqHz: DefaultChannelHz(b, 125e3), BWHz: 125e3, TxDBm: 40})
		text := strings.Join(r.Lines(), "\n")
		rows := 0
		for _, row := range r.Rows {
			if row.Rule.SecondHand != "" {
				rows++
				if !strings.Contains(text, "second-hand: "+row.Rule.SecondHand) {
					t.Errorf("%s does not say what was read:\n%s", row.Rule.Key, text)
				}
			}
			for _, f := range row.Findings {
				if f.SecondHand != row.Rule.SecondHand {
					t.Errorf("%s: finding says %q", row.Rule.Key, f.SecondHand)
				}
			}
		}
		if n := strings.Count(text, "  second-hand: "); n != rows {
			t.Errorf("%s: %d rows say so, %d are:\n%s", b, n, rows, text)
		}
	}
}
