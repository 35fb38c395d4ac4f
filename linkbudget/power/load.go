package power

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget/lora"
)

// HoursPerDay is the length of a day in hours.
const HoursPerDay = 24.0

// Traffic is what a node sends in an hour, from which its transmit share
// follows: own and relayed packets, each of one airtime.
type Traffic struct {
	OwnPerHour     float64 // packets the node makes itself, 0 and more
	RelayedPerHour float64 // packets of others that it sends on, 0 and more
	AirtimeS       float64 // of one packet, as linkbudget.TimeOnAir gives it
}

// TxShare returns the share of the time spent transmitting, 0 to 1:
// packets per hour x airtime / 3600 s. More airtime than an hour has is an error.
func (t Traffic) TxShare() (float64, error) {
	if err := faultsOf("traffic",
		rangeFault("own packets per hour", t.OwnPerHour, 0, 1e6),
		rangeFault("relayed packets per hour", t.RelayedPerHour, 0, 1e6),
		rangeFault("airtime in s", t.AirtimeS, 0, 3600)); err != nil {
		return 0, err
	}
	return lora.HourlyShare((t.OwnPerHour + t.RelayedPerHour) * t.AirtimeS)
}

// Load is what the node draws from its cell. A measured average beats any sum
// of datasheet figures: ask for it first.
type Load struct {
	// Duty holds the shares of transmitting and receiving and the currents at
	// SupplyV; the rest of the time the radio sleeps. HostCurrentA flows always.
	Duty lora.RadioDuty
	// MeasuredA is a measured average current out of the cell in amperes, with
	// everything in it. Above 0 it stands for all the other fields.
	MeasuredA float64
	// StandingA is drawn at the cell around the clock besides: charger, protection, divider. A
	// 4056-type charger takes 55 uA with the sun on (vendor's sheet), a protection board 3 to 10 uA
	// (from memory).
	StandingA float64
	// SupplyV is the voltage of the currents behind a switching converter.
	SupplyV float64
	// ConverterEfficiency of a switching converter, 0.3 to 1: usual 0.85 to 0.9.
	// 0 is a linear regulator or none: the same current flows out of the cell.
	ConverterEfficiency float64
}

// Validate returns every fault at once, or nil.
func (l Load) Validate() error {
	err := errors.Join(rangeFault("measured load in A", l.MeasuredA, 0, 10),
		rangeFault("standing load in A", l.StandingA, 0, 1))
	if l.MeasuredA == 0 {
		err = errors.Join(err, l.Duty.Validate())
	}
	err = errors.Join(err, optionalFault("converter efficiency", l.ConverterEfficiency, 0.3, 1))
	if l.ConverterEfficiency != 0 && l.MeasuredA == 0 || l.SupplyV != 0 {
		err = errors.Join(err, rangeFault("supply in V", l.SupplyV, 0.5, 60))
	}
	return err
}

// AverageA returns the average current in amperes out of a cell of cellV volts:
//
//	I = sum(share I) + standing                        linear regulator
//	I = sum(share I) Vsupply/(Vcell efficiency) + standing   converter
func (l Load) AverageA(cellV float64) (float64, error) {
	if err := faultsOf("load", l.Validate(), rangeFault("cell voltage in V", cellV, 1, 100)); err != nil {
		return 0, err
	}
	if l.MeasuredA > 0 {
		return l.MeasuredA, nil
	}
	drawn, err := l.Duty.AverageA()
	if err != nil {
		return 0, fmt.Errorf("load: %w", err)
	}
	if l.ConverterEfficiency > 0 {
		drawn *= l.SupplyV / (cellV * l.ConverterEfficiency)
	}
	return drawn + l.StandingA, nil
}

// DayWh returns the energy of a day in watt hours out of a cell of cellV volts.
func (l Load) DayWh(cellV float64) (float64, error) {
	average, err := l.AverageA(cellV)
	return average * HoursPerDay * cellV, err
}
