package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// SF9, 125 kHz, 50 bytes, 30 messages an hour, each heard 20 times: 5.48 % of
// the time and 10.4 % lost (computed).
func TestChannelUtilisation(t *testing.T) {
	airtime, err := TimeOnAir(Modem{SF: 9, BWHz: 125e3, CR: 1}, Packet{PayloadB: 50, PreambleSymbols: 8}, FamilySX126x)
	if err != nil {
		t.Fatal(err)
	}
	f := Flood{AirtimeS: airtime.TotalS, MessagesPerHour: 30, Forwarders: 19}
	used, err := ChannelUtilisation(f)
	if err != nil {
		t.Fatal(err)
	}
	radioWithin(t, "utilisation in %", 100*used, 5.48, 0.0051)
	lost, err := CollisionProbability(used, 1)
	if err != nil {
		t.Fatal(err)
	}
	radioWithin(t, "lost in %", 100*lost, 10.4, 0.051)
	// By hand: 20 transmissions of 328.704 ms; 4 hops.
	total, err := f.NetworkAirtimeS(20)
	if err != nil {
		t.Fatal(err)
	}
	radioWithin(t, "airtime in the network", total, 6.57408, 1e-9)
	delay, err := f.LeastDelayS(4)
	if err != nil {
		t.Fatal(err)
	}
	radioWithin(t, "delay", delay, 1.314816, 1e-9)
}

// Rules of thumb (computed, printed in whole per cent but the first two).
func TestCollisionProbability(t *testing.T) {
	for used, row := range map[float64]struct{ want, tol float64 }{0.025: {4.9, 0.051}, 0.05: {9.5, 0.051}, 0.10: {18, 0.51}, 0.18: {30, 0.51}, 0.25: {39, 0.51}, 0.5: {63, 0.51}} {
		got, err := CollisionProbability(used, 1)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("utilisation %v", used), 100*got, row.want, row.tol)
	}
}

// Floods add up, what one does not hear does no harm, and losing is the
// complement of ALOHA's success.
func TestMeshLoadProperties(t *testing.T) {
	flood := rapid.Custom(func(t *rapid.T) Flood {
		return Flood{rapid.Float64Range(0, 10).Draw(t, "airtime"), rapid.Float64Range(0, 1000).Draw(t, "messages"), rapid.Float64Range(0, 100).Draw(t, "forwarders")}
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b := flood.Draw(t, "a"), flood.Draw(t, "b")
		ua, _ := ChannelUtilisation(a)
		ub, _ := ChannelUtilisation(b)
		both, err := ChannelUtilisation(a, b)
		if err != nil || !(math.Abs(both-ua-ub) <= 1e-9*(1+both)) {
			t.Fatalf("%v + %v gave %v, %v", ua, ub, both, err)
		}
		h := rapid.Float64Range(0, 1).Draw(t, "hidden")
		lost, err := CollisionProbability(ua, h)
		meets, _ := AlohaSuccess(ua, h)
		if err != nil || !(math.Abs(lost+meets-1) <= 1e-12) {
			t.Fatalf("lost %v, arrives %v, %v", lost, meets, err)
		}
	})
	if none, err := ChannelUtilisation(); err != nil || none != 0 {
		t.Errorf("silence: %v, %v", none, err)
	}
}

func TestMeshLoadRefuses(t *testing.T) {
	bad := Flood{AirtimeS: -1, MessagesPerHour: math.NaN(), Forwarders: math.Inf(1)}
	_, err := ChannelUtilisation(Flood{}, bad)
	if err == nil {
		t.Fatal("passed")
	}
	for _, want := range []string{"flood 2", "airtime in s: found -1", "messages per hour: found NaN", "forwarders: found +Inf"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
	if _, err := ChannelUtilisation(Flood{1e300, 1e300, 1}); err == nil {
		t.Error("overflow passed")
	}
	if _, err := CollisionProbability(-1, 2); err == nil || !strings.Contains(err.Error(), "hidden share: found 2") {
		t.Errorf("%v", err)
	}
	if _, err := (Flood{}).NetworkAirtimeS(-1); err == nil {
		t.Error("-1 transmissions passed")
	}
	if _, err := bad.LeastDelayS(1); err == nil {
		t.Error("bad flood passed")
	}
}
