package lora

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/terrain/fault"
)

// secondsPerHour is also the window over which duty cycles are counted.
const secondsPerHour = 3600

// RadioDuty is how a node divides its time, and what it draws meanwhile, all in
// amperes at one voltage.
type RadioDuty struct {
	TxShare      float64 // of the time, own and relayed packets
	RxShare      float64 // of the time; both together at most 1
	TxCurrentA   float64
	RxCurrentA   float64
	RestCurrentA float64 // of the radio in the rest of the time
	HostCurrentA float64 // of everything else, always
}

// Validate returns every fault at once, or nil.
func (d RadioDuty) Validate() error {
	// A share of 0.999 + 0.001 may come out one rounding above 1.
	const rounding = 1e-12
	err := errors.Join(
		share("transmit share", d.TxShare), share("receive share", d.RxShare),
		notNegative("transmit current in A", d.TxCurrentA), notNegative("receive current in A", d.RxCurrentA),
		notNegative("rest current in A", d.RestCurrentA), notNegative("host current in A", d.HostCurrentA))
	if err == nil && d.TxShare+d.RxShare > 1+rounding {
		err = fault.Range("transmit and receive share together", d.TxShare+d.RxShare, 0, 1, "")
	}
	return err
}

// AverageA returns the average current in amperes:
// host + tx share x tx + rx share x rx + the rest x rest.
func (d RadioDuty) AverageA() (float64, error) {
	err := d.Validate()
	rest := max(0, 1-d.TxShare-d.RxShare)
	average := d.HostCurrentA + d.TxShare*d.TxCurrentA + d.RxShare*d.RxCurrentA + rest*d.RestCurrentA
	if err == nil {
		err = finite("sum in A", average)
	}
	if err != nil {
		return 0, fmt.Errorf("average current: %w", err)
	}
	return average, nil
}

// HourlyShare returns the share of an hour that an airtime in seconds per hour
// is. It is an error to send longer than there is time.
func HourlyShare(airtimePerHourS float64) (float64, error) {
	if err := fault.Range("airtime per hour", airtimePerHourS, 0, secondsPerHour, "s"); err != nil {
		return 0, err
	}
	return airtimePerHourS / secondsPerHour, nil
}
