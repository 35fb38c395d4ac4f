package linkbudget

import (
	"errors"
	"fmt"
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
		shareFault("transmit share", d.TxShare), shareFault("receive share", d.RxShare),
		loadFault("transmit current in A", d.TxCurrentA), loadFault("receive current in A", d.RxCurrentA),
		loadFault("rest current in A", d.RestCurrentA), loadFault("host current in A", d.HostCurrentA))
	if err == nil && d.TxShare+d.RxShare > 1+rounding {
		err = fmt.Errorf("transmit and receive share: found %v together, allowed 0 to 1", d.TxShare+d.RxShare)
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
		err = finiteFault("sum in A", average)
	}
	if err != nil {
		return 0, fmt.Errorf("average current: %w", err)
	}
	return average, nil
}

// HourlyShare returns the share of an hour that an airtime in seconds per hour
// is. It is an error to send longer than there is time.
func HourlyShare(airtimePerHourS float64) (float64, error) {
	share := airtimePerHourS / secondsPerHour
	if !(share >= 0 && share <= 1) {
		return 0, fmt.Errorf("airtime per hour: found %v s, allowed 0 to 3600", airtimePerHourS)
	}
	return share, nil
}
