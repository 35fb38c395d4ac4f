package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/internal/words"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Verdict is the answer in one word, as text too; zero is none. String, or %s, gives
// the word; string(v) does not, and go vet says so.
type Verdict int8

// The four answers.
const (
	Reaches  Verdict = iota + 1 // "reaches": probable enough, see Environment.WantPercent
	Marginal                    // "marginal": more probable than not, but not enough
	Short                       // "short": less probable than not
	Unknown                     // "unknown": terrain is missing on the path
)

var verdictWords = words.List{"", "reaches", "marginal", "short", "unknown"}

// String returns the word, which is empty for none.
func (v Verdict) String() string { return verdictWords.Of(int8(v)) }

// MarshalText returns the word. The error is of a value that is none of the
// constants and not zero.
func (v Verdict) MarshalText() ([]byte, error) { return verdictWords.Text("verdict", int8(v)) }

// UnmarshalText takes a word, or nothing for none. The error lists what is allowed.
func (v *Verdict) UnmarshalText(text []byte) error {
	return words.Read(verdictWords, "verdict", text, v)
}

// Term is one line of an itemised budget.
type Term struct {
	Name   string
	DB     DB
	Source string // the standard, edition and section it comes from
}

// Result is the answer for one path. When Verdict is Unknown only the names,
// the length, the azimuths, Warnings and Gaps are set.
type Result struct {
	From, To string
	Summary
	// GroundAM and GroundBM are the ground under each end, m above the datum.
	GroundAM, GroundBM float64
	// HeightAM and HeightBM are the antennas above the ground, m.
	HeightAM, HeightBM float64
	// ReckonedAM and ReckonedBM are the heights from which the path is reckoned, see
	// [Station.ReckonedM].
	ReckonedAM, ReckonedBM float64

	// Worst is the point of least relative clearance and its place; it is not
	// set (HasWorst false) on a path without inner points away from the ends.
	Worst    diffraction.Clearance
	HasWorst bool
	WorstAt  Place
	// StandsM are the heights of what stands on the ground that are part of the path, at its
	// points, m; nil for none. WorstStandsM is how much of Worst.GroundM that is, m.
	StandsM      []float64
	WorstStandsM float64
	// Obstacles are the runs of ground that cut the line of sight.
	Obstacles []diffraction.Obstacle

	// Terms add up to LossDB.
	Terms       []Term
	Diffraction diffraction.Loss
	// SingleEdgeDB is the exact knife-edge loss of the one obstacle on a path
	// that has exactly one: the lower bound beside DiffractionDB.
	SingleEdgeDB *DB
	// Reflection describes the ground-reflected ray of a path with line of
	// sight, nil otherwise. It is never part of LossDB.
	Reflection *Reflection

	// Forward is A transmitting to B, Backward the reverse.
	Forward, Backward Direction
	// Doubt is how far the loss may be off.
	Doubt Doubt
	// Calibrated is what Environment.Calibration did, nil without one.
	Calibrated *Calibrated
	// KFactor is the effective earth radius factor of the verdict, PessimisticK that of
	// the path where the air bends less.
	KFactor, PessimisticK float64

	// Gaps are the stretches without a known height.
	Gaps []terrain.Gap
	// Warnings say where a model is used outside its stated range.
	Warnings []string
}

// Place is a point of the path on the ground; Known is false for a profile
// without coordinates.
type Place struct {
	LonDeg, LatDeg float64
	Known          bool
}

// Weaker returns the direction with the smaller margin; the forward one if equal.
func (r *Result) Weaker() *Direction {
	if backwardIsWeaker(&r.Forward.Level, &r.Backward.Level) {
		return &r.Backward
	}
	return &r.Forward
}

// Sightline is the line of sight with which the clearances of the result were judged,
// over its profile p, nothing over nil; of use where Verdict is not Unknown.
func (r *Result) Sightline(p *terrain.Profile, freqHz float64) diffraction.Sightline {
	if p == nil {
		return diffraction.Sightline{}
	}
	stands := r.StandsM
	if len(stands) != len(p.DistM) {
		stands = nil
	}
	return diffraction.Sightline{
		DistM: p.DistM, GroundM: p.HeightM, ClutterM: stands,
		AHeightM: r.GroundAM + r.ReckonedAM, BHeightM: r.GroundBM + r.ReckonedBM,
		EffectiveRadiusM: radio.EffectiveRadiusM(r.KFactor), WavelengthM: radio.WavelengthM(freqHz),
	}
}

// Delivery returns the share of packets that arrive at this median ratio to the noise,
// averaged over Fading; 0 to 1. It says nothing of the doubt of a prediction.
func (e Environment) Delivery(snr DB) (float64, error) {
	return e.packetError().Delivery(snr, e.Fading)
}

// packetError is the packet for which delivery is told, sent by the modem.
func (e *Environment) packetError() lora.PacketError {
	packet := e.Packet
	if packet == (Packet{}) {
		packet = DefaultPacket
	}
	return lora.PacketError{Modem: e.Modem, Packet: packet, Family: e.Family}
}
