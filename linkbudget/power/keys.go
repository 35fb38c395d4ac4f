package power

import (
	"fmt"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Key is a property of a station or of ground that [Settings] reads.
type Key struct {
	Name    string       // such as panel_w
	Doc     string       // what it says, in half a line
	Limits  fault.Limits // of a number, in the unit of the key
	Whole   bool         // the number is whole
	Words   []string     // that are allowed; nil for a number
	Default string       // what holds where it is not given; empty where nothing does
	value   float64      // the same of a number
}

// Keys lists them, in groups: panel_*, which panel2_* to panel4_* follow, charger*, cell*, load_*,
// box_*, fan_*.
func Keys() []Key { return append([]Key(nil), settingKeys...) }

// settingKeys are the one table of the keys, their ranges and defaults.
var settingKeys = []Key{
	num("panel_w", "peak power; panel2_w to panel4_w and the like for more panels", 0.01, 500, "W"),
	num("panel_tilt_deg", "0 lies flat, 90 stands upright", 0, 90, "deg").or(DefaultTiltDeg),
	num("panel_azimuth_deg", "where it faces, clockwise from true north", 0, 360, "deg").orSo("towards the equator"),
	num("panel_vmp_v", "voltage at peak power", 1, 100, "V").or(DefaultVmpV),
	num("panel_noct_c", "nominal operating cell temperature", 20, 90, "C").or(DefaultNOCTC),
	num("panel_percent_per_k", "power by temperature", -1, 0, "%/K").or(100 * DefaultPowerPerK),
	lossOf("panel_soiling_percent", "lost by dust, pollen, droppings", DefaultDerates.Soiling),
	lossOf("panel_nameplate_percent", "lost by tolerance of the label", DefaultDerates.Nameplate),
	lossOf("panel_wiring_percent", "lost in cable and connectors", DefaultDerates.Wiring),
	lossOf("panel_lowlight_percent", "lost in dull light and slanting rays", DefaultDerates.LowLight),
	num("panel_years", "of age, at 1 % a year", 0, 50, "years").or(0),
	word("charger", "", chargerWords, int(Linear)),
	num("charger_percent", "efficiency of a tracking one", 30, 100,
		"%").orSo(fmt.Sprintf("%g", 100*DefaultTrackingEfficiency)),
	num("charger_max_a", "current that it gives at the most", 0.01, 50, "A").orSo("no limit"),
	word("cell_chemistry", "nmc: lithium-ion, as most round and pouch cells; lfp: iron phosphate (LiFePO4); lto: titanate", chemistryWords, int(NMC)),
	num("cell_mah", "capacity of one cell by its label, or cell_wh", 10, 1e6, "mAh"),
	num("cell_wh", "the same as energy", 0.03, 4000, "Wh"),
	{Name: "cells", Doc: "in parallel", Limits: fault.Limits{Min: 1, Max: 100}, Whole: true, Default: "1", value: 1},
	num("cell_v", "nominal voltage", 1, 100, "V").orSo("that of the chemistry"),
	num("cell_warmer_k", "than the air in frost: buried, insulated, in a house", 0, MaxWarmerK, "K").or(0),
	num("cell_age_percent", "what is left of the label", 10, 100, "%").or(100 * DefaultAgeFactor),
	num("cell_window_percent", "above the node's cut-off", 10, 100, "%").or(100),
	num("cell_leak_percent", "self-discharge", 0, 100, "% a month").or(100 * DefaultSelfDischargePerMonth),
	num("load_ma", "measured average at the cell, stands for the rest", 0, 10000, "mA").orSo("made of the rest"),
	num("load_packets_per_hour", "own packets", 0, 1e5, "").or(DefaultOwnPerH),
	num("load_relayed_per_hour", "packets of others", 0, 1e5, "").or(0),
	num("load_airtime_ms", "of a packet", 0, 3.6e6, "ms").orSo("that of the radio settings"),
	num("load_rx_percent", "listening, of the time not sending", 0, 100, "%").or(100),
	num("load_tx_ma", "sending", 0, 10000, "mA").orSo(fmt.Sprintf("that of the radio, else %g", 1000*DefaultTxA)),
	num("load_rx_ma", "listening", 0, 10000, "mA").or(1000 * DefaultRxA),
	num("load_sleep_ma", "asleep", 0, 10000, "mA").or(1000 * DefaultSleepA),
	num("load_host_ma", "host and board around the radio", 0, 10000, "mA").or(1000 * DefaultHostA),
	num("load_standing_ma", "charger, divider", 0, 1000, "mA").or(1000 * DefaultStandA),
	num("load_converter_percent", "efficiency of a switching converter", 30, 100, "%").orSo("linear regulator"),
	num("load_supply_v", "behind the converter", 0.5, 60, "V").or(DefaultSupplyV),
	num("box_height_m", "outside", 0.01, 3, "m"),
	num("box_width_m", "outside", 0.01, 3, "m"),
	num("box_depth_m", "outside", 0.01, 3, "m"),
	word("box_colour", "", boxColours, 1),
	num("box_absorptance", "part of the sun that its outside takes", 0.05, 1, "").orSo("that of the colour"),
	word("box_material", "", boxMaterials, 0),
	word("box_shade", "a plate before it with a gap", shadeWords, int(NoShade)),
	num("box_shade_gap_m", "below 0.02 it does not help", 0.001, 1, "m").or(DefaultShadeGapM),
	num("box_vent_cm2", "inlet and outlet each", 0, 5000, "cm2").or(0),
	num("box_vent_rise_m", "outlet above inlet", 0, 3, "m").orSo("0.8 of the height"),
	num("box_electronics_max_c", "that the electronics bear", 30, 150, "C").or(DefaultElectronicsC),
	num("fan_m3h", "free flow of air", 0.1, 500, "m3/h"),
	num("fan_w", "power", 0.01, 50, "W"),
	num("fan_panel_w", "panel of its own; 0 hangs it on the cell", 0, 500, "W").or(0),
	num("fan_installed_percent", "of the free flow, built in", 5, 100, "%").or(100 * DefaultInstalledShare),
}

func num(name, doc string, low, high float64, unit string) Key {
	return Key{Name: name, Doc: doc, Limits: fault.Limits{Min: low, Max: high, Unit: unit}}
}

// lossOf is a key of what is lost, in percent, where the default is what is left.
func lossOf(name, doc string, left float64) Key {
	return num(name, doc, 0, 90, "%").or(100 * (1 - left))
}

func word(name, doc string, words []string, otherwise int) Key {
	return Key{Name: name, Doc: doc, Words: words, Default: words[otherwise], value: float64(otherwise)}
}

// or gives a number its default.
func (k Key) or(value float64) Key {
	k.value, k.Default = value, fmt.Sprintf("%.4g", value)
	return k
}

// orSo says in words what holds without a number, for which 0 stands.
func (k Key) orSo(words string) Key {
	k.Default = words
	return k
}

// Allowed tells what the key may say, such as "0.01 to 500 W".
func (k Key) Allowed() string {
	if k.Words != nil {
		quoted := fmt.Sprintf("%q", k.Words)
		return strings.ReplaceAll(quoted[1:len(quoted)-1], " ", ", ")
	}
	if k.Whole {
		return "a whole number " + k.Limits.String()
	}
	return k.Limits.String()
}

// settingKey finds a key by its name, those of a further panel by that of the first.
var settingKey = func() map[string]*Key {
	byName := map[string]*Key{}
	for i := range settingKeys {
		k := &settingKeys[i]
		byName[k.Name] = k
		if of, ok := strings.CutPrefix(k.Name, panelPrefix(0)); ok {
			for more := 1; more < maxSettingPanels; more++ {
				byName[panelPrefix(more)+of] = k
			}
		}
	}
	return byName
}()
