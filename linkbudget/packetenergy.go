package linkbudget

import (
	"errors"
	"fmt"
)

// secondsPerHour is also the window over which duty cycles are counted.
const secondsPerHour = 3600

// PacketEnergyWs returns the energy of one packet in watt seconds (joules),
// V I ToA.
func PacketEnergyWs(voltageV, txCurrentA, airtimeS float64) (float64, error) {
	if err := errors.Join(loadFault("voltage in V", voltageV), loadFault("current in A", txCurrentA), loadFault("airtime in s", airtimeS)); err != nil {
		return 0, fmt.Errorf("packet energy: %w", err)
	}
	energyWs := voltageV * txCurrentA * airtimeS
	if err := finiteFault("packet energy in W s", energyWs); err != nil {
		return 0, err
	}
	return energyWs, nil
}

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

// DayWh returns the energy of a day in watt hours at a voltage: V I 24 h.
func (d RadioDuty) DayWh(voltageV float64) (float64, error) {
	average, err := d.AverageA()
	dayWh := voltageV * average * 24
	err = errors.Join(err, loadFault("voltage in V", voltageV))
	if err == nil {
		err = finiteFault("product in Wh", dayWh)
	}
	if err != nil {
		return 0, fmt.Errorf("energy of a day: %w", err)
	}
	return dayWh, nil
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

// HourlyBudgetS returns the airtime in seconds that a duty cycle, a share from
// 0 to 1, leaves per hour: 36 s at 1 %.
func HourlyBudgetS(duty float64) (float64, error) {
	if err := shareFault("duty cycle", duty); err != nil {
		return 0, err
	}
	return duty * secondsPerHour, nil
}

// LeastSilenceS returns how long to wait after a packet so that a duty cycle is
// kept at every moment, ToA (1/d - 1) seconds. Rules that count over an hour
// allow bursts instead. The duty cycle is above 0 and at most 1.
func LeastSilenceS(airtimeS, duty float64) (float64, error) {
	err := loadFault("airtime in s", airtimeS)
	if !(duty >= 1e-9 && duty <= 1) {
		err = errors.Join(err, fmt.Errorf("duty cycle: found %v, allowed 1e-9 to 1", duty))
	}
	if err == nil {
		err = finiteFault("silence in s", airtimeS/duty)
	}
	if err != nil {
		return 0, fmt.Errorf("least silence: %w", err)
	}
	return airtimeS * (1/duty - 1), nil
}
