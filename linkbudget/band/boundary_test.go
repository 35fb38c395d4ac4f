package band

import (
	"math"
	"testing"

	"github.com/polereach/polereach/linkbudget/radio"
)

// eachRow calls f for every row of every band, with a use in its middle that
// has the narrowest bandwidth and as many channels as the row asks.
func eachRow(f func(r Rule, u Use)) {
	for _, b := range Names() {
		for _, r := range Rules(b) {
			f(r, Use{FreqHz: (r.FromHz + r.ToHz) / 2, BWHz: 7812.5, TxDBm: -20, Hopping: r.MinHops})
		}
	}
}

// beyond tells whether any finding of a topic exceeds.
func beyond(row Row, topics ...Topic) bool {
	for _, f := range row.Findings {
		for _, topic := range topics {
			if f.Topic == topic && f.Status == Exceeds {
				return true
			}
		}
	}
	return false
}

// TestEdgesOfEveryRow: a channel that touches the edge from inside is held,
// one that crosses it by 10 Hz is not; by definition of the occupied channel.
func TestEdgesOfEveryRow(t *testing.T) {
	eachRow(func(r Rule, u Use) {
		for _, c := range []struct {
			freqHz float64
			held   bool
		}{
			{r.FromHz + u.BWHz/2, true}, {r.ToHz - u.BWHz/2, true},
			{r.FromHz + u.BWHz/2 - 10, false}, {r.ToHz - u.BWHz/2 + 10, false},
		} {
			u.FreqHz = c.freqHz
			if got := r.holds(u.edgesHz()); got != c.held {
				t.Errorf("%s: channel at %.0f Hz held %t, want %t", r.Key, c.freqHz, got, c.held)
			}
			found := false
			for _, row := range mustCheck(t, r.Plan, u).Rows {
				found = found || row.Rule.Key == r.Key
			}
			if found != c.held {
				t.Errorf("%s: channel at %.0f Hz reported %t, want %t", r.Key, c.freqHz, found, c.held)
			}
		}
	})
}

// TestPowerOfEveryRow: the limit is kept up to 0.05 dB above, and no further,
// in the row's own reference: dBd for ERP, dBi for EIRP, no gain for conducted.
func TestPowerOfEveryRow(t *testing.T) {
	eachRow(func(r Rule, u Use) {
		gainOf := map[Reference]radio.DB{Conducted: 0, ERP: 2.15, EIRP: 0, FieldStrength: 0}
		u.GainDBi = gainOf[r.Reference] + 1
		u.FeedLossDB = 1 // gain and feeder cancel, but for a conducted limit
		if r.Reference == Conducted {
			u.GainDBi = -10 // far below any cap
		}
		for _, c := range []struct {
			overDB float64
			beyond bool
		}{{-0.01, false}, {0.04, false}, {0.06, true}, {3, true}} {
			u.TxDBm = r.Limit + radio.DBm(c.overDB)
			if got := beyond(r.judge(u), TopicPower); got != c.beyond {
				t.Errorf("%s: %+.2f dB over the limit: beyond %t, want %t", r.Key, c.overDB, got, c.beyond)
			}
		}
	})
}

// TestGainRules: P_max = 30 - max(0, G - 6) for each dB around and above the
// threshold (47 CFR 15.247(b)(4)); a feeder lowers the power at the antenna.
func TestGainRules(t *testing.T) {
	for _, c := range []struct {
		gainDBi radio.DB
		most    radio.DBm // by hand
	}{{0, 30}, {5, 30}, {6, 30}, {7, 29}, {8, 28}, {12, 24}, {15, 21}} {
		for _, feedDB := range []radio.DB{0, 2} {
			for _, k := range []struct {
				over   radio.DBm
				beyond bool
			}{{0, false}, {0.1, true}} {
				u := Use{FreqHz: 915e6, BWHz: 500e3, GainDBi: c.gainDBi, FeedLossDB: feedDB,
					TxDBm: c.most.Add(feedDB) + k.over}
				row := mustCheck(t, US915, u).Rows[0]
				if got := beyond(row, TopicGain); row.Rule.Key != "us-902-dts" || got != k.beyond {
					t.Errorf("%s, %g dBi, feeder %g dB, %g dBm: beyond %t, want %t", row.Rule.Key, c.gainDBi, feedDB, u.TxDBm, got,
						k.beyond)
				}
				// The radio's own connector may not pass 30 dBm, cable or not.
				if got := beyond(row, TopicPower); got != (u.TxDBm > 30.05) {
					t.Errorf("%g dBm conducted with %g dB of feeder: beyond %t", u.TxDBm, feedDB, got)
				}
			}
		}
	}
}

// TestDensityOfEveryRow: a flat carrier at the density limit, worked back as
// limit + 10 log(BW/B), is kept; a tenth of a decibel more is not.
func TestDensityOfEveryRow(t *testing.T) {
	rows := 0
	eachRow(func(r Rule, u Use) {
		if r.DensityPerHz == 0 {
			return
		}
		rows++
		u.BWHz = 500e3
		atLimit := r.DensityDBm + radio.DBm(10*math.Log10(500e3/r.DensityPerHz))
		if r.Reference == ERP {
			u.GainDBi = 2.15
		}
		for _, c := range []struct {
			over   radio.DBm
			beyond bool
		}{{0, false}, {0.1, true}} {
			u.TxDBm = atLimit + c.over
			if got := beyond(r.judge(u), TopicDensity); got != c.beyond {
				t.Errorf("%s: %+g dB over the density: beyond %t, want %t", r.Key, c.over, got, c.beyond)
			}
		}
		u.BWHz, u.TxDBm = 250e3, 40
		if got, want := beyond(r.judge(u), TopicDensity), r.DensityOverHz == 0; got != want {
			t.Errorf("%s at 250 kHz: density judged %t, want %t", r.Key, got, want)
		}
	})
	if rows != 9 { // us dts, hybrid; ca the same; br dts twice; au dm; eu and in 433 wide
		t.Errorf("%d rows with a density, want 9", rows)
	}
}

// TestTimesOfEveryRow: one packet, and a full hour of them, at each row's
// limits and 1 % beyond.
func TestTimesOfEveryRow(t *testing.T) {
	eachRow(func(r Rule, u Use) {
		for _, limitS := range []float64{r.MaxTxS, r.DwellS} {
			if limitS == 0 {
				continue
			}
			for _, c := range []struct {
				airtimeS float64
				beyond   bool
			}{{limitS, false}, {limitS * 1.01, true}} {
				u.AirtimeS = c.airtimeS
				if got := beyond(r.judge(u), TopicDwell); got != c.beyond {
					t.Errorf("%s: packet of %g s beyond %t, want %t", r.Key, c.airtimeS, got, c.beyond)
				}
			}
		}
		if r.Duty == 0 {
			return
		}
		u.AirtimeS = 0.1
		for _, c := range []struct {
			packets float64
			beyond  bool
		}{{r.Duty * 36000, false}, {r.Duty * 36360, true}} { // 36000 packets of 0.1 s are an hour
			u.PacketsPerHour = c.packets
			if got := beyond(r.judge(u), TopicDuty); got != c.beyond {
				t.Errorf("%s: %g packets of 0.1 s beyond %t, want %t", r.Key, c.packets, got, c.beyond)
			}
		}
	})
}

// TestHopsOfEveryRow: the least and the most number of channels, and one off.
func TestHopsOfEveryRow(t *testing.T) {
	eachRow(func(r Rule, u Use) {
		for _, c := range []struct {
			hops   int
			beyond bool
		}{{r.MinHops, false}, {r.MinHops - 1, r.MinHops > 0}, {max(r.MaxHops, r.MinHops), false},
			{r.MaxHops + 1, r.MaxHops > 0 || r.MinHops > 1}} {
			if c.hops < 0 {
				continue
			}
			u.Hopping = c.hops
			if got := beyond(r.judge(u), TopicHopping); got != c.beyond {
				t.Errorf("%s: %d channels beyond %t, want %t", r.Key, c.hops, got, c.beyond)
			}
		}
	})
}

// FuzzCheck: any numbers give an error or a report that can be printed.
func FuzzCheck(f *testing.F) {
	f.Add(0, 868.1e6, 125e3, 22.0, 1.0, 8.0, 0.37, 0, 10.0)
	f.Add(4, 915e6, 500e3, 30.0, 0.0, 6.0, 1e-6, 64, 1e6)
	f.Add(11, math.NaN(), math.Inf(1), math.Copysign(0, -1), 5e-324, 1e308, -1.0, -1, math.NaN())
	f.Fuzz(func(t *testing.T, b int, freqHz, bwHz, tx, feed, gain, airtimeS float64, hopping int, packets float64) {
		name := Names()[int(uint(b)%uint(len(Names())))]
		u := Use{FreqHz: freqHz, BWHz: bwHz, TxDBm: radio.DBm(tx), FeedLossDB: radio.DB(feed),
			GainDBi: radio.DB(gain), AirtimeS: airtimeS, Hopping: hopping, PacketsPerHour: packets}
		r, err := Check(name, u)
		if (err == nil) != (u.Validate() == nil) {
			t.Fatalf("Check: %v, Validate: %v", err, u.Validate())
		}
		if err != nil {
			return
		}
		for _, found := range r.Findings() {
			if math.IsNaN(found.Have) || math.IsInf(found.Have, 0) {
				t.Fatalf("%+v", found)
			}
		}
		if len(r.Lines()) < 3 || !(r.SilenceS() >= 0) {
			t.Fatalf("%q, silence %g", r.Lines(), r.SilenceS())
		}
	})
}

// BenchmarkCheck is what the advice calls once per trial.
func BenchmarkCheck(b *testing.B) {
	u := Use{FreqHz: 868.1e6, BWHz: 125e3, TxDBm: 14, GainDBi: 2, AirtimeS: 0.37, PacketsPerHour: 10}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Check(EU868, u); err != nil {
			b.Fatal(err)
		}
	}
}
