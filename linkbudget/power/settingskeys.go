package power

import (
	"cmp"
	"math"
)

// panels reads panel_* and, for further panels, panel2_* to panel4_*.
func (r *settingReader) panels(d SettingDefaults) ([]Panel, bool) {
	var panels []Panel
	missing := ""
	for i := range maxSettingPanels {
		key := panelPrefix(i)
		before := r.seen
		w := r.number(key + "w")
		p := NewPanel(w, Plane{
			TiltDeg:    r.number(key + "tilt_deg"),
			AzimuthDeg: r.numberOr(key+"azimuth_deg", equatorDeg(d.LatDeg)),
		})
		p.VmpV = r.number(key + "vmp_v")
		p.NOCTC = r.number(key + "noct_c")
		p.PowerPerK = r.number(key+"percent_per_k") / 100
		left := func(name string) float64 { return 1 - r.number(key+name)/100 }
		p.Derates = Derates{
			Soiling: left("soiling_percent"), Nameplate: left("nameplate_percent"), Wiring: left("wiring_percent"),
			LowLight: left("lowlight_percent"), Ageing: AgeingFactor(r.number(key + "years")),
		}
		switch {
		case r.seen == before:
			if missing == "" {
				missing = key
			}
		case !r.has(key + "w"):
			r.fault(key+"w", "missing, though other keys of this panel are there; allowed %s", settingKey[key+"w"].Allowed())
		case missing != "":
			r.fault(key+"w", "found without %sw; number the panels without a gap", missing)
		default:
			panels = append(panels, p)
		}
	}
	return panels, len(panels) > 0
}

func (r *settingReader) charger() Charger {
	c := Charger{Kind: ChargerKind(r.word("charger"))}
	c.Efficiency = r.number("charger_percent") / 100
	c.MaxA = r.number("charger_max_a")
	if r.has("charger_percent") && c.Kind == Linear {
		r.fault("charger_percent", "found with a linear charger, allowed with \"tracking\" only: a linear one loses what "+
			"the voltages make it lose")
	}
	return c
}

// bank reads cell_*: the capacity in cell_wh or in cell_mah.
func (r *settingReader) bank() (Bank, bool) {
	before := r.seen
	b := Bank{
		Chemistry:             Chemistry(r.word("cell_chemistry")),
		WarmerK:               r.number("cell_warmer_k"),
		NominalV:              r.number("cell_v"),
		AgeFactor:             r.number("cell_age_percent") / 100,
		WindowFactor:          r.number("cell_window_percent") / 100,
		SelfDischargePerMonth: r.number("cell_leak_percent") / 100,
	}
	mah := r.number("cell_mah")
	wh := r.number("cell_wh")
	mentioned := r.seen > before
	b.Cells = int(r.number("cells"))
	switch {
	case r.has("cell_mah") && r.has("cell_wh"):
		r.fault("cell_wh", "found beside cell_mah; give the capacity of one cell once")
	case !r.has("cell_mah") && !r.has("cell_wh"):
		if mentioned || r.has("cells") {
			r.fault("cell_mah", "missing; give the capacity of one cell in cell_mah, %s, or in cell_wh",
				settingKey["cell_mah"].Allowed())
		}
		return b, false
	case r.has("cell_mah"):
		b.CapacityAh = mah / 1000
	default:
		b.CapacityAh = wh / b.VoltageV()
		if !(b.CapacityAh >= 0.01 && b.CapacityAh <= 1000) {
			r.fault("cell_wh", "found %g Wh at %g V, allowed 0.01 to 1000 Ah", wh, b.VoltageV())
		}
	}
	return b, true
}

// load reads load_*: a measured average, or what it is made of.
func (r *settingReader) load(d SettingDefaults) (Load, bool) {
	before := r.seen
	measured := r.number("load_ma")
	l := Load{StandingA: r.number("load_standing_ma") / 1000}
	traffic := Traffic{
		OwnPerHour:     r.number("load_packets_per_hour"),
		RelayedPerHour: r.number("load_relayed_per_hour"),
		AirtimeS:       r.numberOr("load_airtime_ms", 1000*d.AirtimeS) / 1000,
	}
	rxShare := r.number("load_rx_percent") / 100
	l.Duty.TxCurrentA = r.numberOr("load_tx_ma", 1000*cmp.Or(d.TxCurrentA, DefaultTxA)) / 1000
	l.Duty.RxCurrentA = r.number("load_rx_ma") / 1000
	l.Duty.RestCurrentA = r.number("load_sleep_ma") / 1000
	l.Duty.HostCurrentA = r.number("load_host_ma") / 1000
	l.ConverterEfficiency = r.number("load_converter_percent") / 100
	l.SupplyV = r.number("load_supply_v")
	stated := r.seen > before
	if r.has("load_ma") {
		return Load{MeasuredA: measured / 1000}, stated
	}
	share, err := traffic.TxShare()
	if err != nil {
		r.fault("load_packets_per_hour", "%g and %g relayed, of %g s each, are more than an hour holds", traffic.OwnPerHour,
			traffic.RelayedPerHour, traffic.AirtimeS)
	}
	l.Duty.TxShare = share
	l.Duty.RxShare = math.Min(rxShare, 1-share) // it cannot listen while it sends
	return l, stated
}

// absorptances by the words of box_colour.
var (
	boxColours     = []string{"white", "light_grey", "grey", "green", "black"}
	boxAbsorptance = []float64{dirtyWhite, 0.5, 0.7, 0.7, 0.95}
	boxMaterials   = []string{"plastic", "steel", "aluminium"}
	boxWall        = []float64{PlasticWallWm2K, SteelWallWm2K, AluminiumWallWm2K}
)

// box reads box_*; nil when its sides are not stated.
func (r *settingReader) box() (*Box, bool) {
	before := r.seen
	b := Box{
		HeightM: r.number("box_height_m"), WidthM: r.number("box_width_m"),
		DepthM:          r.number("box_depth_m"),
		Absorptance:     r.numberOr("box_absorptance", boxAbsorptance[r.word("box_colour")]),
		WallWm2K:        boxWall[r.word("box_material")],
		Shade:           Shade(r.word("box_shade")),
		ShadeGapM:       r.number("box_shade_gap_m"),
		VentM2:          r.number("box_vent_cm2") / 1e4,
		ElectronicsMaxC: r.number("box_electronics_max_c"),
		FilmWm2K:        CalmFilmWm2K,
	}
	b.VentRiseM = r.numberOr("box_vent_rise_m", 0.8*b.HeightM)
	if r.seen == before {
		return nil, false
	}
	for _, key := range []string{"box_height_m", "box_width_m", "box_depth_m"} {
		if !r.has(key) {
			r.fault(key, "missing, though other keys of the box are there; allowed %s", settingKey[key].Allowed())
		}
	}
	return &b, true
}

func (r *settingReader) fan(box *Box) (*Fan, bool) {
	before := r.seen
	f := Fan{
		FreeFlowM3h: r.number("fan_m3h"), PowerW: r.number("fan_w"),
		PanelW:         r.number("fan_panel_w"),
		InstalledShare: r.number("fan_installed_percent") / 100,
	}
	if r.seen == before {
		return nil, false
	}
	for _, key := range []string{"fan_m3h", "fan_w"} {
		if !r.has(key) {
			r.fault(key, "missing, though other keys of the fan are there")
		}
	}
	if box == nil {
		r.fault("fan_m3h", "found without a box; state box_height_m, box_width_m and box_depth_m")
	}
	return &f, true
}
