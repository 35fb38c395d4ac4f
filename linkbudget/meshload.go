package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// Flood is one kind of message in a mesh where every station that hears it may
// repeat it once.
type Flood struct {
	AirtimeS        float64 // of one transmission
	MessagesPerHour float64 // in the whole network
	// Forwarders is how many repeating stations are audible at the place looked
	// at. Where stations cancel their repeat after hearing others, give the
	// expected number, typically 2 to 4 in a well-connected area (judgement).
	Forwarders float64
}

// Validate returns every fault at once, or nil.
func (f Flood) Validate() error {
	return errors.Join(loadFault("airtime in s", f.AirtimeS), loadFault("messages per hour", f.MessagesPerHour), loadFault("forwarders", f.Forwarders))
}

// ChannelUtilisation returns how much of the time a place is filled by the
// floods it hears: the sum of messages per second x airtime x (1 + Forwarders).
// Above 1 more is offered than there is time. Duty cycle rules are per device;
// a place can be full although every device keeps them. Plan for 0.1 at the
// busiest place; above 0.25 most airtime goes to packets that fail (rules of
// thumb from CollisionProbability).
func ChannelUtilisation(floods ...Flood) (float64, error) {
	var errs []error
	var sum float64
	for i, f := range floods {
		if err := f.Validate(); err != nil {
			errs = append(errs, fmt.Errorf("flood %d: %w", i+1, err))
		}
		sum += f.MessagesPerHour / 3600 * f.AirtimeS * (1 + f.Forwarders)
	}
	if err := errors.Join(append(errs, loadFault("sum", sum))...); err != nil {
		return 0, fmt.Errorf("channel utilisation: %w", err)
	}
	return sum, nil
}

// CollisionProbability returns the share of packets lost to others,
// 1 - exp(-2 U h): utilisation U as of ChannelUtilisation, and h the share of
// contenders that carrier sense does not hear, 1 without carrier sense.
func CollisionProbability(utilisation, hidden float64) (float64, error) {
	if err := errors.Join(loadFault("utilisation", utilisation), shareFault("hidden share", hidden)); err != nil {
		return 0, fmt.Errorf("collision probability: %w", err)
	}
	return -math.Expm1(-2 * utilisation * hidden), nil
}

// NetworkAirtimeS returns the airtime in seconds that one message costs the
// whole network if it is sent transmissions times, at most once per station.
func (f Flood) NetworkAirtimeS(transmissions int) (float64, error) {
	if err := errors.Join(f.Validate(), countFault("transmissions", transmissions)); err != nil {
		return 0, fmt.Errorf("network airtime: %w", err)
	}
	return f.AirtimeS * float64(transmissions), nil
}

// LeastDelayS returns the least time in seconds for a message over a number of
// hops: airtime alone. Waiting before each repeat comes on top.
func (f Flood) LeastDelayS(hops int) (float64, error) {
	if err := errors.Join(f.Validate(), countFault("hops", hops)); err != nil {
		return 0, fmt.Errorf("delay: %w", err)
	}
	return f.AirtimeS * float64(hops), nil
}

// countFault refuses negative counts.
func countFault(name string, n int) error {
	if n < 0 {
		return fmt.Errorf("%s: found %d, allowed 0 or more", name, n)
	}
	return nil
}
