package linkbudget

import (
	"fmt"
	"strings"
)

// ChipCurrent is the supply current of a radio chip in a mode other than
// transmitting: typical, at 3.3 V and 25 C unless the mode says otherwise. An
// RF switch, a temperature-compensated crystal (about 1.5 mA) and an amplifier
// in front come on top.
type ChipCurrent struct {
	Chip, Mode string
	CurrentA   float64
	Source     string
}

// ChipCurrents returns the published currents. The LR1121's are not published
// here: take the SX1262's and say so.
func ChipCurrents() []ChipCurrent {
	const (
		sx1262 = "SX1261/2 datasheet Rev 1.1, table 3-5"
		sx1276 = "SX1276/77/78/79 datasheet Rev 4, tables 6 and 10"
	)
	return []ChipCurrent{
		{"SX1262", "sleep, cold start", 160e-9, sx1262},
		{"SX1262", "sleep, warm start", 600e-9, sx1262},
		{"SX1262", "sleep, warm start, 64 kHz timer", 1.2e-6, sx1262},
		{"SX1262", "standby RC", 0.6e-3, sx1262},
		{"SX1262", "standby crystal", 0.8e-3, sx1262},
		{"SX1262", "synthesizer, DC-DC", 2.1e-3, sx1262},
		{"SX1262", "synthesizer, LDO", 3.55e-3, sx1262},
		{"SX1262", "receive 125 kHz, DC-DC", 4.6e-3, sx1262},
		{"SX1262", "receive 125 kHz, DC-DC, boosted", 5.3e-3, sx1262},
		{"SX1262", "receive 125 kHz, LDO", 8.8e-3, sx1262},
		{"SX1262", "receive 125 kHz, LDO, boosted", 10.1e-3, sx1262},
		{"SX1262", "receive 125 kHz, DC-DC, 1.8 V", 8.2e-3, sx1262},
		{"LLCC68", "receive", 4.2e-3, "secondary: headline of the vendor"},
		{"SX1276", "sleep", 0.2e-6, sx1276},
		{"SX1276", "sleep, worst", 1e-6, sx1276},
		{"SX1276", "idle RC", 1.5e-6, sx1276},
		{"SX1276", "standby crystal", 1.6e-3, sx1276},
		{"SX1276", "receive band 1, 62.5 kHz and less", 9.9e-3, sx1276},
		{"SX1276", "receive band 1, 125 kHz", 10.3e-3, sx1276},
		{"SX1276", "receive band 1, 250 kHz", 11.1e-3, sx1276},
		{"SX1276", "receive band 1, 500 kHz", 12.6e-3, sx1276},
		{"SX1276", "receive band 1, boosted", 11.5e-3, sx1276 + ", measured for FSK"},
		{"SX1276", "receive bands 2 and 3, 62.5 kHz and less", 11.0e-3, sx1276},
		{"SX1276", "receive bands 2 and 3, 125 kHz", 11.5e-3, sx1276},
		{"SX1276", "receive bands 2 and 3, 250 kHz", 12.4e-3, sx1276},
		{"SX1276", "receive bands 2 and 3, 500 kHz", 13.8e-3, sx1276},
	}
}

// ChipCurrentByMode finds an entry of ChipCurrents, whatever the case of the
// letters. The error lists the modes of the chip, or the chips.
func ChipCurrentByMode(chip, mode string) (ChipCurrent, error) {
	var modes, chips []string
	for _, c := range ChipCurrents() {
		if len(chips) == 0 || chips[len(chips)-1] != c.Chip {
			chips = append(chips, c.Chip)
		}
		if !strings.EqualFold(chip, c.Chip) {
			continue
		}
		if strings.EqualFold(mode, c.Mode) {
			return c, nil
		}
		modes = append(modes, c.Mode)
	}
	if len(modes) == 0 {
		return ChipCurrent{}, fmt.Errorf("current of chip %q, known are %s", chip, strings.Join(chips, ", "))
	}
	return ChipCurrent{}, fmt.Errorf("current of %s in mode %q, known are: %s", chip, mode, strings.Join(modes, "; "))
}

// TxCurrentTable is the supply current of a chip while it transmits, by power,
// for one matching network: typical, at 3.3 V and 25 C.
type TxCurrentTable struct {
	Chip, Match   string
	LowHz, HighHz float64
	// Interpolate is whether the points share one network. Otherwise each was
	// measured with a network made for its power, and only they can be had.
	Interpolate bool
	Points      []TxCurrentPoint // by rising power
	Source      string
}

// TxCurrentPoint is the current at one power.
type TxCurrentPoint struct {
	PowerDBm DBm
	CurrentA float64
}

// TxCurrentTables returns the published currents. Most boards for 22 dBm have
// the 22 dBm match: turned down to 14 dBm they still draw 90 mA.
func TxCurrentTables() []TxCurrentTable {
	const (
		sx1262 = "SX1261/2 datasheet Rev 1.1, table 3-6"
		sx1276 = "SX1276/77/78/79 datasheet Rev 4, table 6"
		// The tables say 868/915 and 434/490 MHz; the ranges about them are ours.
		low, lowEnd, high, highEnd = 410e6, 525e6, 862e6, 1020e6
	)
	return []TxCurrentTable{
		{"SX1262", "22 dBm", high, highEnd, true, []TxCurrentPoint{{14, 90e-3}, {17, 95e-3}, {20, 102e-3}, {22, 118e-3}}, sx1262},
		{"SX1262", "22 dBm", low, lowEnd, true, []TxCurrentPoint{{14, 63e-3}, {17, 75e-3}, {20, 90e-3}, {22, 107e-3}}, sx1262},
		{"SX1262", "optimised", high, highEnd, false, []TxCurrentPoint{{14, 45e-3}, {17, 58e-3}, {20, 84e-3}}, sx1262},
		{"SX1262", "optimised", low, lowEnd, false, []TxCurrentPoint{{14, 32e-3}, {17, 42e-3}, {20, 65e-3}}, sx1262},
		{"SX1261", "15 dBm", high, highEnd, true, []TxCurrentPoint{{10, 18e-3}, {14, 25.5e-3}, {15, 32.5e-3}}, sx1262},
		{"SX1261", "15 dBm", low, lowEnd, true, []TxCurrentPoint{{10, 14.5e-3}, {14, 21e-3}, {15, 25.5e-3}}, sx1262},
		{"SX1261", "optimised", high, highEnd, false, []TxCurrentPoint{{10, 15e-3}}, sx1262},
		{"SX1276", "PA_BOOST", 137e6, highEnd, true, []TxCurrentPoint{{17, 87e-3}, {20, 120e-3}}, sx1276},
		{"SX1276", "RFO", 137e6, highEnd, true, []TxCurrentPoint{{7, 20e-3}, {13, 29e-3}}, sx1276},
	}
}

// TxCurrentA returns the current in amperes that a chip with a matching network
// draws at a frequency and power: straight between the points of that network,
// and an error beyond them. Nothing is taken from another network.
func TxCurrentA(chip, match string, freqHz float64, power DBm) (float64, error) {
	var known []string
	for _, t := range TxCurrentTables() {
		if strings.EqualFold(chip, t.Chip) && strings.EqualFold(match, t.Match) && freqHz >= t.LowHz && freqHz <= t.HighHz {
			return t.currentA(power)
		}
		known = append(known, fmt.Sprintf("%s %s at %g to %g MHz", t.Chip, t.Match, t.LowHz/1e6, t.HighHz/1e6))
	}
	return 0, fmt.Errorf("transmit current of %q with match %q at %g MHz, known are: %s", chip, match, freqHz/1e6, strings.Join(known, "; "))
}

func (t TxCurrentTable) currentA(power DBm) (float64, error) {
	for i, right := range t.Points {
		if power == right.PowerDBm {
			return right.CurrentA, nil
		}
		if i > 0 && t.Interpolate {
			if left := t.Points[i-1]; power > left.PowerDBm && power < right.PowerDBm {
				share := float64(power.Sub(left.PowerDBm) / right.PowerDBm.Sub(left.PowerDBm))
				return left.CurrentA + share*(right.CurrentA-left.CurrentA), nil
			}
		}
	}
	if t.Interpolate {
		return 0, fmt.Errorf("transmit current of %s, match %s: found %v dBm, allowed %v to %v", t.Chip, t.Match, power, t.Points[0].PowerDBm, t.Points[len(t.Points)-1].PowerDBm)
	}
	powers := make([]string, len(t.Points))
	for i, p := range t.Points {
		powers[i] = fmt.Sprint(float64(p.PowerDBm))
	}
	return 0, fmt.Errorf("transmit current of %s, match %s: found %v dBm, allowed only %s, each with its own network", t.Chip, t.Match, power, strings.Join(powers, ", "))
}
