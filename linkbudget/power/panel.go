package power

// Plane is the direction a panel faces: tilt 0 lies flat, 90 stands upright;
// azimuth clockwise from true north, so that 180 faces south.
type Plane struct {
	TiltDeg    float64 // 0 to 90
	AzimuthDeg float64 // 0 to 360
}

// Derates are what is lost between the label of the panel and its terminals.
// Each is a factor, 0 to 1; DefaultDerates gives usual values.
type Derates struct {
	Soiling   float64 // dust, pollen, droppings
	Nameplate float64 // tolerance of the label, mismatch of the cells
	Wiring    float64 // cable and connectors
	LowLight  float64 // dull light and slanting rays
	Ageing    float64 // since new
}

// DefaultDerates suit a small new panel: 0.95 x 0.95 x 0.98 x 0.95 = 0.840. NREL's PVWatts version
// 5 (TP-6A20-62641) takes 0.98, 0.97 (mismatch, nameplate), 0.98 and more for inspected roofs; a
// small panel on a pole gets less care and a more hopeful label. Ageing is 1: say how old it is.
var DefaultDerates = Derates{Soiling: 0.95, Nameplate: 0.95, Wiring: 0.98, LowLight: 0.95, Ageing: 1}

// Product returns the factor of all derates together.
func (d Derates) Product() float64 {
	return d.Soiling * d.Nameplate * d.Wiring * d.LowLight * d.Ageing
}

// AgeingFactor returns what is left of a panel after a number of years, at 1 % a year: the median
// of crystalline modules under glass is 0.5 to 0.6 % a year (Jordan and Kurtz 2013, from memory),
// small laminates without glass do worse.
func AgeingFactor(years float64) float64 {
	return max(0, 1-0.01*years)
}

// Panel is one solar panel.
type Panel struct {
	PeakW float64 // at 1000 W/m2 and a cell of 25 degrees C, above 0 to 500
	Plane
	// VmpV is the voltage at that power. A "6 V" panel has about 6.0, a "5 V" 5.0.
	VmpV    float64
	Derates Derates
	// NOCTC is the nominal operating cell temperature, degrees C: 45 with an
	// open back, 55 to 63 flush on a box.
	NOCTC float64
	// PowerPerK is the change of power per kelvin, a negative fraction.
	PowerPerK float64
}

// Values of a panel that usually are not stated.
const (
	DefaultVmpV = 6.0
	// DefaultNOCTC is typical of an open back, IEC 61215.
	DefaultNOCTC = 45.0
	// DefaultPowerPerK lies between PVWatts' -0.0047 (standard) and -0.0035.
	DefaultPowerPerK = -0.004
	// VoltagePerK is the change of Vmp per kelvin, a fraction: -0.30 to -0.37 %.
	VoltagePerK = -0.0035
)

// NewPanel is a panel of that power and direction, the rest at its default.
func NewPanel(peakW float64, p Plane) Panel {
	return Panel{PeakW: peakW, Plane: p, VmpV: DefaultVmpV, Derates: DefaultDerates, NOCTC: DefaultNOCTC,
		PowerPerK: DefaultPowerPerK}
}

// Validate returns every fault at once, or nil.
func (p Panel) Validate() error {
	d := p.Derates
	return faultsOf("panel",
		rangeFault("peak power in W", p.PeakW, 0.01, 500),
		rangeFault("tilt in deg", p.TiltDeg, 0, 90),
		rangeFault("azimuth in deg", p.AzimuthDeg, 0, 360),
		rangeFault("Vmp in V", p.VmpV, 1, 100),
		rangeFault("NOCT in C", p.NOCTC, 20, 90),
		rangeFault("power per K", p.PowerPerK, -0.01, 0),
		rangeFault("soiling factor", d.Soiling, 0, 1), rangeFault("nameplate factor", d.Nameplate, 0, 1),
		rangeFault("wiring factor", d.Wiring, 0, 1), rangeFault("low light factor", d.LowLight, 0, 1),
		rangeFault("ageing factor", d.Ageing, 0, 1))
}

// CellC returns the temperature of the solar cells in degrees C in air of airC
// under an irradiance in W/m2: Ta + (NOCT - 20)/800 G. Ross; Duffie and Beckman
// 23.3; IEC 61215 defines NOCT at 800 W/m2, 20 C and 1 m/s.
func (p Panel) CellC(airC, irradianceWm2 float64) float64 {
	return airC + (p.NOCTC-20)/800*irradianceWm2
}

// HeatFactor returns the power at a temperature of the solar cells as a share
// of that at 25 C, 1 + gamma (Tc - 25), never below 0. Capped at 1: the bonus of
// a cold panel is not banked on.
func (p Panel) HeatFactor(cellC float64) float64 {
	return min(1, max(0, 1+p.PowerPerK*(cellC-25)))
}
