package power

import "cmp"

// Fan blows air through the box. On its own panel it costs the cell nothing
// and runs when the sun, which makes the heat, does.
type Fan struct {
	FreeFlowM3h float64 // in free air, from the sheet
	PowerW      float64 // at that flow
	// PanelW is the peak power of the fan's own panel; 0 hangs it on the cell.
	PanelW float64
	// InstalledShare of the flow is left behind filter and louvres, above 0 to
	// 1; 0 means DefaultInstalledShare.
	InstalledShare float64
}

const (
	// DefaultInstalledShare: filters and louvres leave 30 to 50 % of the free flow.
	DefaultInstalledShare = 0.4
	// cellFanOnWm2 is the sun from which a fan on the cell is taken to run.
	cellFanOnWm2 = 400.0
)

// Validate returns every fault at once, or nil.
func (f Fan) Validate() error {
	return faultsOf("fan",
		rangeFault("flow in m3/h", f.FreeFlowM3h, 0.1, 500),
		rangeFault("power in W", f.PowerW, 0.01, 50),
		rangeFault("own panel in W", f.PanelW, 0, 500),
		optionalFault("installed share of the flow", f.InstalledShare, 0.05, 1))
}

// OnWm2 returns the irradiance in W/m2 from which the fan runs:
// 1000 Pfan/(Pstc x 0.840) on its own panel, 400 by a thermostat on the cell.
func (f Fan) OnWm2() float64 {
	if f.PanelW == 0 {
		return cellFanOnWm2
	}
	return 1000 * f.PowerW / (f.PanelW * DefaultDerates.Product())
}

// FlowM3h returns the air through the box in m3/h under an irradiance in W/m2:
// none below OnWm2, the installed share of the free flow from there on.
func (f Fan) FlowM3h(irradianceWm2 float64) float64 {
	if irradianceWm2 < f.OnWm2() {
		return 0
	}
	return f.FreeFlowM3h * cmp.Or(f.InstalledShare, DefaultInstalledShare)
}
