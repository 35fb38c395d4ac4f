package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// RetriedDelivery returns the probability that a packet arrives when it is sent
// up to 1 + retries times over a link of delivery p: 1 - (1-p)^(retries+1).
// Each try counts as independent, which fades longer than the pause between
// tries are not.
func RetriedDelivery(p float64, retries int) (float64, error) {
	if err := errors.Join(shareFault("delivery", p), countFault("retries", retries)); err != nil {
		return 0, fmt.Errorf("retries: %w", err)
	}
	return -math.Expm1((float64(retries) + 1) * math.Log1p(-p)), nil
}

// ExpectedTransmissions returns how often a packet is sent on average if it is
// repeated up to retries times until it arrives: (1 - (1-p)^(retries+1)) / p.
func ExpectedTransmissions(p float64, retries int) (float64, error) {
	arrives, err := RetriedDelivery(p, retries)
	if err != nil {
		return 0, err
	}
	if p < 1e-12 { // every try is used
		return float64(retries) + 1, nil
	}
	return arrives / p, nil
}

// ETX returns the expected number of transmissions until a packet and its
// acknowledgement have come through, 1/(forward x reverse); without
// acknowledgement pass 1 for reverse. A delivery of 0 is an error, for no
// number of transmissions is enough. De Couto et al., MobiCom 2003 (from
// memory).
func ETX(forward, reverse float64) (float64, error) {
	var errs []error
	for _, d := range []struct {
		name  string
		share float64
	}{{"forward", forward}, {"reverse", reverse}} {
		if !(d.share >= 1e-9 && d.share <= 1) {
			errs = append(errs, fmt.Errorf("%s delivery: found %v, allowed 1e-9 to 1", d.name, d.share))
		}
	}
	if err := errors.Join(errs...); err != nil {
		return 0, fmt.Errorf("etx: %w", err)
	}
	return 1 / (forward * reverse), nil
}

// RouteDelivery returns the probability that a packet passes every hop of a
// route: the product. A route without hops delivers 1.
func RouteDelivery(hops ...float64) (float64, error) {
	if err := sharesFault("hop", hops); err != nil {
		return 0, fmt.Errorf("route: %w", err)
	}
	product := 1.0
	for _, p := range hops {
		product *= p
	}
	return product, nil
}

// RouteETX returns the expected transmissions of a route, the sum over its
// hops. Times the airtime it is the cost of the route: compare spreading
// factors by that, not by the number of hops.
func RouteETX(hops ...float64) (float64, error) {
	var errs []error
	var sum float64
	for i, etx := range hops {
		if !(etx >= 1 && !math.IsInf(etx, 1)) {
			errs = append(errs, fmt.Errorf("hop %d: found etx %v, allowed 1 or more", i+1, etx))
		}
		sum += etx
	}
	if err := errors.Join(append(errs, loadFault("sum", sum))...); err != nil {
		return 0, fmt.Errorf("route: %w", err)
	}
	return sum, nil
}

// IndependentRelays returns the probability that at least one of several relays
// passes a packet on: 1 - prod(1-p). Relays near each other lose packets
// together, shadowed or jammed alike; then this is too good.
func IndependentRelays(relays ...float64) (float64, error) {
	if err := sharesFault("relay", relays); err != nil {
		return 0, fmt.Errorf("relays: %w", err)
	}
	none := 1.0
	for _, p := range relays {
		none *= 1 - p
	}
	return 1 - none, nil
}

func sharesFault(name string, shares []float64) error {
	var errs []error
	for i, p := range shares {
		errs = append(errs, shareFault(fmt.Sprintf("%s %d", name, i+1), p))
	}
	return errors.Join(errs...)
}
