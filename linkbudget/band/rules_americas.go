package band

import "strings"

// Sources and conditions of this file.
const (
	srcCFR   = "47 CFR Part 15"
	srcRSS   = "ISED RSS-247 Issue 4"
	srcATO   = "Anatel Res. 680/2017, Ato 14448/2017"
	readKDB  = "secondary texts that quote 15.247(f) and the KDB"
	readRSS  = "secondary texts for number, dates and the clause of hybrids; the values from memory, as 47 CFR 15.247"
	readATO  = "secondary texts"
	readHops = "Anatel's consultation on the text for channels and power; " +
		"the times from two of three public sources, which differ"
	hopEqual = "channels used equally, in pseudo-random order, spaced by 25 kHz or the 20 dB bandwidth, whichever is more"
)

// us915Rules: 902 to 928 MHz. The rows are alternatives. A fixed carrier narrower than 500 kHz
// keeps neither the digital-modulation row (6 dB bandwidth) nor a hopping row; the plain
// alternative in the text is 15.249. How far particular equipment is authorised otherwise is a
// question of certification that this package does not answer.
func us915Rules() []Rule {
	return []Rule{
		{Key: "us-902-dts", FromHz: 902e6, ToHz: 928e6, Limit: milliW(1000), Reference: Conducted,
			GainThresholdDBi: 6, GainSlope: 1, Min6dBBWHz: 500e3, DensityDBm: 8, DensityPerHz: 3e3,
			Source: srcCFR, Clause: "15.247(a)(2), (b)(3), (b)(4), (e)", Year: 2026, Confidence: ConfidenceA},
		{Key: "us-902-fhss50", FromHz: 902e6, ToHz: 928e6, Limit: milliW(1000), Reference: Conducted,
			GainThresholdDBi: 6, GainSlope: 1, MinHops: 50, Max20dBBWHz: 250e3, DwellS: 0.4, DwellWindowS: 20, Access: hopEqual,
			Source: srcCFR, Clause: "15.247(a)(1)(i), (b)(2)", Year: 2026, Confidence: ConfidenceA},
		{Key: "us-902-fhss25", FromHz: 902e6, ToHz: 928e6, Limit: milliW(250), Reference: Conducted,
			GainThresholdDBi: 6, GainSlope: 1, MinHops: 25, MaxHops: 49, Min20dBBWHz: 250e3, Max20dBBWHz: 500e3,
			DwellS: 0.4, DwellWindowS: 10, Access: hopEqual,
			Source: srcCFR, Clause: "15.247(a)(1)(i), (b)(2)", Year: 2026, Confidence: ConfidenceA},
		{Key: "us-902-hybrid", FromHz: 902e6, ToHz: 928e6, Limit: milliW(1000), Reference: Conducted,
			GainThresholdDBi: 6, GainSlope: 1, MinHops: 2, DwellS: 0.4, DwellWindowPerHopS: 0.4,
			DensityDBm: 8, DensityPerHz: 3e3, Access: "must really hop; density measured with hopping off",
			Source: srcCFR, Clause: "15.247(f), FCC KDB 558074 v05r02", Year: 2026,
			Confidence: ConfidenceB, SecondHand: readKDB,
			Note: "power as the digital-modulation or hopping class asks; no number of channels in the text"},
		{Key: "us-902-249", FromHz: 902e6, ToHz: 928e6, Limit: fieldEIRP(0.05, 3), Reference: FieldStrength,
			FieldVPerM: 0.05, FieldAtM: 3,
			Source: srcCFR, Clause: "15.249(a)", Year: 2026, Confidence: ConfidenceA,
			Note: "any modulation; quasi-peak detector, 15.35(a)"},
	}
}

// ca915Rules: as the United States, but the antenna is bounded by an EIRP.
func ca915Rules() []Rule {
	var rows []Rule
	for _, r := range us915Rules() {
		if r.Reference != Conducted {
			continue // no Canadian low-field row was read
		}
		r.Key = "ca-" + strings.TrimPrefix(r.Key, "us-")
		r.GainThresholdDBi, r.GainSlope = 0, 0
		r.EIRPCap = milliW(4000)
		if r.MinHops == 25 {
			r.EIRPCap = milliW(1000)
		}
		r.Source, r.Clause, r.Year, r.Confidence = srcRSS, "clauses renumbered, number not read", 2025, ConfidenceC
		r.SecondHand = readRSS
		r.Note = "in force since 24 July 2025; since 24 January 2026 new equipment is certified to Issue 4 alone"
		if r.DwellWindowPerHopS > 0 {
			r.Clause = "6.4"
			r.Note = "Issue 4 tightened the definition of hybrids; " + r.Note
		}
		rows = append(rows, r)
	}
	return rows
}

// br915Rules: 902 to 907.5 and 915 to 928 MHz, each with the same rows. At 20 dB
// a hopping channel below 250 kHz asks 35 channels, a wider one 17; fewer than
// 35 channels have a quarter of the power.
func br915Rules() []Rule {
	const noteGain = "the table says 6 dBi; one dB less per dB above is read as in 47 CFR 15.247"
	const noteWide = "the upper bound of 500 kHz is taken from 47 CFR 15.247; " + noteGain
	hop := Rule{Limit: milliW(1000), Reference: Conducted, GainThresholdDBi: 6, GainSlope: 1,
		MinHops: 35, Max20dBBWHz: 250e3, DwellS: 0.4, DwellWindowS: 14, Access: hopEqual,
		Source: srcATO, Clause: "Annex I, items 10.2.5.1 to 10.2.5.3; 10.5 for the antenna", Year: 2017,
		Confidence: ConfidenceC, SecondHand: readHops, Note: noteGain}
	wide := hop
	wide.Min20dBBWHz, wide.Max20dBBWHz, wide.DwellWindowS, wide.Note = 250e3, 500e3, 7, noteWide
	few := wide
	few.Limit, few.MinHops, few.MaxHops = milliW(250), 17, 34
	var rows []Rule
	for _, s := range []struct {
		name         string
		fromHz, toHz float64
	}{{"br-902", 902e6, 907.5e6}, {"br-915", 915e6, 928e6}} {
		hop.Key, wide.Key, few.Key = s.name+"-fhss35", s.name+"-fhss35-wide", s.name+"-fhss17-wide"
		for _, r := range []Rule{
			{Key: s.name + "-dts", Limit: milliW(1000), Reference: Conducted,
				GainThresholdDBi: 6, GainSlope: 1, Min6dBBWHz: 500e3, DensityDBm: 8, DensityPerHz: 3e3,
				Source: srcATO, Clause: "item 10.5 for the antenna", Year: 2017,
				Confidence: ConfidenceB, SecondHand: readATO, Note: noteGain},
			hop, wide, few,
			{Key: s.name + "-low", Limit: fieldEIRP(0.05, 3), Reference: FieldStrength, FieldVPerM: 0.05, FieldAtM: 3,
				Source: srcATO, Clause: "table I", Year: 2017, Confidence: ConfidenceB, SecondHand: readATO},
		} {
			r.FromHz, r.ToHz = s.fromHz, s.toHz
			rows = append(rows, r)
		}
	}
	return rows
}
