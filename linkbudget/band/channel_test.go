package band

import (
	"math"
	"strings"
	"testing"
)

// TestDefaultChannels: first default channels of the LoRaWAN regional parameters, as
// printed there for EU868, EU433, US915, AU915, IN865, KR920, AS923 (and its groups'
// offsets, 100 Hz times the signed code of reference notes on LoRa, section 5.3), CN470
// and RU864; a wider carrier takes the first that lies inside a row.
func TestDefaultChannels(t *testing.T) {
	group := func(code uint32) float64 { return 923.2 + 100*float64(int32(code))/1e6 }
	for _, c := range []struct {
		band      Band
		bwKHz, to float64
	}{
		{EU868, 125, 868.1}, {EU868, 250, 868.3}, {EU433, 125, 433.175}, {EU433, 500, 433.375},
		{US915, 125, 902.3}, {US915, 500, 902.3}, {AU915, 125, 915.2}, {AU915, 500, 915.9},
		{IN865, 125, 865.0625}, {KR920, 125, 922.1}, {CN470, 125, 470.3}, {RU864, 125, 868.9},
		{AS9231, 125, group(0)}, {AS9232, 125, group(0xFFFFB9B0)},
		{AS9233, 125, group(0xFFFEFE30)}, {AS9234, 125, group(0xFFFF1988)},
		{EU169, 41.666667, 169.4375}, {EU169, 125, 169.7},
	} {
		if got := DefaultChannelHz(c.band, c.bwKHz*1e3); !(math.Abs(got-c.to*1e6) <= 0.5) {
			t.Errorf("%s at %g kHz: %.4f MHz, want %.4f", c.band, c.bwKHz, got/1e6, c.to)
		}
	}
	if DefaultChannelHz("mars915", 125e3) != 0 {
		t.Error("an unknown band has a channel")
	}
	for _, b := range Names() { // each band's own channel lies in its own rows
		hz := DefaultChannelHz(b, 125e3)
		if !b.Covers(hz) || len(mustCheck(t, b, Use{FreqHz: hz, BWHz: 125e3}).Rows) == 0 {
			t.Errorf("%s: its channel %g Hz lies in no row", b, hz)
		}
	}
}

// TestDefaultBandwidth: digital modulation in North America and Brazil asks for 500 kHz (47 CFR
// 15.247(a)(2) and its like), nobody else for more than 125.
func TestDefaultBandwidth(t *testing.T) {
	for _, b := range Names() {
		want := 125e3
		if b == US915 || b == CA915 || b == BR915 {
			want = 500e3
		}
		if got := DefaultBandwidthHz(b); got != want {
			t.Errorf("%s: %g Hz, want %g", b, got, want)
		}
	}
}

// TestCovers: inside a row, in a named gap, between rows, and far away.
func TestCovers(t *testing.T) {
	for _, c := range []struct {
		band Band
		mhz  float64
		want bool
	}{{EU868, 868.1, true}, {EU868, 868.65, true}, {EU868, 872, false}, {EU868, 915, false}, {US915, 868.1, false},
		{BR915, 910, false}, {KR920, 923.3, true}, {"mars915", 900, false}} {
		if got := c.band.Covers(c.mhz * 1e6); got != c.want {
			t.Errorf("%s covers %g MHz: %t, want %t", c.band, c.mhz, got, c.want)
		}
	}
	if !strings.Contains(BR915.Spans(), "902-907.5") {
		t.Error(BR915.Spans())
	}
}
