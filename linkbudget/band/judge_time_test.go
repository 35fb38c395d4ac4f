package band

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/lora"
)

// TestDwellBoundary: reference notes on LoRa, block F. The AS923 table of RP002-1.0.5 gives, at
// 400 ms dwell, a largest payload per spreading factor: it passes, one byte
// more does not. SF11 and SF12 never fit (section 5.2: 413.7 and 827.4 ms).
func TestDwellBoundary(t *testing.T) {
	for _, c := range []struct {
		sf, payloadB int
		airtimeMS    float64
		exceeds      bool
	}{
		{10, 24, 370.688, false}, {10, 25, 411.648, true},
		{9, 66, 390.144, false}, {9, 67, 410.624, true},
		{8, 138, 399.872, false}, {8, 139, 410.112, true},
		{7, 255, 399.616, false},
		{11, 1, 413.7, true}, {12, 1, 827.4, true},
	} {
		a, err := lora.TimeOnAir(lora.Modem{SF: c.sf, BWHz: 125e3, CR: 1},
			lora.Packet{PayloadB: c.payloadB, PreambleSymbols: 8}, lora.FamilySX126x)
		if err != nil || !(math.Abs(a.TotalS*1e3-c.airtimeMS) <= 0.05) {
			t.Errorf("SF%d, %d bytes: %.3f ms, %v; want %g", c.sf, c.payloadB, a.TotalS*1e3, err, c.airtimeMS)
			continue
		}
		for _, k := range []struct {
			band    Band
			mhz     float64
			hopping int
			key     string
		}{{AS9231, 923.2, 0, "as923-1"}, {AS9232, 921.4, 0, "as923-2"}, {AS9233, 916.6, 0, "as923-3"},
			{AS9234, 917.3, 0, "as923-4"}, {US915, 915, 64, "us-902-fhss50"}, {JP920, 925, 0, "jp-922-928-1"}} {
			r := mustCheck(t, k.band, Use{FreqHz: k.mhz * 1e6, BWHz: 125e3, TxDBm: 10, AirtimeS: a.TotalS, Hopping: k.hopping,
				PacketsPerHour: 1})
			seen := false
			for _, f := range r.Findings() {
				if f.Key != k.key || f.Topic != TopicDwell || f.Unit != "s" {
					continue
				}
				seen = true
				if (f.Status == Exceeds) != c.exceeds || f.Allowed != 0.4 {
					t.Errorf("%s SF%d, %d bytes: %+v", k.band, c.sf, c.payloadB, f)
				}
			}
			if !seen {
				t.Errorf("%s: no dwell finding", k.key)
			}
		}
	}
}

// TestRate: packets that an hour leaves. Worked by hand beside each row.
func TestRate(t *testing.T) {
	eu := Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 14}
	us := Use{FreqHz: 915e6, BWHz: 125e3, TxDBm: 20, Hopping: 64}
	for _, c := range []struct {
		name     string
		band     Band
		use      Use
		airtimeS float64
		limited  bool
		packets  int
		silenceS float64
	}{
		{"1 %: 36/0.370688 = 97.1; 99 airtimes", EU868, eu, 0.370688, true, 97, 36.698112},
		{"1 %: 36/0.5 exactly", EU868, eu, 0.5, true, 72, 49.5},
		{"1 %: 36/0.1 = 360, which binary rounding must not make 359", EU868, eu, 0.1, true, 360, 9.9},
		{"1 %: a packet of 40 s never fits 36", EU868, eu, 40, true, 0, 0},
		{"0.1 %: 3.6/0.370688 = 9.7", EU868, Use{FreqHz: 868.9e6, BWHz: 125e3}, 0.370688, true, 9, 370.317312},
		{"10 %: 360/0.370688 = 971.2; 9 airtimes", EU868, Use{FreqHz: 869.525e6, BWHz: 125e3, TxDBm: 20}, 0.370688, true, 971, 3.336192},
		{"5 mW row: nothing", EU868, Use{FreqHz: 869.85e6, BWHz: 125e3, TxDBm: 5}, 0.370688, false, 0, 0},
		{"airtime not stated", EU868, eu, 0, false, 0, 0},
		// One packet of 0.37 s per channel and 20 s, 64 channels: 64*180 = 11520
		// an hour, more than the 9711 that fit back to back.
		{"hopping: more than fit", US915, us, 0.370688, false, 0, 0},
		{"as923: too long for any", AS9231, Use{FreqHz: 923.2e6, BWHz: 125e3, TxDBm: 14}, 0.411648, true, 0, 0},
		// AS923: one per cent counts, the dwell of one transmission does not.
		{"as923", AS9231, Use{FreqHz: 923.2e6, BWHz: 125e3, TxDBm: 14}, 0.370688, true, 97, 36.698112},
		// Canada at 50 channels of 20 s: 1 each, 50*180 = 9000; 20/50 - 0.37 s.
		{"hopping over 50", CA915, Use{FreqHz: 917e6, BWHz: 125e3, TxDBm: 20, Hopping: 50}, 0.370688, true, 9000, 0.029312},
		// Two packets of 0.15 s per channel: 18000 an hour; 20/100 - 0.15.
		{"hopping over 50, two per window", CA915, Use{FreqHz: 917e6, BWHz: 125e3, TxDBm: 20, Hopping: 50}, 0.15, true, 18000, 0.05},
		{"no row", EU868, Use{FreqHz: 900e6, BWHz: 125e3}, 0.37, true, 0, 0},
	} {
		u := c.use
		u.AirtimeS = c.airtimeS
		r := mustCheck(t, c.band, u)
		packets, limited := r.PacketsPerHour()
		if packets != c.packets || limited != c.limited || !(math.Abs(r.SilenceS()-c.silenceS) <= 1e-9) {
			t.Errorf("%s: %d packets, limited %t, %.9f s; want %d, %t, %.9f", c.name, packets, limited, r.SilenceS(), c.packets,
				c.limited, c.silenceS)
		}
	}
}

// TestMinOff: 3600/(0.4+0.6) = 3600 packets; TestRateKeepsTheRow holds Korea's rows
// to the same.
func TestMinOff(t *testing.T) {
	got := Rule{MinOffS: 0.6}.rate(Use{AirtimeS: 0.4})
	if got != (Rate{Limited: true, PacketsPerHour: 3600, SilenceS: 0.6}) {
		t.Errorf("got %+v", got)
	}
}

// TestRateKeepsTheRow: sending just what the row leaves is kept, one packet
// more is not.
func TestRateKeepsTheRow(t *testing.T) {
	for _, b := range Names() {
		for _, rule := range Rules(b) {
			for _, airtimeS := range []float64{0.041216, 0.1, 0.370688, 0.399872} {
				u := Use{FreqHz: (rule.FromHz + rule.ToHz) / 2, BWHz: 7812.5, AirtimeS: airtimeS, Hopping: rule.MinHops}
				rate := rule.rate(u)
				if !rate.Limited || rate.PacketsPerHour == 0 { // one packet is too long already
					continue
				}
				for _, more := range []int{0, 1} {
					u.PacketsPerHour = float64(rate.PacketsPerHour + more)
					beyond := false
					for _, f := range rule.judgeTime(u) {
						beyond = beyond || f.Status == Exceeds
					}
					// Whole packets per dwell window leave a remainder that the
					// average does not see: one more may still pass there.
					if more == 0 && beyond || more == 1 && !beyond && rule.DwellWindowS == 0 && rule.DwellWindowPerHopS == 0 {
						t.Errorf("%s, %g s, %g packets: beyond %t", rule.Key, airtimeS, u.PacketsPerHour, beyond)
					}
				}
			}
		}
	}
}

// TestDutyFinding: 200 packets of 0.4 s are 80 s of 3600, 2.222 %.
func TestDutyFinding(t *testing.T) {
	u := Use{FreqHz: 868.1e6, BWHz: 125e3, AirtimeS: 0.4, PacketsPerHour: 200}
	f := mustCheck(t, EU868, u).Findings()
	duty := f[len(f)-1]
	if duty.Topic != TopicDuty || duty.Status != Exceeds || duty.Unit != "%" || !(math.Abs(duty.Have-2.2222) <= 5e-5) ||
		!(math.Abs(duty.Allowed-1) <= 1e-12) {
		t.Errorf("%+v", duty)
	}
	// 40 s are more than the 36 s of an hour by themselves, at any rate.
	for _, packets := range []float64{0, 0.25, 1} {
		f := mustCheck(t, EU868, Use{FreqHz: 868.1e6, BWHz: 125e3, AirtimeS: 40, PacketsPerHour: packets}).Findings()
		if last := f[len(f)-1]; last.Topic != TopicDuty || last.Status != Exceeds || !(math.Abs(last.Have-1.1111) <= 5e-5) {
			t.Errorf("%g packets of 40 s: %+v", packets, last)
		}
	}
	for _, unstated := range []Use{{AirtimeS: 0.4}, {PacketsPerHour: 200}} {
		unstated.FreqHz, unstated.BWHz = u.FreqHz, u.BWHz
		f := mustCheck(t, EU868, unstated).Findings()
		if last := f[len(f)-1]; last.Topic != TopicDuty || last.Status != NotJudged || last.Unit != "" {
			t.Errorf("unstated: %+v", last)
		}
	}
}
