package power

import "cmp"

// ChargerKind is how a charger takes power from the panel.
type ChargerKind uint8

// A linear charger passes the panel's current at the voltage of the cell and
// turns the rest of the voltage into heat; a tracking one converts. Linear is
// the zero value: it is in most small boards, and it promises less.
const (
	Linear ChargerKind = iota
	Tracking
)

var chargerWords = []string{Linear: "linear", Tracking: "tracking"}

// String returns "linear" or "tracking".
func (k ChargerKind) String() string { return wordOf("ChargerKind", k, chargerWords) }

// Charger stands between the panels and the cell.
type Charger struct {
	Kind ChargerKind
	// Efficiency of a tracking charger, conversion times tracking, 0.3 to 1;
	// 0 means DefaultTrackingEfficiency. A linear one has none.
	Efficiency float64
	// MaxA is the greatest charge current in amperes; 0 means no limit.
	MaxA float64
}

const (
	// DefaultTrackingEfficiency is 0.85 to 0.93 of a small converter times 0.95
	// of tracking at a fixed voltage, on the safe side.
	DefaultTrackingEfficiency = 0.85
	// CoulombEfficiency is the share of the charge that a lithium cell gives back.
	CoulombEfficiency = 0.99
	// linearHeadroomV is what a linear charger and the cable need above the
	// voltage of the full cell, about (from memory of such sheets).
	linearHeadroomV = 0.3
)

// Validate returns every fault at once, or nil.
func (c Charger) Validate() error {
	return faultsOf("charger", wordFault("kind", c.Kind, chargerWords), optionalFault("efficiency", c.Efficiency, 0.3, 1),
		rangeFault("greatest current in A", c.MaxA, 0, 50))
}

func (c Charger) efficiency() float64 { return cmp.Or(c.Efficiency, DefaultTrackingEfficiency) }

// CurrentA returns the charge current in amperes at cellV volts out of a panel that gives powerW
// watts after derates, without regard to MaxA:
//
//	linear    Imp G/1000 derates = P/Vmp
//	tracking  P efficiency/Vcell
//
// Heat lowers the voltage of a panel, not its current: heatFactor, see Panel.HeatFactor, counts for
// a tracking charger only.
func (c Charger) CurrentA(p Panel, powerW, heatFactor, cellV float64) float64 {
	if c.Kind == Tracking {
		return powerW * heatFactor * c.efficiency() / cellV
	}
	return powerW / p.VmpV
}

// EfficiencyAt returns the share of the panel's power that arrives: Vcell/Vmp
// for a linear charger, at most 1.
func (c Charger) EfficiencyAt(p Panel, cellV float64) float64 {
	if c.Kind == Tracking {
		return c.efficiency()
	}
	return min(1, cellV/p.VmpV)
}

// StallsAt returns the temperature of the solar cells in degrees C from which a panel no longer
// fills the cell to fullV through a linear charger, and false where it does up to 90 C or the
// charger is no linear one.
func (c Charger) StallsAt(p Panel, fullV float64) (float64, bool) {
	if c.Kind == Tracking {
		return 0, false
	}
	cellC := 25 + ((fullV+linearHeadroomV)/p.VmpV-1)/VoltagePerK
	return cellC, cellC < 90
}
