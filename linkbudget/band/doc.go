// Package band holds what licence-exempt band tables say about a small LoRa
// transmitter, and compares one use of a channel with them: power, antenna
// gain, spectral density, bandwidth, hopping, dwell time and duty cycle.
//
// # What it is and is not
//
// The rows are notes taken from texts, not the law. Each carries its source,
// clause, year and a Confidence: A read in the rule, B read in an official text or
// a standard that quotes it or in secondary texts that agree, C in one secondary text,
// in several that differ, or from memory. Every row but those of A is
// second-hand, and text and JSON say what was read instead. Limits
// change, national annexes differ, and equipment approval is a question of its
// own. Check therefore reports what the table says and how a use compares with
// it; everything it prints ends in "check locally". A use beyond the table is
// a finding, never an error.
//
// # How rows are applied
//
// The occupied channel, centre ± half the LoRa bandwidth, must lie inside a
// row's edges, or the row does not hold. Several rows over one frequency are
// alternatives (in the United States digital modulation, hopping, the hybrid
// of both, or the low field strength): keeping one of them is enough. A row for
// a class of device that a plain node is not (Rule.Class: networked devices
// with adaptive power control, and the like) is shown but never relied on.
//
// Powers are compared where the row counts them:
//
//	conducted  Tx at the radio's connector; a feeder earns no credit
//	EIRP       Tx - feeder loss + gain over isotropic
//	ERP        EIRP - 2.15 dB
//	V/m at d   EIRP = (E d)²/30, free space
//
// and, with a gain rule of slope 1 above G0 dBi, the power that reaches the
// antenna may be at most the conducted limit less (G - G0), so that the EIRP
// stays at limit + G0. Limits stand in the tables in whole milliwatts that the
// trade rounds (25 mW is 13.98 dBm and called 14 dBm): up to 0.05 dB above a
// limit counts as kept.
//
// The spectral density is that of a flat carrier, P - 10 log(BW/B). The 6 dB
// bandwidth of LoRa at 500 kHz is reported as about 635 kHz (Semtech AN1200.62,
// read in a secondary text); its 20 dB bandwidth is taken to lie between one
// and two nominal bandwidths.
//
// Not judged, only said: listening before talking (a LoRa channel-activity
// detector does not hear other systems), spacing and equal use of hopping
// channels, adaptive power control.
//
// # Polite access
//
// "Polite" rows accept listening before talking with adaptive frequency
// agility, as ETSI EN 300 220-1 defines it, instead of the duty cycle. From
// memory: one transmission lasts at most 1 s, a dialogue 4 s, then 100 ms of
// silence on the channel, and 100 s per hour in each 200 kHz.
//
// # Amateur service
//
// Amateur operation is under different law: more power and gain, but a
// licence, identification by call sign, no message encryption and no
// commercial traffic (United States: 47 CFR 97.113(a)(4), 97.119; bands
// 420-450 and 902-928 MHz in 97.301, 97.303, 97.313; from memory). 433 MHz lies
// in the amateur 430-440 MHz of ITU Region 1; 902-928 MHz is amateur in Region
// 2 only (in Brazil 902-907.5 and 915-928 MHz, secondary). A licence-exempt
// node gains no rights from it, and no row here stands for it.
//
// # Radio-frequency exposure
//
// ExposureDistance gives the far-field distance at which the power density
// falls to the general-public limit of the FCC or of ICNIRP 2020.
package band
