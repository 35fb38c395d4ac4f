package band

import "strings"

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
	hourS        = 3600 // duty cycle: any one hour, per transmitter and sub-band (EN 300 220-1, from memory)
	classNet     = "networked short-range devices with adaptive power control"
	noteNet      = "2.5 % of the hour for nodes, 10 % for fixed access points"
	noteLetters  = "letters of sub-bands differ between texts: go by frequency"
	noteNational = "national availability varies"
)

// eu868Rules: CEPT and EU, 863 to 870 MHz, and the networked segments above.
func eu868Rules() []Rule {
	rows := []Rule{
		{Key: "eu-863-865", FromHz: 863e6, ToHz: 865e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.001, Polite: true,
			Source: srcEN220, Clause: "Annex B band K", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-865-868", FromHz: 865e6, ToHz: 868e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.01, Polite: true,
			Source: srcEN220, Clause: "Annex B band L", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-868.0-868.6", FromHz: 868e6, ToHz: 868.6e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.01, Polite: true,
			Source: srcEUDEC, Clause: "EN 300 220-2 band M", Year: 2017, Confidence: ConfidenceB, SecondHand: readUN39},
		{Key: "eu-868.7-869.2", FromHz: 868.7e6, ToHz: 869.2e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.001, Polite: true,
			Source: srcEUDEC, Clause: "EN 300 220-2 band N", Year: 2017, Confidence: ConfidenceB, SecondHand: readUN39},
		{Key: "eu-869.4-869.65", FromHz: 869.4e6, ToHz: 869.65e6, Limit: milliW(500), Reference: ERP,
			Duty: 0.1, Polite: true,
			Source: srcEUDEC, Clause: "EN 300 220-2 band O or P", Year: 2017, Confidence: ConfidenceB, SecondHand: readUN39,
			Note: "25 kHz channels, or the whole segment as one wideband data channel: 250 kHz just fits, check the occupied bandwidth; " + noteLetters},
		{Key: "eu-869.7-870-lp", FromHz: 869.7e6, ToHz: 870e6, Limit: milliW(5), Reference: ERP,
			Source: srcEN220, Clause: "Annex B, 5 mW", Year: 2018, Confidence: ConfidenceC, SecondHand: readMemory},
		{Key: "eu-869.7-870", FromHz: 869.7e6, ToHz: 870e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.01, Polite: true,
			Source: srcEN220, Clause: "Annex B band Q", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
	}
	for _, s := range []struct {
		key          string
		fromHz, toHz float64
	}{
		{"eu-865.6-865.8-net", 865.6e6, 865.8e6},
		{"eu-866.2-866.4-net", 866.2e6, 866.4e6},
		{"eu-866.8-867.0-net", 866.8e6, 867e6},
		{"eu-867.4-867.6-net", 867.4e6, 867.6e6},
	} {
		rows = append(rows, Rule{Key: s.key, FromHz: s.fromHz, ToHz: s.toHz, Limit: milliW(500), Reference: ERP,
			Duty: 0.025, MaxChannelHz: 200e3, Class: classNet,
			Source: srcEU1345, Clause: "Annex, networked devices", Year: 2019, Confidence: ConfidenceC, SecondHand: readMemory, Note: noteNet})
	}
	rows = append(rows,
		Rule{Key: "eu-874", FromHz: 874e6, ToHz: 874.4e6, Limit: milliW(500), Reference: ERP,
			Duty: 0.025, MaxChannelHz: 200e3, Class: classNet,
			Source: srcEU1538, Clause: "Annex, 874 MHz", Year: 2022, Confidence: ConfidenceC, SecondHand: readMemory, Note: noteNet + "; " + noteNational},
		Rule{Key: "eu-917", FromHz: 917.4e6, ToHz: 919.4e6, Limit: milliW(25), Reference: ERP,
			Duty: 0.01, MaxChannelHz: 600e3, Class: "networked short-range devices",
			Source: srcEU1538, Clause: "Annex, 917 MHz", Year: 2022, Confidence: ConfidenceC, SecondHand: readMemory, Note: noteNational},
	)
	return listed(EU868, rows)
}

// eu433Rules: 433.05 to 434.79 MHz.
func eu433Rules() []Rule {
	return listed(EU433, []Rule{
		{Key: "eu-433", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, Duty: 0.1,
			Source: srcEN220, Clause: "table B.1 band H", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-433-wide", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(1), Reference: ERP,
			DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3,
			Source: srcEN220, Clause: "table B.1 band I", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
		{Key: "eu-433-narrow", FromHz: 434.04e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, MaxChannelHz: 25e3,
			Source: srcEN220, Clause: "table B.1 band J", Year: 2018, Confidence: ConfidenceB, SecondHand: readEN220},
	})
}

// eu169Rules: 169.4 to 169.8125 MHz.
func eu169Rules() []Rule {
	lowPower := Rule{Limit: milliW(10), Reference: ERP, Duty: 0.001,
		Source: srcREC7003 + ", 2006/771/EC", Clause: "Annex 1", Year: 2025, Confidence: ConfidenceC, SecondHand: readMemory}
	below, above := lowPower, lowPower
	below.Key, below.FromHz, below.ToHz = "eu-169.4-lp", 169.4e6, 169.4875e6
	above.Key, above.FromHz, above.ToHz = "eu-169.6-lp", 169.5875e6, 169.8125e6
	return listed(EU169, []Rule{
		{Key: "eu-169-hp", FromHz: 169.4e6, ToHz: 169.475e6, Limit: milliW(500), Reference: ERP,
			Duty: 0.01, MaxChannelHz: 50e3,
			Source: srcREC7003 + ", 2006/771/EC", Clause: "Annex 1", Year: 2025, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "10 % of the hour for meter reading"},
		below, above,
	})
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
	return listed(UK868, rows)
}

// ru864Rules: the defaults of the channel plan; the law was not read.
func ru864Rules() []Rule {
	return listed(RU864, []Rule{
		{Key: "ru-864-870", FromHz: 864e6, ToHz: 870e6, Limit: 16, Reference: EIRP, Duty: 0.01,
			Access: "only parts of the band are usable",
			Source: "LoRaWAN Regional Parameters v1.0.3revA", Clause: "RU864", Year: 2018, Confidence: ConfidenceC, SecondHand: readRegions,
			Note: "16 dBm is the plan's default, the duty cycle is assumed"},
	})
}

// listed writes the band into its rows, and the hour that each duty cycle of
// the tables is counted over.
func listed(b Band, rows []Rule) []Rule {
	for i := range rows {
		rows[i].Plan = b
		if rows[i].Duty > 0 {
			rows[i].DutyWindowS = hourS
		}
	}
	return rows
}
