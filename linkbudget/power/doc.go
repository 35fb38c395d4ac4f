// Package power tells whether a node on a pole lives through its year: load,
// panels, charger, cells, the state of charge hour by hour, and the heat in the
// box. The sun itself comes in as plain numbers (Exposure); terrain/sun can
// make them, so can any other source.
//
// # Models
//
//   - Load: shares of transmitting, receiving and sleeping; the transmit share is
//     airtime times packets, own and relayed. A measured average stands for all.
//   - Panel: peak watts times hours of full sun times derates (0.840 for a small
//     new panel), cell temperature by NOCT (Ross; IEC 61215), at most the power
//     at 25 C. Linear charger: the panel's current at the cell's voltage.
//     Tracking charger: the panel's power times 0.85.
//   - Cell: capacity times 0.80 for age, times a share for the cold; charged at 0
//     to 45 C only (titanate -30 to 55). The cold is that of the air, and of what
//     the cells are stated to be warmer: the sun's warmth in the box and the
//     slowness of the cells are not counted on. The heat is that of air and box.
//   - Verdict: the state of charge is followed hour by hour through the year, which
//     comes round again, and judged at its lowest hour. It dies where an hour
//     goes without power in the weather given. It is thin where, with the sun 30 %
//     poorer, less than the reserve is left, or then in air 3 K colder besides: a
//     fifth of the warm bank or three days of load, the less of them, at least one
//     day's load. Else it lives. The reserve and the 3 K are engineering
//     judgement. The heat of the hottest hour is held against the cell (60 C) and
//     the electronics, and the worse of both verdicts counts.
//   - Heat: steady state of sun on the outside, electronics inside, air through
//     vents (stack effect) or fan, a shade plate with a gap.
//
// Hours may be those of a weather file or made of monthly means (terrain/sun): both
// take the same way. [Result.Basis] says what they cannot show. A default climate
// decides nothing: [SurveyPole] tells what could be under a dull and a bright sky,
// and the verdict is Unknown.
//
// # Range and limits
//
// Averages of milliwatts to watts, panels to 500 W, lithium cells (NMC, LFP, LTO).
// No lead-acid, no supercapacitors. Not known: snow, rime, leaves, fog, trees
// the terrain model does not hold, a bad cell, a charger that hangs in low
// light. A month of sun is known to 30 % (NREL on its own model), so runs are
// given for 70, 100 and 130 % of it. Below -20 C (titanate -30 C) the capacity is extrapolated.
// No current limit but Charger.MaxA is kept; the lower charge rates that some
// sheets ask below 15 C are not modelled.
//
// # Settings
//
// [Settings] reads these properties of a plan's station. All are optional, but
// without panel_w and a cell capacity there is nothing to survey.
//
//	key                    range          default
//	panel_w                0.01 to 500 W  -
//	panel_tilt_deg         0 to 90        60
//	panel_azimuth_deg      0 to 360       towards the equator
//	panel_vmp_v            1 to 100 V     6
//	panel_noct_c           20 to 90       45
//	panel_percent_per_k    -1 to 0 %/K    -0.4
//	panel_soiling_percent  0 to 90        5    (likewise _nameplate_ 5, _wiring_ 2, _lowlight_ 5)
//	panel_years            0 to 50        0    1 % a year
//	panel2_*, panel3_*, panel4_*               further panels, the same keys
//	charger                "linear" "tracking", default linear
//	charger_percent        30 to 100      85   tracking only
//	charger_max_a          0.01 to 50 A   no limit
//	cell_mah, cell_wh      10 to 1e6 mAh, 0.03 to 4000 Wh   of one cell, one of the two
//	cells                  1 to 100       1    in parallel
//	cell_v                 1 to 100 V     3.7 nmc, 3.2 lfp, 2.4 lto
//	cell_chemistry         "nmc" "lfp" "lto"   nmc
//	cell_warmer_k          0 to 15 K      0    than the air in frost: buried, insulated, in a house
//	cell_age_percent       10 to 100      80   what is left of the label
//	cell_window_percent    10 to 100      100  above the node's cut-off
//	cell_leak_percent      0 to 100       3    a month
//	load_ma                0 to 10000 mA  measured average at the cell, stands for the rest
//	load_packets_per_hour  0 to 1e5       12   own
//	load_relayed_per_hour  0 to 1e5       0
//	load_airtime_ms        0 to 3.6e6     of the radio settings
//	load_rx_percent        0 to 100       100  of the time not transmitting
//	load_tx_ma _rx_ma _sleep_ma _host_ma  0 to 10000 mA, default 118, 5.3, 0.0006, 6
//	load_standing_ma       0 to 1000      0.08 charger, divider
//	load_converter_percent 30 to 100      linear regulator
//	load_supply_v          0.5 to 60      3.3  behind the converter
//	box_height_m _width_m _depth_m        0.01 to 3 m
//	box_colour             "white" "light_grey" "grey" "green" "black", default light_grey
//	box_absorptance        0.05 to 1      of the colour
//	box_material           "plastic" "steel" "aluminium", default plastic
//	box_shade              "none" "roof" "roof_sides", default none
//	box_shade_gap_m        0.001 to 1     0.03 below 0.02 it does not help
//	box_vent_cm2           0 to 5000      0    inlet and outlet each
//	box_vent_rise_m        0 to 3         0.8 of the height
//	box_electronics_max_c  30 to 150      70
//	fan_m3h, fan_w         0.1 to 500, 0.01 to 50    free air, power
//	fan_panel_w            0 to 500       0    0 hangs it on the cell
//	fan_installed_percent  5 to 100       40   of the free flow
//
// # Sources
//
// Duffie and Beckman, Solar Engineering of Thermal Processes, chapter 23. Dobos,
// PVWatts 5, NREL/TP-6A20-62641. IEEE 1562 and 1013. IEC 61215. Datasheets
// ICR18650-26C, INR18650-15L, LFP-26650-3300, LT3652, CUI CFM-40V, Delta
// AFB0405MA. ASHRAE Handbook Fundamentals.
package power
