package lora

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

// Computed by hand from currents of the SX1261/2 datasheet Rev 1.1: radio only,
// the rest of the time does not exist.
func TestAverageCurrent(t *testing.T) {
	boosted := RadioDuty{TxShare: 0.01, RxShare: 0.99, TxCurrentA: 118e-3, RxCurrentA: 5.3e-3}
	got, err := boosted.AverageA()
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "boosted, 1 % transmitting, mA", got*1e3, 6.427, 1e-9)
	check.Near(t, "its mAh per day", got*24e3, 154.2, 0.051)
	saving := RadioDuty{TxShare: 0.001, RxShare: 0.999, TxCurrentA: 118e-3, RxCurrentA: 4.6e-3}
	if got, err = saving.AverageA(); err != nil {
		t.Fatal(err)
	}
	check.Near(t, "power saving, 0.1 % transmitting, mA", got*1e3, 4.713, 0.00051)
	// 2 + 0.02 x 100 + 0.08 x 10 + 0.9 x 1 mA
	whole := RadioDuty{TxShare: 0.02, RxShare: 0.08, TxCurrentA: 0.1, RxCurrentA: 0.01, RestCurrentA: 0.001,
		HostCurrentA: 0.002}
	if got, err = whole.AverageA(); err != nil {
		t.Fatal(err)
	}
	check.Near(t, "with host and rest, mA", got*1e3, 5.7, 1e-9)
}

// 0.1, 1 and 10 % of an hour, by hand.
func TestHourlyShare(t *testing.T) {
	for duty, want := range map[float64]float64{0.001: 3.6, 0.01: 36, 0.1: 360, 1: 3600, 0: 0} {
		share, err := HourlyShare(want)
		if err != nil {
			t.Error(err)
		}
		check.Near(t, fmt.Sprintf("share of %v s", want), share, duty, 1e-12)
	}
}

// An average lies between the least and the greatest current.
func TestAverageIsBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tx := rapid.Float64Range(0, 1).Draw(t, "tx")
		d := RadioDuty{TxShare: tx, RxShare: rapid.Float64Range(0, 1-tx).Draw(t, "rx")}
		current := func(name string) float64 { return rapid.Float64Range(0, 1).Draw(t, name) }
		d.TxCurrentA, d.RxCurrentA, d.RestCurrentA = current("tx A"), current("rx A"), current("rest A")
		average, err := d.AverageA()
		low, high := min(d.TxCurrentA, d.RxCurrentA, d.RestCurrentA), max(d.TxCurrentA, d.RxCurrentA, d.RestCurrentA)
		if err != nil || !(average >= low-1e-12 && average <= high+1e-12) {
			t.Fatalf("%+v: %v, %v", d, average, err)
		}
	})
}

func TestEnergyRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, row := range map[string]struct {
		call func() (float64, error)
		want []string
	}{
		"average": {func() (float64, error) { return RadioDuty{-1, 2, nan, -1, inf, -2}.AverageA() },
			[]string{"transmit share: found -1", "receive share: found 2", "transmit current in A: found NaN",
				"receive current", "rest current", "host current"}},
		"too busy": {func() (float64, error) { return RadioDuty{TxShare: 0.6, RxShare: 0.6}.AverageA() },
			[]string{"together: found 1.2"}},
		"big sum": {func() (float64, error) { return RadioDuty{HostCurrentA: 1e308, RestCurrentA: 1.7e308}.AverageA() },
			[]string{"sum in A"}},
		"hourly share": {func() (float64, error) { return HourlyShare(3601) }, []string{"allowed 0 to 3600"}},
		"share NaN":    {func() (float64, error) { return HourlyShare(nan) }, []string{"found NaN"}},
	} {
		got, err := row.call()
		if err == nil || got != 0 {
			t.Errorf("%s: %v, %v", name, got, err)
			continue
		}
		for _, want := range row.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q lacks %q", name, err, want)
			}
		}
	}
}
