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
// [Settings] reads properties of a plan's station. [Keys] lists them with ranges and
// defaults, as does polereach plan --keys. All are optional, but without panel_w and a
// cell capacity there is nothing to survey.
//
// # Sources
//
// Duffie and Beckman, Solar Engineering of Thermal Processes, chapter 23. Dobos,
// PVWatts 5, NREL/TP-6A20-62641. IEEE 1562 and 1013. IEC 61215. Datasheets
// ICR18650-26C, INR18650-15L, LFP-26650-3300, LT3652, CUI CFM-40V, Delta
// AFB0405MA. ASHRAE Handbook Fundamentals.
package power
