package band

import (
	"fmt"
	"strings"
)

// Sources of this file.
const (
	srcEN220   = "ETSI EN 300 220-2 V3.2.1"
	srcEUDEC   = "2006/771/EC as amended by (EU) 2017/1483"
	srcEU1345  = "2006/771/EC as amended by (EU) 2019/1345"
	srcEU1538  = "(EU) 2018/1538 as amended by 2022/172"
	srcREC7003 = "CEPT ERC/REC 70-03"
	srcUK      = "Wireless Telegraphy (Exemption) Regulations 2021, Ofcom IR 2030"
)

// What was read instead, all in 2026.
const (
	readMemory = "from memory"
	readEN220  = "published code and a network operator's pages that quote the standard"
	readUN39   = "the Spanish national table UN-39, which quotes (EU) 2017/1483; " +
		"later amendments, to (EU) 2025/105, were not read"
	readEURows  = "taken to be as the EU row; the regulations were not read"
	readRegions = "the channel plan of the LoRaWAN document; the law was not read"
)

// Conditions of this file.
const (
	classNet     = "networked short-range devices with adaptive power control"
	noteNational = "national availability varies"
)

// eu868Rules: CEPT and EU, 863 to 870 MHz, and the networked segments above.
func eu868Rules() []Rule {
	row := func(key string, fromHz, toHz, mW, duty float64, clause string) Rule {
		return Rule{Key: key, FromHz: fromHz, ToHz: toHz, Limit: milliW(mW), Reference: ERP, Duty: duty, Polite: duty > 0,
			Source: srcEN220, Clause: "Annex B " + clause, Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220}
	}
	decided := func(key string, fromHz, toHz, mW, duty float64, clause string) Rule {
		r := row(key, fromHz, toHz, mW, duty, "")
		r.Source, r.Clause, r.Year, r.SecondHand = srcEUDEC, "EN 300 220-2 "+clause, 2017, readUN39
		return r
	}
	strong := decided("eu-869.4-869.65", 869.4e6, 869.65e6, 500, 0.1, "band O or P")
	strong.Note = "25 kHz channels, or the whole segment as one wideband data channel: 250 kHz just fits, " +
		"check the occupied bandwidth; letters of sub-bands differ between texts: go by frequency"
	weak := row("eu-869.7-870-lp", 869.7e6, 870e6, 5, 0, "")
	weak.Clause, weak.Confidence, weak.SecondHand = "Annex B, 5 mW", ConfidenceC, readMemory
	rows := []Rule{
		row("eu-863-865", 863e6, 865e6, 25, 0.001, "band K"),
		row("eu-865-868", 865e6, 868e6, 25, 0.01, "band L"),
		decided("eu-868.0-868.6", 868e6, 868.6e6, 25, 0.01, "band M"),
		decided("eu-868.7-869.2", 868.7e6, 869.2e6, 25, 0.001, "band N"),
		strong,
		weak,
		row("eu-869.7-870", 869.7e6, 870e6, 25, 0.01, "band Q"),
	}
	net := Rule{Limit: milliW(500), Reference: ERP, Duty: 0.025, MaxChannelHz: 200e3, Class: classNet,
		Source: srcEU1345, Clause: "Annex, networked devices", Year: 2019, Confidence: ConfidenceC, SecondHand: readMemory,
		Note: "2.5 % of the hour for nodes, 10 % for fixed access points"}
	for _, fromHz := range []float64{865.6e6, 866.2e6, 866.8e6, 867.4e6} {
		net.Key, net.FromHz, net.ToHz = fmt.Sprintf("eu-%.1f-%.1f-net", fromHz/1e6, fromHz/1e6+0.2), fromHz, fromHz+200e3
		rows = append(rows, net)
	}
	net.Key, net.FromHz, net.ToHz = "eu-874", 874e6, 874.4e6
	net.Source, net.Clause, net.Year, net.Note = srcEU1538, "Annex, 874 MHz", 2022, net.Note+"; "+noteNational
	return append(rows, net,
		Rule{Key: "eu-917", FromHz: 917.4e6, ToHz: 919.4e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.01, MaxChannelHz: 600e3, Class: "networked short-range devices",
			Source: srcEU1538, Clause: "Annex, 917 MHz", Year: 2022, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: noteNational},
	)
}

// eu433Rules: 433.05 to 434.79 MHz.
func eu433Rules() []Rule {
	return []Rule{
		{Key: "eu-433", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, Duty: 0.1,
			Source: srcEN220, Clause: "table B.1 band H", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-433-wide", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(1), Reference: ERP,
			DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3,
			Source: srcEN220, Clause: "table B.1 band I", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-433-narrow", FromHz: 434.04e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, MaxChannelHz: 25e3,
			Source: srcEN220, Clause: "table B.1 band J", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
	}
}

// eu169Rules: 169.4 to 169.8125 MHz.
func eu169Rules() []Rule {
	lowPower := Rule{Limit: milliW(10), Reference: ERP, Duty: 0.001,
		Source: srcREC7003 + ", 2006/771/EC", Clause: "Annex 1", Year: 2025, Confidence: ConfidenceC, SecondHand: readMemory}
	below, above := lowPower, lowPower
	below.Key, below.FromHz, below.ToHz = "eu-169.4-lp", 169.4e6, 169.4875e6
	above.Key, above.FromHz, above.ToHz = "eu-169.6-lp", 169.5875e6, 169.8125e6
	return []Rule{
		{Key: "eu-169-hp", FromHz: 169.4e6, ToHz: 169.475e6, Limit: milliW(500), Reference: ERP,
			Duty: 0.01, MaxChannelHz: 50e3,
			Source: srcREC7003 + ", 2006/771/EC", Clause: "Annex 1", Year: 2025, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "10 % of the hour for meter reading"},
		below, above,
	}
}

// uk868Rules: the EU rows of 863 to 870 MHz as retained, and 870 to 874.4 MHz.
func uk868Rules() []Rule {
	var rows []Rule
	for _, r := range eu868Rules() {
		if r.ToHz > 870e6 {
			continue
		}
		r.Key = "uk-" + strings.TrimPrefix(r.Key, "eu-")
		r.Source, r.Clause, r.Year = srcUK, "retained EU band", 2021
		r.Confidence, r.SecondHand = ConfidenceC, readEURows
		rows = append(rows, r)
	}
	rows = append(rows,
		Rule{Key: "uk-870-874.4", FromHz: 870e6, ToHz: 874.4e6, Limit: milliW(25), Reference: ERP, Duty: 0.01,
			Source: srcUK, Clause: "IR 2030", Year: 2021, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "opened by the 2021 Regulations, in force 12 May 2021"},
		Rule{Key: "uk-870-874.4-net", FromHz: 870e6, ToHz: 874.4e6, Limit: milliW(500), Reference: ERP, Class: classNet,
			Source: srcUK, Clause: "IR 2030", Year: 2021, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "opened by the 2021 Regulations, in force 12 May 2021"},
	)
	return rows
}

// ru864Rules: the defaults of the channel plan; the law was not read.
func ru864Rules() []Rule {
	return []Rule{
		{Key: "ru-864-870", FromHz: 864e6, ToHz: 870e6, Limit: 16, Reference: EIRP, Duty: 0.01,
			Access: "only parts of the band are usable",
			Source: "LoRaWAN Regional Parameters v1.0.3revA", Clause: "RU864", Year: 2018, Confidence: ConfidenceC,
			SecondHand: readRegions,
			Note:       "16 dBm is the plan's default, the duty cycle is assumed"},
	}
}
