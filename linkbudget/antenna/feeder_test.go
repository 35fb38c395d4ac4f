package antenna

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/polereach/polereach/linkbudget/internal/check"
)

func coax(t *testing.T, name string) Coax {
	t.Helper()
	c, err := CoaxByName(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// Attenuation in dB/m at 868 and 915 MHz, as a range where makes differ. The
// basis of each row is in Coax.Source; the figures are printed to two or three
// decimals and computed unless marked.
func TestCoaxLossPerMetre(t *testing.T) {
	rows := []struct {
		name            string
		low868, high868 float64
		low915, high915 float64
		tol             float64
	}{
		{"RG-174", 0.83, 0.83, 0.86, 0.86, 0.005},
		{"RG-316", 0.88, 0.95, 0.90, 0.98, 0.005}, // upper ends from memory
		{"RG-58", 0.47, 0.47, 0.48, 0.48, 0.005},
		{"RG-58 C/U", 0.59, 0.59, 0.60, 0.60, 0.005},
		{"240 class", 0.243, 0.243, 0.250, 0.250, 0.0005},
		{"400 class", 0.1256, 0.1256, 0.1292, 0.1292, 0.00005},
		{"100 class", 0.75, 0.75, 0.77, 0.77, 0.005}, // from memory
		{"195 class", 0.37, 0.37, 0.38, 0.38, 0.005}, // from memory
	}
	if len(rows) != len(CoaxClasses()) {
		t.Errorf("%d rows for %d cables", len(rows), len(CoaxClasses()))
	}
	within := func(name string, got, low, high, tol float64) {
		t.Helper()
		if !(got >= low-tol && got <= high+tol) {
			t.Errorf("%s: %.4f dB/m, want %v to %v", name, got, low, high)
		}
	}
	for _, row := range rows {
		c := coax(t, row.name)
		within(row.name+" at 868 MHz", float64(c.Loss(1, 868e6)), row.low868, row.high868, row.tol)
		within(row.name+" at 915 MHz", float64(c.Loss(1, 915e6)), row.low915, row.high915, row.tol)
		if c.Source == "" {
			t.Errorf("%s: no source", row.name)
		}
	}
}

// Attenuations as listed, in dB per length.
func TestCoaxLossAsListed(t *testing.T) {
	rows := []struct {
		name    string
		lengthM float64
		freqHz  float64
		want    float64
		tol     float64
		source  string
	}{
		{"400 class", 30.48, 900e6, 3.903, 0.005, "datasheet law, computed"},
		{"400 class", 30.48, 900e6, 3.9, 0.05, "datasheet table"},
		{"240 class", 30.48, 900e6, 7.559, 0.005, "datasheet law, computed"},
		{"240 class", 30.48, 900e6, 7.6, 0.05, "datasheet table"},
		{"RG-174", 30.48, 30e6, 4.56, 0.005, "ARRL"},
		{"RG-174", 30.48, 150e6, 10.3, 0.05, "ARRL"},
		{"RG-58", 30.48, 30e6, 2.47, 0.005, "ARRL"},
		{"RG-58", 30.48, 150e6, 5.63, 0.005, "ARRL"},
		{"RG-58 C/U", 100, 850e6, 58.2, 0.05, "published table"},
		{"RG-316", 30.48, 850e6, 26.66, 0.05, "published table, RG-188A/U"},
	}
	for _, row := range rows {
		check.Near(t, fmt.Sprintf("%s, %v m at %v Hz (%s)", row.name, row.lengthM, row.freqHz, row.source),
			float64(coax(t, row.name).Loss(row.lengthM, row.freqHz)), row.want, row.tol)
	}
}

func TestCoaxByName(t *testing.T) {
	if c := coax(t, "rg-174"); c.Name != "RG-174" {
		t.Errorf("rg-174 found %q", c.Name)
	}
	_, err := CoaxByName("wire")
	if err == nil || !strings.Contains(err.Error(), "wire") || !strings.Contains(err.Error(), "400 class") {
		t.Errorf("unknown cable: %v", err)
	}
	for _, bad := range [][2]float64{{-1, 868e6}, {math.NaN(), 868e6}, {1, 0}, {1, math.NaN()}} {
		if got := coax(t, "RG-58").Loss(bad[0], bad[1]); got != 0 {
			t.Errorf("%v m at %v Hz: %v dB, want 0", bad[0], bad[1], got)
		}
	}
}

// By hand: 3 m of the 240 class at 868 MHz.
func TestFeederLoss(t *testing.T) {
	got, err := Feeder{Coax: coax(t, "240 class"), LengthM: 3}.Loss(868e6)
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "feeder", float64(got), 0.730, 0.001)
	if got, err := (Feeder{}).Loss(868e6); got != 0 || err != nil {
		t.Errorf("no feeder: %v, %v", got, err)
	}
}

func TestFeederLossRefuses(t *testing.T) {
	f := Feeder{Coax: Coax{K1: math.NaN(), K2: -1}, LengthM: -2}
	got, err := f.Loss(math.NaN())
	if err == nil || got != 0 {
		t.Fatalf("%v, %v, want an error", got, err)
	}
	for _, want := range []string{"frequency: found NaN", "length: found -2", "0 to 200 m", "K1 of the cable: found NaN"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q lacks %q", err, want)
		}
	}
}

// Twice the length costs twice as much; a higher frequency costs more.
func TestCoaxScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(CoaxClasses()).Draw(t, "cable")
		lengthM := rapid.Float64Range(0.1, 100).Draw(t, "length")
		freqHz := rapid.Float64Range(100e6, 2.9e9).Draw(t, "freq")
		one, two := c.Loss(lengthM, freqHz), c.Loss(2*lengthM, freqHz)
		if !(math.Abs(float64(two-2*one)) <= 1e-9) {
			t.Fatalf("%s: %v dB, twice as long %v", c.Name, one, two)
		}
		if higher := c.Loss(lengthM, freqHz*1.01); !(higher > one) {
			t.Fatalf("%s: %v dB, at 1 %% more %v", c.Name, one, higher)
		}
	})
}
