package linkbudget

import (
	"github.com/polereach/polereach/linkbudget/lora"
)

// receiverNoise is the noise at a receiver's input in the modem's bandwidth,
// part by part.
type receiverNoise struct {
	thermal DBm // kT0B
	// What each part lifts the floor by, in this order.
	figure, external, stated, nearby DB
}

// noise collects the receiver's own noise, the man-made noise that comes
// through the feeder, the stated rise, and what a nearby transmitter adds. The
// station must be valid.
func (s *Station) noise(env *Environment) receiverNoise {
	n := receiverNoise{
		thermal: lora.ThermalNoise(env.Modem.BWHz),
		figure:  s.noiseFigure(),
		stated:  s.NoiseRiseDB,
	}
	if s.ExternalNoiseDB > 0 {
		n.external = lora.SystemNoise{
			ExternalDB: s.ExternalNoiseDB, FeederLossDB: s.FeedLoss(env.FreqHz), NoiseFigureDB: n.figure,
		}.Rise()
	}
	if s.Nearby != nil {
		// All other noise counts as the receiver's own; over 100 dB, where no
		// radio works, the model ends.
		n.nearby, _, _ = s.Nearby.Rise(env.Modem.BWHz, min(n.figure+n.external+n.stated, 100))
	}
	return n
}

// NoiseFloor is the noise at the receiver in the modem's bandwidth; both must be valid.
func (s Station) NoiseFloor(env Environment) DBm { return s.noise(&env).floor() }

func (n receiverNoise) floor() DBm {
	return n.thermal.Add(n.figure + n.external + n.stated + n.nearby)
}

// terms appends the parts that lift the floor; they add up to it from kT0B.
func (n receiverNoise) terms(terms []Term) []Term {
	terms = append(terms, Term{"noise figure", n.figure, "as given"})
	add := func(name string, rise DB, source string) {
		if rise > 0 {
			terms = append(terms, Term{name, rise, source})
		}
	}
	add("man-made noise", n.external, "ITU-R P.372, system noise over receiver and feeder")
	add("stated noise rise", n.stated, "as given")
	add("nearby transmitter", n.nearby, "phase noise and blocking figures of the radio chips")
	return terms
}
