package band

// Sources and conditions of this file.
const (
	srcACMA = "ACMA LIPD Class Licence 2015 (F2015L01438), AS/NZS 4268"
	srcNZ   = "General User Radio Licence for short range devices"
	srcARIB = "ARIB STD-T108 v1.5, Radio Equipment Regulations art. 49-14"
	srcRP   = "LoRaWAN Regional Parameters RP002-1.0.5"
	srcKR   = "Korean rules for 917-923.5 MHz, LoRaWAN Regional Parameters v1.0.3revA"
	srcIN   = "GSR 853(E) of 10 December 2021"
	noteAU  = "as varied; a remake of 2025 is reported"
)

// What was read instead, all in 2026.
const (
	readAU = "band and 1 W from a secondary text, the rest from memory"
	readIN = "one quotation of the notification, which may not hold all of the class; the notification itself was not read"
	readJP = "ARIB's summary of the versions for edges and bandwidth, a quotation of art. 49-34 for the unit channels; " +
		"times from memory"
	readKR = "a standards body's slides for channels and times, the LoRaWAN document for the powers; " +
		"the rules themselves were not read"
)

// au915Rules: 915 to 928 MHz in Australia. The rows are alternatives.
func au915Rules() []Rule {
	return []Rule{
		{Key: "au-915-fh", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP, MinHops: 20,
			Source: srcACMA, Clause: "frequency hopping", Year: 2015, Confidence: ConfidenceC,
			SecondHand: readAU, Note: noteAU},
		{Key: "au-915-dm", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP,
			Min6dBBWHz: 500e3, DensityDBm: milliW(25), DensityPerHz: 3e3,
			Source: srcACMA, Clause: "digital modulation", Year: 2015, Confidence: ConfidenceC,
			SecondHand: readAU,
			Note:       "secondary texts disagree on the least bandwidth; " + noteAU},
		{Key: "au-915-any", FromHz: 915e6, ToHz: 928e6, Limit: milliW(3), Reference: EIRP,
			Source: srcACMA, Clause: "all transmitters", Year: 2015, Confidence: ConfidenceC,
			SecondHand: readAU, Note: noteAU},
	}
}

// nz915Rules: New Zealand, 915 to 928 and 864 to 868 MHz.
func nz915Rules() []Rule {
	return []Rule{
		{Key: "nz-915", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP,
			Source: srcNZ, Clause: "Gazette notice", Year: 2022, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "higher for some segments; the notice of 2020 was revoked on 1 August 2022"},
		{Key: "nz-864", FromHz: 864e6, ToHz: 868e6, Limit: milliW(4000), Reference: EIRP,
			Source: srcNZ, Clause: "Gazette notice", Year: 2022, Confidence: ConfidenceC, SecondHand: readMemory,
			Note: "the notice of 2020 was revoked on 1 August 2022"},
	}
}

// in865Rules: India, 865 to 868 MHz. The general class is for narrow hopping; a
// fixed LoRa carrier has no row of its own, and the strong class is for one use.
func in865Rules() []Rule {
	return []Rule{
		{Key: "in-865", FromHz: 865e6, ToHz: 868e6, Limit: milliW(25), Reference: ERP, Duty: 0.01,
			MinHops: 58, MaxChannelHz: 50e3,
			Source: srcIN, Clause: "non-specific short-range devices", Year: 2021,
			Confidence: ConfidenceC, SecondHand: readIN,
			Note: "the duty cycle counts all channels together"},
		{Key: "in-865-data", FromHz: 865e6, ToHz: 868e6, Limit: milliW(500), Reference: ERP, Duty: 0.025,
			MaxChannelHz: 200e3, Class: "tracking, tracing and data acquisition with adaptive power control",
			Source: srcIN, Clause: "tracking, tracing and data acquisition", Year: 2021,
			Confidence: ConfidenceC, SecondHand: readIN,
			Note: "10 % of the hour for network access points; in certain channels alone where the CEPT row is followed"},
	}
}

// in433Rules: India, 433.05 to 434.79 MHz.
func in433Rules() []Rule {
	const source, clause, read = "India, rules for 433 MHz of 9 May 2022", "433.05-434.79 MHz", "a secondary text"
	return []Rule{
		{Key: "in-433", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, Duty: 0.1,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceC, SecondHand: read},
		{Key: "in-433-wide", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(1), Reference: ERP,
			DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceC, SecondHand: read},
		{Key: "in-433-narrow", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, MaxChannelHz: 25e3,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceC, SecondHand: read},
	}
}

// jp920Rules: Japan, unit channels of 200 kHz whose centres lie at 920.6 MHz (channel 24) and every
// 200 kHz above: the rows' edges are those of the outermost channels. One to five of them together
// hold a wider carrier, since version 1.5 up to twenty; times are shorter then above 922.3 MHz. 20
// mW into at most 3 dBi makes 16 dBm EIRP. Less power may buy more gain by the neighbouring
// articles 49-9 and 49-34; that of these stations was not read, so more gain is refused.
func jp920Rules() []Rule {
	row := Rule{Limit: milliW(20), Reference: Conducted, GainThresholdDBi: 3, EIRPCap: 16, MaxChannelHz: 1e6,
		Source: srcARIB, Year: 2023, Confidence: ConfidenceC, SecondHand: readJP,
		Note: "200 kHz unit channels, one to five together; 250 and 500 kHz take two and three"}
	listen, duty, both := row, row, row

	listen.Key, listen.FromHz, listen.ToHz = "jp-920-lbt", 920.5e6, 923.5e6
	listen.Clause = "channels 24-38, listening 5 ms"
	listen.ListenS, listen.ListenThresholdDBm, listen.MaxTxS = 5e-3, -80, 4

	duty.Key, duty.FromHz, duty.ToHz = "jp-920-dc", 920.5e6, 923.5e6
	duty.Clause = "channels 24-38, duty cycle since v1.4"
	duty.Access = "a duty cycle instead of listening, of which the table has no figure"

	both.Clause = "channels 33-61, listening 128 µs"
	both.FromHz, both.ToHz, both.ListenS, both.Duty = 922.3e6, 928.1e6, 128e-6, 0.1
	rows := []Rule{listen, duty}
	for _, s := range []struct {
		key          string
		widthHz, txS float64
	}{{"jp-922-928-1", 200e3, 0.4}, {"jp-922-928-2", 400e3, 0.2}, {"jp-922-928-5", 1e6, 0.1}} {
		both.Key, both.MaxChannelHz, both.DwellS = s.key, s.widthHz, s.txS
		rows = append(rows, both)
	}
	return rows
}

// kr920Rules: Korea, channels of 200 kHz whose centres lie at 917.1 MHz and every
// 200 kHz above, up to 923.3. The channel plan begins with channel 20 (920.9 MHz);
// power steps up between channel 25 (921.9) and 26 (922.1).
func kr920Rules() []Rule {
	row := Rule{Reference: EIRP, MaxChannelHz: 200e3, ListenS: 5e-3, ListenThresholdDBm: -65, MaxTxS: 4, MinOffS: 0.05,
		Access: "or, instead of listening, 2 % in any 20 s, or hopping over 16 channels with 0.4 s on each",
		Source: srcKR, Clause: "channels 20-32; 2.9 for the powers", Year: 2018, Confidence: ConfidenceC, SecondHand: readKR}
	low, high := row, row
	low.Key, low.FromHz, low.ToHz, low.Limit = "kr-920-low", 920.8e6, 922e6, 10
	high.Key, high.FromHz, high.ToHz, high.Limit = "kr-920-high", 922e6, 923.4e6, 14
	high.Note = "end devices; base stations 23 dBm from memory"
	return []Rule{low, high}
}

// as923Rules: the defaults of the four groups; which country is in which group
// changes with the edition.
func as923Rules(b Band, fromHz, toHz float64) func() []Rule {
	note := "dwell time where the national rule says so; the duty cycle is the profile's default"
	if b == AS9231 {
		note += "; national parts of the band, such as 920-925 MHz"
	}
	return func() []Rule {
		return []Rule{{Key: string(b), FromHz: fromHz, ToHz: toHz, Limit: 16, Reference: EIRP, Duty: 0.01, DwellS: 0.4,
			Source: srcRP, Clause: "3.10", Year: 2025, Confidence: ConfidenceC, SecondHand: readRegions, Note: note}}
	}
}

// cn470Rules: China, 470 to 510 MHz.
func cn470Rules() []Rule {
	return []Rule{
		{Key: "cn-470", FromHz: 470e6, ToHz: 510e6, Limit: 19.15, Reference: EIRP, MaxTxS: 1, MaxChannelHz: 200e3,
			Access: "local restrictions",
			Source: "MIIT rules via a LoRaWAN reference stack", Clause: "CN470", Year: 2024,
			Confidence: ConfidenceC, SecondHand: "that stack's figures; 1 s and 200 kHz from memory",
			Note: "50 mW ERP"},
	}
}
