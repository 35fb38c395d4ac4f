package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// AlohaSuccess returns the share of packets that meet no other on the air,
// 0 to 1, when stations send at random: exp(-2 G q), pure ALOHA.
//
// load is G, the traffic on one channel and spreading factor in Erlang: the sum
// over all audible transmitters of packets per second times airtime, 0 or more.
// destroyed is q, the share of overlapping packets strong enough to destroy the
// wanted one, 0 to 1; 1 without capture (see MinSIR).
func AlohaSuccess(load, destroyed float64) (float64, error) {
	if err := errors.Join(loadFault("load", load), shareFault("destroyed share", destroyed)); err != nil {
		return 0, fmt.Errorf("aloha: %w", err)
	}
	return math.Exp(-2 * load * destroyed), nil
}

// AlohaThroughput returns the load that gets through without capture,
// G exp(-2 G): at most 0.184 Erlang, at 0.5 offered.
func AlohaThroughput(load float64) (float64, error) {
	success, err := AlohaSuccess(load, 1)
	if err != nil {
		return 0, err
	}
	return load * success, nil
}

// neededPreambleSymbols is how many of the last preamble symbols a receiver needs:
// an interferer that has ended before them does no harm. Bor et al., Do LoRa
// Low-Power Wide-Area Networks Scale?, ACM MSWiM 2016 (from memory).
const neededPreambleSymbols = 5

// VulnerableTimeS returns how long, in seconds, the start of another packet of
// the same kind destroys one: 2 ToA - (preamble - 5) Ts, and at most 2 ToA. Use
// it for 2 ToA in the load where preambles are long. Errors are those of
// TimeOnAir.
func VulnerableTimeS(m Modem, p Packet, f Family) (float64, error) {
	airtime, err := TimeOnAir(m, p, f)
	if err != nil {
		return 0, fmt.Errorf("vulnerable time: %w", err)
	}
	spare := max(0, p.PreambleSymbols-neededPreambleSymbols)
	return 2*airtime.TotalS - float64(spare)*airtime.SymbolS, nil
}

// loadFault refuses what is not a finite number of 0 or more.
func loadFault(name string, v float64) error {
	if !(v >= 0 && !math.IsInf(v, 1)) {
		return fmt.Errorf("%s: found %v, allowed 0 or more", name, v)
	}
	return nil
}

// shareFault refuses what is not between 0 and 1.
func shareFault(name string, v float64) error {
	if !(v >= 0 && v <= 1) {
		return fmt.Errorf("%s: found %v, allowed 0 to 1", name, v)
	}
	return nil
}
