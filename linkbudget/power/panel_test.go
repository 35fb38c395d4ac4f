package power

import (
	"math"
	"strings"
	"testing"
)

// Published in the test suite of pvlib-python (Ross model, BSD).
func TestCellTemperatureOfPanel(t *testing.T) {
	p := NewPanel(3, Plane{})
	p.NOCTC = 50
	for _, c := range []struct{ airC, g, want float64 }{{30, 1000, 67.5}, {20, 800, 50}, {30, 700, 56.25},
		{40, 600, 62.5}} {
		near(t, "Tc", p.CellC(c.airC, c.g), c.want, 1e-9)
	}
}

// Computed by hand from 1 + gamma (Tc - 25).
func TestHeatFactor(t *testing.T) {
	p := NewPanel(3, Plane{})
	near(t, "cold factor is capped", p.HeatFactor(15.6), 1, 0)
	near(t, "hot factor", p.HeatFactor(56.25), 0.875, 1e-12)
	near(t, "melting", p.HeatFactor(1000), 0, 0)
}

func TestDerates(t *testing.T) {
	near(t, "small panel", DefaultDerates.Product(), 0.84023, 0.00001) // 0.95 x 0.95 x 0.98 x 0.95
	// PVWatts 5 (NREL/TP-6A20-62641), default losses 2 3 2 2 0.5 1.5 1 and 3 %:
	// 14.08 % together, published. Its classes packed into the five of Derates.
	d := Derates{Soiling: 0.98 * 0.97, Nameplate: 0.98 * 0.99, Wiring: 0.98 * 0.995, LowLight: 0.985, Ageing: 0.97}
	near(t, "PVWatts losses in %", 100*(1-d.Product()), 14.08, 0.005)
	near(t, "ten years", AgeingFactor(10), 0.9, 1e-12)
	near(t, "two hundred years", AgeingFactor(200), 0, 0)
}

// Vbat/Vmp, computed.
func TestLinearChargerLosesTheVoltageDifference(t *testing.T) {
	for _, c := range []struct{ vmp, bat, want float64 }{
		{5, 3.3, 0.660}, {5, 3.7, 0.740}, {5, 4.1, 0.820}, {6, 3.3, 0.550}, {6, 3.7, 0.617}, {6, 4.1, 0.683},
	} {
		p := NewPanel(3, Plane{})
		p.VmpV = c.vmp
		near(t, "efficiency", Charger{}.EfficiencyAt(p, c.bat), c.want, 0.0005)
		// The same from the current: P/Vmp x Vbat/P.
		near(t, "by current", Charger{}.CurrentA(p, 2, 0.5, c.bat)*c.bat/2, c.want, 0.0005)
	}
}

func TestTrackingCharger(t *testing.T) {
	p := NewPanel(3, Plane{})
	c := Charger{Kind: Tracking}
	near(t, "3 W", c.CurrentA(p, 3, 1, 3.7), 3*0.85/3.7, 1e-12)
	near(t, "hot", c.CurrentA(p, 3, 0.9, 3.7), 0.9*3*0.85/3.7, 1e-12)
	c.Efficiency = 0.9
	near(t, "stated", c.CurrentA(p, 3, 1, 3.7), 3*0.9/3.7, 1e-12)
}

// A 5 V panel loses 0.35 %/K: at 65 C it has 5 (1 - 0.0035 x 40) = 4.3 V, below
// 4.2 V and headroom; a 6 V panel at 65 C has 5.16 V and fills the cell.
func TestFiveVoltPanelStallsWhenHot(t *testing.T) {
	p := NewPanel(3, Plane{})
	p.VmpV = 5
	at, stalls := Charger{}.StallsAt(p, 4.2)
	if !stalls || !(at > 45 && at < 65) {
		t.Errorf("5 V panel: stalls %v at %.0f C", stalls, at)
	}
	p.VmpV = 6
	if at, stalls := (Charger{}).StallsAt(p, 4.2); stalls {
		t.Errorf("6 V panel stalls at %.0f C", at)
	}
	if _, stalls := (Charger{Kind: Tracking}).StallsAt(p, 9); stalls {
		t.Error("a tracking charger is not judged by this")
	}
}

func TestPanelFaultsAllAtOnce(t *testing.T) {
	p := Panel{PeakW: math.NaN(), Plane: Plane{91, -1}, VmpV: 0, NOCTC: 5, PowerPerK: 1,
		Derates: Derates{Soiling: 2, Ageing: -1}}
	if err := p.Validate(); err == nil || strings.Count(err.Error(), "found") != 8 {
		t.Errorf("want eight faults, got %v", err)
	}
	if err := (Charger{Kind: 7, Efficiency: 3, MaxA: -1}).Validate(); err == nil ||
		strings.Count(err.Error(), "found") != 3 {
		t.Errorf("want three faults, got %v", err)
	}
}
