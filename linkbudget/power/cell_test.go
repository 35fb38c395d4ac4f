package power

import (
	"strings"
	"testing"
)

// One, two and three cells of 3.0 Ah, age 0.80, at 0 C by the sheet's 80 %;
// computed: 1.92, 3.84 and 5.76 Ah, 3.2, 6.4 and 9.6 days at 25 mA.
func TestUsableCapacity(t *testing.T) {
	for _, c := range []struct {
		cells          int
		tempC          float64
		wantAh, wantDs float64
	}{{1, 0, 1.92, 3.2}, {2, 0, 3.84, 6.4}, {3, 0, 5.76, 9.6}, {1, -10, 1.80, 3.0}} {
		b := worked(c.cells, Linear).Bank
		ah := b.UsableWh(c.tempC) / b.VoltageV()
		near(t, "usable Ah", ah, c.wantAh, 1e-9)
		near(t, "days", ah/(24*0.025), c.wantDs, 1e-9)
	}
}

// The sheet's column is published (INR18650-15L at 10 A); the other two are the
// cautious defaults of the package comment.
func TestShareAgainstTemperature(t *testing.T) {
	for _, c := range []struct {
		name         string
		bank         Bank
		tempC, share float64
	}{
		{"sheet 25", Bank{Curve: sheetCurve()}, 25, 1},
		{"sheet 0", Bank{Curve: sheetCurve()}, 0, 0.80},
		{"sheet -10", Bank{Curve: sheetCurve()}, -10, 0.75},
		{"sheet -20", Bank{Curve: sheetCurve()}, -20, 0.60},
		{"nmc 0", Bank{}, 0, 0.85},
		{"nmc -20", Bank{}, -20, 0.60},
		{"lfp 0", Bank{Chemistry: LFP}, 0, 0.80},
		{"lfp -10", Bank{Chemistry: LFP}, -10, 0.70},
		{"lfp -20", Bank{Chemistry: LFP}, -20, 0.55},
		{"lto 0", Bank{Chemistry: LTO}, 0, 0.90},
		{"lto -30", Bank{Chemistry: LTO}, -30, 0.60},
		{"between, by hand", Bank{}, 12.5, 0.925},
		{"hot", Bank{}, 60, 1},
		{"below the data, slope continued", Bank{}, -30, 0.45},
		{"far below", Bank{}, -89, 0},
	} {
		near(t, c.name, c.bank.ShareAt(c.tempC), c.share, 1e-9)
	}
}

func TestVoltages(t *testing.T) {
	near(t, "nmc", Bank{}.VoltageV(), 3.7, 0)
	near(t, "lfp", Bank{Chemistry: LFP}.VoltageV(), 3.2, 0)
	near(t, "stated", Bank{NominalV: 7.4}.VoltageV(), 7.4, 0)
	near(t, "nmc full", NMC.FullV(), 4.20, 0)
	near(t, "lfp full", LFP.FullV(), 3.65, 0)
	near(t, "lto", Bank{Chemistry: LTO}.VoltageV(), 2.4, 0)
	near(t, "lto full", LTO.FullV(), 2.8, 0)
	if Chemistry(9).NominalV() != NMC.NominalV() { // no panic
		t.Error("an unknown chemistry has a voltage of its own")
	}
}

// 3 % a month of a 3 Ah cell is 0.12 mA (computed): 3 x 0.03/(30 x 24) Ah/h.
func TestSelfDischarge(t *testing.T) {
	in := RunInput{StartWh: 3, FullWh: 3, GainWh: []float64{0}, LoadWh: []float64{0}, LeakPerStep: 0.03 / 30 / 24}
	r, err := Simulate(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mA", r.LeakedWh*1000, 0.125, 0.005)
}

func TestBankFaultsAllAtOnce(t *testing.T) {
	b := Bank{Chemistry: 9, Cells: 0, CapacityAh: -1, NominalV: 500, AgeFactor: 2, WindowFactor: 0.01,
		SelfDischargePerMonth: 2, WarmerK: 20,
		Curve: []CapacityPoint{{0, 1}, {10, 2}}}
	if err := b.Validate(); err == nil || strings.Count(err.Error(), "found")+strings.Count(err.Error(), "falling") != 10 {
		t.Errorf("want ten faults, got %v", err)
	}
}
