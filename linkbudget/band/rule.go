package band

import (
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Reference says where a row counts power.
type Reference uint8

// Conducted is at the radio's connector, ERP over a half-wave dipole, EIRP over
// an isotropic radiator, FieldStrength an EIRP given as a field at a distance.
const (
	Conducted Reference = iota + 1
	ERP
	EIRP
	FieldStrength
)

// String returns "conducted", "ERP", "EIRP" or, for a field strength, "EIRP"
// too, since that is the form in which it is compared.
func (r Reference) String() string {
	if r < Conducted || r > FieldStrength {
		return fmt.Sprintf("Reference(%d)", uint8(r))
	}
	return [...]string{"conducted", "ERP", "EIRP", "EIRP"}[r-Conducted]
}

// Confidence tells how a row was learnt; where its parts differ, the lowest.
type Confidence string

// ConfidenceA: read in the rule itself. ConfidenceB: read in an official text
// or a standard that quotes the rule, or in secondary texts that agree.
// ConfidenceC: one secondary text, secondary texts that differ, or memory.
const (
	ConfidenceA Confidence = "A"
	ConfidenceB Confidence = "B"
	ConfidenceC Confidence = "C"
)

// Rule is one row of a band table. In every optional field zero means that the
// table says nothing.
type Rule struct {
	Key          string  // unique, lower case
	Plan         Band    // the band it is listed under
	FromHz, ToHz float64 // the occupied channel must lie inside, edges included

	// Power. Limit is a conducted power, ERP or EIRP as Reference says. For a
	// field strength it is the equal EIRP of FieldVPerM at FieldAtM metres.
	Limit      radio.DBm
	Reference  Reference
	FieldVPerM float64
	FieldAtM   float64
	EIRPCap    radio.DBm // beside the limit

	// Gain rule. Above the threshold a conducted limit falls by GainSlope dB for
	// each dB of gain; slope 0 with a threshold forbids more gain.
	GainThresholdDBi radio.DB
	GainSlope        float64

	// Spectral density in the reference of Limit: DensityDBm in DensityPerHz,
	// for bandwidths wider than DensityOverHz.
	DensityDBm    radio.DBm
	DensityPerHz  float64
	DensityOverHz float64

	// Time. Duty is a fraction of DutyWindowS; Polite access may replace it.
	// DwellS holds per transmission where both windows are zero, else per
	// hopping channel in DwellWindowS or in DwellWindowPerHopS times channels.
	Duty               float64
	DutyWindowS        float64
	Polite             bool
	MaxTxS             float64 // one transmission
	MinOffS            float64 // silence after one
	DwellS             float64
	DwellWindowS       float64
	DwellWindowPerHopS float64

	// Listening before talking.
	ListenS            float64
	ListenThresholdDBm radio.DBm
	ListenBWHz         float64

	// Bandwidth and hopping. Max20dBBWHz must not be reached: a LoRa carrier is
	// wider at -20 dB than its nominal bandwidth.
	Min6dBBWHz   float64
	Min20dBBWHz  float64
	Max20dBBWHz  float64
	MaxChannelHz float64 // nominal LoRa bandwidth, included
	MinHops      int
	MaxHops      int

	Class  string // kind of device the row is for, where a plain node is not one
	Access string // a condition in words that is not judged

	Source     string
	Clause     string
	Year       int // of the text the figures come from
	Confidence Confidence
	// SecondHand says what was read where the source itself was not; empty with
	// ConfidenceA alone.
	SecondHand string
	Note       string
}

// milliW returns a power in milliwatts as a level.
func milliW(p float64) radio.DBm { return radio.DBm(10 * math.Log10(p)) }

// fieldEIRP is the EIRP whose free-space field at atM metres is vPerM volts per metre:
// (E d)²/30 watts.
func fieldEIRP(vPerM, atM float64) radio.DBm {
	return radio.DBm(20*math.Log10(vPerM*atM) - 10*math.Log10(30) + 30)
}

// spread is by how many decibels a flat carrier of bwHz exceeds its part in perHz.
func spread(bwHz, perHz float64) radio.DB {
	return radio.DB(10 * math.Log10(max(bwHz/perHz, 1)))
}

// densityHolds tells whether the row limits the density at a bandwidth.
func (r Rule) densityHolds(bwHz float64) bool {
	return r.DensityPerHz > 0 && bwHz > r.DensityOverHz
}

// holds tells whether a channel lies inside the row's edges. One hertz is
// forgiven: frequencies arrive as decimal megahertz.
func (r Rule) holds(loHz, hiHz float64) bool {
	const forgivenHz = 1
	return loHz >= r.FromHz-forgivenHz && hiHz <= r.ToHz+forgivenHz
}
