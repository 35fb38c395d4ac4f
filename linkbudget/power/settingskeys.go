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
		w := r.number(key+"w", 0, 0.01, 500, " W")
		p := NewPanel(w, Plane{
			TiltDeg:    r.number(key+"tilt_deg", DefaultTiltDeg, 0, 90, " deg"),
			AzimuthDeg: r.number(key+"azimuth_deg", equatorDeg(d.LatDeg), 0, 360, " deg"),
		})
		p.VmpV = r.number(key+"vmp_v", DefaultVmpV, 1, 100, " V")
		p.NOCTC = r.number(key+"noct_c", DefaultNOCTC, 20, 90, " C")
		p.PowerPerK = r.number(key+"percent_per_k", 100*DefaultPowerPerK, -1, 0, " %/K") / 100
		loss := func(name string, factor float64) float64 {
			return 1 - r.number(key+name, 100*(1-factor), 0, 90, " %")/100
		}
		p.Derates = Derates{
			Soiling: loss("soiling_percent", DefaultDerates.Soiling), Nameplate: loss("nameplate_percent",
				DefaultDerates.Nameplate),
			Wiring: loss("wiring_percent", DefaultDerates.Wiring), LowLight: loss("lowlight_percent", DefaultDerates.LowLight),
			Ageing: AgeingFactor(r.number(key+"years", 0, 0, 50, " years")),
		}
		switch {
		case r.seen == before:
			if missing == "" {
				missing = key
			}
		case !r.has(key + "w"):
			r.fault(key+"w", "missing, though other keys of this panel are there; allowed 0.01 to 500 W")
		case missing != "":
			r.fault(key+"w", "found without %sw; number the panels without a gap", missing)
		default:
			panels = append(panels, p)
		}
	}
	return panels, len(panels) > 0
}

func (r *settingReader) charger() Charger {
	c := Charger{Kind: ChargerKind(r.word("charger", int(Linear), chargerWords))}
	c.Efficiency = r.number("charger_percent", 0, 30, 100, " %") / 100
	c.MaxA = r.number("charger_max_a", 0, 0.01, 50, " A")
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
		Chemistry:             Chemistry(r.word("cell_chemistry", int(NMC), chemistryWords)),
		WarmerK:               r.number("cell_warmer_k", 0, 0, MaxWarmerK, " K"),
		NominalV:              r.number("cell_v", 0, 1, 100, " V"),
		AgeFactor:             r.number("cell_age_percent", 100*DefaultAgeFactor, 10, 100, " %") / 100,
		WindowFactor:          r.number("cell_window_percent", 100, 10, 100, " %") / 100,
		SelfDischargePerMonth: r.number("cell_leak_percent", 100*DefaultSelfDischargePerMonth, 0, 100, " % a month") / 100,
	}
	mah := r.number("cell_mah", 0, 10, 1e6, " mAh")
	wh := r.number("cell_wh", 0, 0.03, 4000, " Wh")
	mentioned := r.seen > before
	b.Cells = r.whole("cells", 1, 1, 100)
	switch {
	case r.has("cell_mah") && r.has("cell_wh"):
		r.fault("cell_wh", "found beside cell_mah; give the capacity of one cell once")
	case !r.has("cell_mah") && !r.has("cell_wh"):
		if mentioned || r.has("cells") {
			r.fault("cell_mah", "missing; give the capacity of one cell in cell_mah, 10 to 1e+06 mAh, or in cell_wh")
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
	measured := r.number("load_ma", 0, 0, 10000, " mA")
	l := Load{StandingA: r.number("load_standing_ma", 1000*DefaultStandA, 0, 1000, " mA") / 1000}
	traffic := Traffic{
		OwnPerHour:     r.number("load_packets_per_hour", DefaultOwnPerH, 0, 1e5, ""),
		RelayedPerHour: r.number("load_relayed_per_hour", 0, 0, 1e5, ""),
		AirtimeS:       r.number("load_airtime_ms", 1000*d.AirtimeS, 0, 3.6e6, " ms") / 1000,
	}
	rxShare := r.number("load_rx_percent", 100, 0, 100, " %") / 100
	milli := func(key string, otherwiseA float64) float64 {
		return r.number(key, 1000*otherwiseA, 0, 10000, " mA") / 1000
	}
	l.Duty.TxCurrentA = milli("load_tx_ma", cmp.Or(d.TxCurrentA, DefaultTxA))
	l.Duty.RxCurrentA = milli("load_rx_ma", DefaultRxA)
	l.Duty.RestCurrentA = milli("load_sleep_ma", DefaultSleepA)
	l.Duty.HostCurrentA = milli("load_host_ma", DefaultHostA)
	l.ConverterEfficiency = r.number("load_converter_percent", 100*DefaultConvert, 30, 100, " %") / 100
	l.SupplyV = r.number("load_supply_v", DefaultSupplyV, 0.5, 60, " V")
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
		HeightM: r.number("box_height_m", 0, 0.01, 3, " m"), WidthM: r.number("box_width_m", 0, 0.01, 3, " m"),
		DepthM:          r.number("box_depth_m", 0, 0.01, 3, " m"),
		Absorptance:     r.number("box_absorptance", boxAbsorptance[r.word("box_colour", 1, boxColours)], 0.05, 1, ""),
		WallWm2K:        boxWall[r.word("box_material", 0, boxMaterials)],
		Shade:           Shade(r.word("box_shade", 0, shadeWords)),
		ShadeGapM:       r.number("box_shade_gap_m", DefaultShadeGapM, 0.001, 1, " m"),
		VentM2:          r.number("box_vent_cm2", 0, 0, 5000, " cm2") / 1e4,
		ElectronicsMaxC: r.number("box_electronics_max_c", DefaultElectronicsC, 30, 150, " C"),
		FilmWm2K:        CalmFilmWm2K,
	}
	b.VentRiseM = r.number("box_vent_rise_m", 0.8*b.HeightM, 0, 3, " m")
	if r.seen == before {
		return nil, false
	}
	for _, key := range []string{"box_height_m", "box_width_m", "box_depth_m"} {
		if !r.has(key) {
			r.fault(key, "missing, though other keys of the box are there; allowed 0.01 to 3 m")
		}
	}
	return &b, true
}

func (r *settingReader) fan(box *Box) (*Fan, bool) {
	before := r.seen
	f := Fan{
		FreeFlowM3h: r.number("fan_m3h", 0, 0.1, 500, " m3/h"), PowerW: r.number("fan_w", 0, 0.01, 50, " W"),
		PanelW:         r.number("fan_panel_w", 0, 0, 500, " W"),
		InstalledShare: r.number("fan_installed_percent", 100*DefaultInstalledShare, 5, 100, " %") / 100,
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
