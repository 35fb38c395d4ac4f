package band

import (
	"math"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, name := range []string{"eu868", "eu433", "eu169", "uk868", "us915", "ca915", "br915", "au915", "nz915", "in865", "in433",
		"jp920", "kr920", "as923-1", "as923-2", "as923-3", "as923-4", "cn470", "ru864"} {
		for _, form := range []string{name, strings.ToUpper(name), " " + name + " "} {
			if b, err := Parse(form); err != nil || string(b) != name {
				t.Errorf("Parse(%q) = %q, %v", form, b, err)
			}
		}
	}
	for _, name := range []string{"", "as923", "868", "eu-868", "eu868x"} {
		b, err := Parse(name)
		if err == nil || b != "" {
			t.Errorf("Parse(%q) = %q, no error", name, b)
			continue
		}
		for _, known := range Names() {
			if !strings.Contains(err.Error(), string(known)) {
				t.Errorf("Parse(%q): %v does not list %s", name, err, known)
			}
		}
	}
	if len(Names()) != 19 || Rules("mars915") != nil {
		t.Errorf("%d bands, want 19; rules of an unknown one: %v", len(Names()), Rules("mars915"))
	}
	Names()[0] = "spoilt"
	if Names()[0] != EU868 {
		t.Error("Names hands out its own list")
	}
}

// TestPlanEIRP: reference notes on LoRa, section 5.4.
func TestPlanEIRP(t *testing.T) {
	for _, c := range []struct {
		band Band
		mhz  float64
		want float64
	}{
		{EU868, 868.1, 16}, {EU433, 433.175, 12.15}, {US915, 903.9, 30}, {AU915, 917, 30},
		{AS9231, 923.2, 16}, {AS9232, 921.4, 16}, {AS9233, 916.6, 16}, {AS9234, 917.3, 16},
		{KR920, 921.9, 10}, {KR920, 922.1, 14}, {IN865, 865.0625, 29.2}, {RU864, 868.9, 16}, {CN470, 486.3, 19.15},
	} {
		got, ok := c.band.PlanEIRP(c.mhz * 1e6)
		if !ok || !(math.Abs(float64(got)-c.want) <= 1e-12) {
			t.Errorf("%s at %g MHz: %g dBm, %t; want %g", c.band, c.mhz, got, ok, c.want)
		}
	}
	for _, b := range []Band{UK868, NZ915, JP920, EU169, IN433, CA915, BR915} {
		if _, ok := b.PlanEIRP(900e6); ok {
			t.Errorf("%s has a plan figure, the notes have none", b)
		}
	}
}

// TestAS923Offset: offset_Hz = 100 * signed32(code), codes of the
// reference notes on LoRa, section 5.3, as published in a LoRaWAN reference stack.
func TestAS923Offset(t *testing.T) {
	for b, code := range map[Band]uint32{AS9231: 0, AS9232: 0xFFFFB9B0, AS9233: 0xFFFEFE30, AS9234: 0xFFFF1988} {
		want := 100 * float64(int32(code))
		got, ok := b.AS923OffsetHz()
		if !ok || !(math.Abs(got-want) <= 1e-6) {
			t.Errorf("%s: offset %g Hz, %t; want %g", b, got, ok, want)
		}
		// The two default channels of group 1, 923.2 and 923.4 MHz (from
		// memory), moved by the offset, lie inside the group's row.
		for _, channelHz := range []float64{923.2e6, 923.4e6} {
			r, err := Check(b, Use{FreqHz: channelHz + got, BWHz: 125e3, TxDBm: 14, GainDBi: 2})
			if err != nil || r.Exceeds() {
				t.Errorf("%s: default channel %g Hz: %v, %v", b, channelHz+got, r.Lines(), err)
			}
		}
	}
	if _, ok := EU868.AS923OffsetHz(); ok {
		t.Error("eu868 has an offset")
	}
}
