package power

import (
	"cmp"
	"slices"

	"github.com/polereach/polereach/terrain/fault"
)

// Chemistry is the kind of lithium cell.
type Chemistry uint8

// NMC, the zero value, is the common lithium-ion cell of 3.6 to 3.7 V; LFP is
// lithium iron phosphate of 3.2 V; LTO is lithium titanate of 2.4 V, which may be
// charged in frost.
const (
	NMC Chemistry = iota
	LFP
	LTO
)

// chemistryWords spells the chemistries.
var chemistryWords = []string{NMC: "nmc", LFP: "lfp", LTO: "lto"}

type chemistry struct {
	nominalV, fullV              float64
	chargeMinC, chargeMaxC, hotC float64
	curve                        []CapacityPoint
}

// chemistries holds what the kinds differ in. NMC and LFP: sheets ICR18650-26C and LFP-26650,
// charged at 0 to 45 C, used to 60 C. LTO: makers' sheets of titanate cells, used and charged at
// -30 to 55 C (from memory).
//
// The shares of the capacity at the small currents of a node, by falling temperature, are cautious
// engineering values, no published curve: for NMC the sheet of a high-rate cell (INR18650-15L)
// relaxed at 0 C only, for LFP the lower of what vendors state, for LTO below what its makers show.
var chemistries = [...]chemistry{
	NMC: {3.7, 4.2, FrostC, 45, 60, []CapacityPoint{{25, 1}, {0, 0.85}, {-10, 0.75}, {-20, 0.60}}},
	LFP: {3.2, 3.65, FrostC, 45, 60, []CapacityPoint{{25, 1}, {0, 0.80}, {-10, 0.70}, {-20, 0.55}}},
	LTO: {2.4, 2.8, -30, 55, 55, []CapacityPoint{{25, 1}, {0, 0.90}, {-10, 0.85}, {-20, 0.75}, {-30, 0.60}}},
}

// FrostC is the freezing point, below which NMC and LFP must not be charged.
const FrostC = 0.0

// of is the row of a chemistry, that of NMC for an unknown one.
func (c Chemistry) of() *chemistry {
	if int(c) >= len(chemistries) {
		c = NMC
	}
	return &chemistries[c]
}

// String returns "nmc", "lfp" or "lto".
func (c Chemistry) String() string { return wordOf("Chemistry", c, chemistryWords) }

// NominalV returns the nominal voltage of one cell.
func (c Chemistry) NominalV() float64 { return c.of().nominalV }

// FullV returns the voltage at which the cell is full.
func (c Chemistry) FullV() float64 { return c.of().fullV }

// MaxC returns the highest temperature of a cell in use, degrees C.
func (c Chemistry) MaxC() float64 { return c.of().hotC }

// CapacityPoint is the share of the capacity to be had at a temperature.
type CapacityPoint struct{ TempC, Share float64 }

// Curve returns the share of the capacity against temperature, by falling
// temperature, at the small currents of a node.
func (c Chemistry) Curve() []CapacityPoint { return slices.Clone(c.of().curve) }

// Defaults of a bank of cells.
const (
	// DefaultAgeFactor is the end of life of datasheets.
	DefaultAgeFactor = 0.80
	// DefaultSelfDischargePerMonth: 1 to 2 % of the cell, the rest of its
	// protection; sheets promise 95 % left after 30 days.
	DefaultSelfDischargePerMonth = 0.03
	// MaxWarmerK is the most that is believed of a cell in frost: soil at half a metre stays 5 to
	// 10 K above the air of a cold spell, an insulated box with a node of 0.1 W in it a few (own
	// judgement).
	MaxWarmerK = 15.0
	// falseLabelAh is more than any 18650 holds (from memory: 3.6 Ah).
	falseLabelAh = 4.0
)

// Bank is the cells of a node, alike and in parallel.
type Bank struct {
	Chemistry  Chemistry
	Cells      int     // in parallel, 1 to 100
	CapacityAh float64 // of one cell as labelled, above 0 to 1000
	// NominalV is the voltage of the bank; 0 means that of one cell.
	NominalV float64
	// AgeFactor is what is left of the label, 0.1 to 1; 0 means DefaultAgeFactor.
	AgeFactor float64
	// WindowFactor is the share above the node's cut-off, 0.1 to 1; 0 means 1.
	// A node that browns out at 3.3 V uses 0.9.
	WindowFactor float64
	// SelfDischargePerMonth is a share per 30 days, 0 to 1.
	SelfDischargePerMonth float64
	// Curve stands for the curve of the chemistry if not empty, by falling
	// temperature.
	Curve []CapacityPoint
	// WarmerK is how much warmer than the air the cells stay in frost, 0 to 15:
	// buried, insulated, in a house. 0 gives no credit.
	WarmerK float64
}

// Validate returns every fault at once, or nil.
func (b Bank) Validate() error {
	errs := []error{
		countFault("cells", b.Cells, 1, 100),
		rangeFault("capacity in Ah", b.CapacityAh, 0.01, 1000),
		rangeFault("self-discharge per month", b.SelfDischargePerMonth, 0, 1),
		rangeFault("warmer than the air by K", b.WarmerK, 0, MaxWarmerK),
		wordFault("chemistry", b.Chemistry, chemistryWords),
		optionalFault("voltage in V", b.NominalV, 1, 100),
		optionalFault("age factor", b.AgeFactor, 0.1, 1),
		optionalFault("window factor", b.WindowFactor, 0.1, 1),
	}
	for i, p := range b.Curve {
		errs = append(errs, rangeFault("share of capacity", p.Share, 0, 1), rangeFault("temperature of a share", p.TempC,
			-100, 100))
		if i > 0 && !(p.TempC < b.Curve[i-1].TempC) {
			errs = append(errs, fault.Input("curve of the capacity: %g C after %g C, want falling temperatures", p.TempC,
				b.Curve[i-1].TempC))
		}
	}
	return faultsOf("cell", errs...)
}

// VoltageV returns the nominal voltage.
func (b Bank) VoltageV() float64 { return cmp.Or(b.NominalV, b.Chemistry.NominalV()) }

// WarmWh returns the usable energy of the aged bank at 25 degrees C:
// cells x capacity x age x window x voltage.
func (b Bank) WarmWh() float64 {
	return float64(b.Cells) * b.CapacityAh * cmp.Or(b.AgeFactor, DefaultAgeFactor) * cmp.Or(b.WindowFactor, 1) *
		b.VoltageV()
}

// UsableWh returns the usable energy at a temperature of the cells in degrees C.
func (b Bank) UsableWh(tempC float64) float64 { return b.WarmWh() * b.ShareAt(tempC) }

// ShareAt returns the share of the capacity at a temperature in degrees C:
// straight between the points of the curve, its last slope continued below
// them (there is no data there), never below 0.
func (b Bank) ShareAt(tempC float64) float64 { return shareAt(b.curve(), tempC) }

func (b Bank) curve() []CapacityPoint {
	if len(b.Curve) > 0 {
		return b.Curve
	}
	return b.Chemistry.of().curve
}

// chargeLimits are the temperatures in degrees C from and to which the cells may
// be charged.
func (b Bank) chargeLimits() (fromC, toC float64) {
	limits := b.Chemistry.of()
	return limits.chargeMinC, limits.chargeMaxC
}

func shareAt(curve []CapacityPoint, tempC float64) float64 {
	if len(curve) == 1 || tempC >= curve[0].TempC {
		return curve[0].Share
	}
	i := 1
	for i < len(curve)-1 && tempC < curve[i].TempC {
		i++
	}
	warm, cold := curve[i-1], curve[i]
	slope := (warm.Share - cold.Share) / (warm.TempC - cold.TempC)
	return min(1, max(0, cold.Share+slope*(tempC-cold.TempC)))
}
