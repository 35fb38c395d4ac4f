package band

// Sources and conditions of this file.
const (
	srcACMA = "ACMA LIPD Class Licence 2015 (F2015L01438), AS/NZS 4268"
	srcNZ   = "General User Radio Licence for short range devices"
	srcARIB = "ARIB STD-T108 v1.4/v1.5"
	srcRP   = "LoRaWAN Regional Parameters RP002-1.0.5"
	srcKR   = "KCC rules via LoRaWAN Regional Parameters v1.0.3revA"
	noteAU  = "as varied; a remake of 2025 is reported"
)

// au915Rules: 915 to 928 MHz in Australia. The rows are alternatives.
func au915Rules() []Rule {
	return listed(AU915, []Rule{
		{Key: "au-915-fh", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP, MinHops: 20,
			Source: srcACMA, Clause: "frequency hopping", Year: 2015, Confidence: ConfidenceC,
			Note: "band and 1 W read in a secondary text, the rest from memory; " + noteAU},
		{Key: "au-915-dm", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP,
			Min6dBBWHz: 500e3, DensityDBm: milliW(25), DensityPerHz: 3e3,
			Source: srcACMA, Clause: "digital modulation", Year: 2015, Confidence: ConfidenceC,
			Note: "secondary texts disagree on the least bandwidth; " + noteAU},
		{Key: "au-915-any", FromHz: 915e6, ToHz: 928e6, Limit: milliW(3), Reference: EIRP,
			Source: srcACMA, Clause: "all transmitters", Year: 2015, Confidence: ConfidenceC, Note: noteAU},
	})
}

// nz915Rules: New Zealand, 915 to 928 and 864 to 868 MHz.
func nz915Rules() []Rule {
	return listed(NZ915, []Rule{
		{Key: "nz-915", FromHz: 915e6, ToHz: 928e6, Limit: milliW(1000), Reference: EIRP,
			Source: srcNZ, Clause: "Gazette notice", Year: 2022, Confidence: ConfidenceC,
			Note: "higher for some segments; the notice of 2020 was revoked on 1 August 2022"},
		{Key: "nz-864", FromHz: 864e6, ToHz: 868e6, Limit: milliW(4000), Reference: EIRP,
			Source: srcNZ, Clause: "Gazette notice", Year: 2022, Confidence: ConfidenceC,
			Note: "the notice of 2020 was revoked on 1 August 2022"},
	})
}

// in865Rules: India, 865 to 868 MHz, and the superseded rule of 2005.
func in865Rules() []Rule {
	return listed(IN865, []Rule{
		{Key: "in-865", FromHz: 865e6, ToHz: 868e6, Limit: 29.2, Reference: EIRP, MaxChannelHz: 200e3,
			Access: "duty and access as the gazette says",
			Source: srcRP + "; gazette GSR 853(E) of 10 December 2021", Clause: "IN865", Year: 2025, Confidence: ConfidenceC,
			Note: "29.2 dBm is the plan's default (30 in earlier editions); the gazette was not read, its general class is reported as 25 mW ERP and 1 %"},
		{Key: "in-865-2005", FromHz: 865e6, ToHz: 867e6, Limit: milliW(4000), Reference: ERP, MaxChannelHz: 200e3,
			Class:  "radio identification under a superseded rule",
			Source: "GSR 168(E) of 11 March 2005", Clause: "superseded by GSR 853(E)", Year: 2005, Confidence: ConfidenceA,
			Note: "transmitter of 1 W; historic"},
	})
}

// in433Rules: India, 433.05 to 434.79 MHz.
func in433Rules() []Rule {
	const source, clause = "India, rules for 433 MHz of 9 May 2022", "433.05-434.79 MHz"
	return listed(IN433, []Rule{
		{Key: "in-433", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, Duty: 0.1,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceB},
		{Key: "in-433-wide", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(1), Reference: ERP,
			DensityDBm: -13, DensityPerHz: 10e3, DensityOverHz: 250e3,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceB},
		{Key: "in-433-narrow", FromHz: 433.05e6, ToHz: 434.79e6, Limit: milliW(10), Reference: ERP, MaxChannelHz: 25e3,
			Source: source, Clause: clause, Year: 2022, Confidence: ConfidenceB},
	})
}

// jp920Rules: Japan. 20 mW into at most 3 dBi makes 16 dBm EIRP; whether less
// power may buy more gain was not read, so more gain is refused.
func jp920Rules() []Rule {
	row := Rule{Limit: milliW(20), Reference: Conducted, GainThresholdDBi: 3, EIRPCap: 16, MaxChannelHz: 200e3,
		Source: srcARIB, Year: 2023, Confidence: ConfidenceB, Note: "200 kHz unit channels"}
	listen, duty, both := row, row, row

	listen.Key, listen.FromHz, listen.ToHz = "jp-920-lbt", 920.6e6, 923.4e6
	listen.Clause = "channels 24-38, listening 5 ms"
	listen.ListenS, listen.ListenThresholdDBm, listen.MaxTxS = 5e-3, -80, 4
	listen.Note += "; 4 s per transmission from memory"

	duty.Key, duty.FromHz, duty.ToHz = "jp-920-dc", 920.6e6, 923.4e6
	duty.Clause, duty.Confidence = "channels 24-38, duty cycle since v1.4", ConfidenceC
	duty.Access = "a duty cycle instead of listening, of which the table has no figure"

	both.Key, both.FromHz, both.ToHz = "jp-922-928", 922.4e6, 928e6
	both.Clause = "channels 37-61, listening 128 µs"
	both.ListenS, both.DwellS, both.Duty = 128e-6, 0.4, 0.1
	both.Note += "; 360 s per hour from memory"
	return listed(JP920, []Rule{listen, duty, both})
}

// kr920Rules: Korea, 920.9 to 923.3 MHz in two steps of power.
func kr920Rules() []Rule {
	row := Rule{Reference: EIRP, MaxChannelHz: 200e3, ListenS: 6e-3, ListenThresholdDBm: -65, ListenBWHz: 200e3,
		Access: "or a duty cycle instead of listening, of which the table has no figure",
		Source: srcKR, Clause: "2.9", Year: 2018, Confidence: ConfidenceB}
	low, high := row, row
	low.Key, low.FromHz, low.ToHz, low.Limit = "kr-920-low", 920.9e6, 921.9e6, 10
	high.Key, high.FromHz, high.ToHz, high.Limit = "kr-920-high", 922.1e6, 923.3e6, 14
	high.Note = "end devices; base stations 23 dBm from memory"
	return listed(KR920, []Rule{low, high})
}

// as923Rules: the defaults of the four groups; which country is in which group
// changes with the edition.
func as923Rules(b Band) []Rule {
	edges := map[Band][2]float64{
		AS9231: {915e6, 928e6}, AS9232: {920e6, 923e6}, AS9233: {915e6, 921e6}, AS9234: {917e6, 920e6},
	}[b]
	note := "dwell time where the national rule says so; the duty cycle is the profile's default"
	if b == AS9231 {
		note += "; national parts of the band, such as 920-925 MHz"
	}
	return listed(b, []Rule{
		{Key: string(b), FromHz: edges[0], ToHz: edges[1], Limit: 16, Reference: EIRP, Duty: 0.01, DwellS: 0.4,
			Source: srcRP, Clause: "3.10", Year: 2025, Confidence: ConfidenceB, Note: note},
	})
}

// cn470Rules: China, 470 to 510 MHz.
func cn470Rules() []Rule {
	return listed(CN470, []Rule{
		{Key: "cn-470", FromHz: 470e6, ToHz: 510e6, Limit: 19.15, Reference: EIRP, MaxTxS: 1, MaxChannelHz: 200e3,
			Access: "local restrictions",
			Source: "MIIT rules via a LoRaWAN reference stack", Clause: "CN470", Year: 2024, Confidence: ConfidenceB,
			Note: "50 mW ERP; 1 s and 200 kHz from memory"},
	})
}
