package linkbudget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Pure ALOHA (computed; every textbook has 0.184 at 0.5).
func TestAlohaSuccess(t *testing.T) {
	for load, want := range map[float64]float64{0.01: 0.9802, 0.025: 0.9512, 0.05: 0.9048, 0.1: 0.8187, 0.18: 0.6977, 0.25: 0.6065, 0.5: 0.3679, 1: 0.1353} {
		got, err := AlohaSuccess(load, 1)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("load %v", load), got, want, 5.1e-5)
	}
	got, err := AlohaThroughput(0.5)
	if err != nil {
		t.Error(err)
	}
	radioWithin(t, "most throughput", got, 0.1839, 5.1e-5)
}

// Against a drawn channel: packets start at random over 200 000 airtimes, and
// one survives if no other starts within an airtime of it.
func TestAlohaSuccessOfDrawnTraffic(t *testing.T) {
	const span = 200_000.0
	state := uint64(1)
	uniform := func() float64 { // xorshift, fixed seed
		state ^= state << 13
		state ^= state >> 7
		state ^= state << 17
		return float64(state>>11) / (1 << 53)
	}
	for _, load := range []float64{0.05, 0.25} {
		var starts []float64
		for at := 0.0; at < span; at -= math.Log(1-uniform()) / load {
			starts = append(starts, at)
		}
		var clear int
		for i := 1; i < len(starts)-1; i++ {
			if starts[i]-starts[i-1] > 1 && starts[i+1]-starts[i] > 1 {
				clear++
			}
		}
		want, err := AlohaSuccess(load, 1)
		if err != nil {
			t.Fatal(err)
		}
		radioWithin(t, fmt.Sprintf("drawn, load %v", load), float64(clear)/float64(len(starts)), want, 0.015)
	}
}

func TestAlohaProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		load := rapid.Float64Range(0, 1e6).Draw(t, "load")
		q := rapid.Float64Range(0, 1).Draw(t, "destroyed")
		got, err := AlohaSuccess(load, q)
		if err != nil || !(got >= 0 && got <= 1) {
			t.Fatalf("%v, %v", got, err)
		}
		all, _ := AlohaSuccess(load, 1)
		through, err := AlohaThroughput(load)
		if err != nil || !(got >= all && through <= 0.5/math.E+1e-12) {
			t.Fatalf("%v without capture, %v with; throughput %v, %v", all, got, through, err)
		}
	})
	_, err := AlohaSuccess(-1, math.NaN())
	if err == nil || !strings.Contains(err.Error(), "load: found -1") || !strings.Contains(err.Error(), "share: found NaN") {
		t.Errorf("%v", err)
	}
	if got, err := AlohaThroughput(math.Inf(1)); err == nil || got != 0 {
		t.Errorf("%v, %v", got, err)
	}
}

// SF9, 125 kHz, 20 bytes, preamble 8: 2 x 185.344 - 3 x 4.096 ms (computed; the
// rule from memory).
func TestVulnerableTime(t *testing.T) {
	m := Modem{SF: 9, BWHz: 125e3, CR: 1}
	for preamble, wantMS := range map[int]float64{8: 358.4, 5: 2 * (185.344 - 3*4.096), 3: 2 * (185.344 - 5*4.096)} {
		got, err := VulnerableTimeS(m, Packet{PayloadB: 20, PreambleSymbols: preamble}, FamilySX126x)
		if err != nil {
			t.Error(err)
		}
		radioWithin(t, fmt.Sprintf("preamble %d", preamble), got*1e3, wantMS, 1e-9)
	}
	if _, err := VulnerableTimeS(m, Packet{}, FamilySX126x); err == nil {
		t.Error("empty packet passed")
	}
}
