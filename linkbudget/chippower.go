package linkbudget

import (
	"errors"
	"fmt"
	"math"
)

// OutputLimit is the range of transmit power of a chip's output.
type OutputLimit struct {
	Chip, Output string
	LowDBm       DBm
	HighDBm      DBm
	// TxShareMax is the share of the time the silicon stands this power, whatever
	// the band's rules allow; 1 where no limit is stated.
	TxShareMax float64
	Supply     []SupplyPower // highest power by rising supply voltage; nil where none is stated
	Note       string
	Source     string
}

// SupplyPower is the highest power at a supply voltage.
type SupplyPower struct {
	VoltageV float64
	PowerDBm DBm
}

// OutputLimits returns the published limits.
func OutputLimits() []OutputLimit {
	const sx1276, sx1262 = "SX1276/77/78/79 datasheet Rev 4, ", "SX1261/2 datasheet Rev 1.1, "
	// The SX1262 is flat from 3.3 to 3.7 V and full from 3.1 V.
	sag := []SupplyPower{{1.8, 16}, {2.7, 20}, {3.1, 22}, {3.7, 22}}
	return []OutputLimit{
		{"SX1276", "RFO", -1, 14, 1, nil, "falls by up to 8 dB from 3.7 to 1.8 V", sx1276 + "table 9"},
		{"SX1276", "PA_BOOST", 2, 17, 1, nil, "2.4 to 3.7 V, within 1 dB", sx1276 + "table 9"},
		{"SX1276", "PA_BOOST high power", 20, 20, 0.01, nil, "2.4 to 3.7 V, VSWR up to 3:1", sx1276 + "tables 35 and 36"},
		{"SX1261", "14 dBm", -17, 14, 1, []SupplyPower{{1.8, 14}, {3.7, 14}}, "15 dBm with another setting; low end from memory", sx1262 + "table 4-4"},
		{"SX1262", "22 dBm", -9, 22, 1, sag, "low end from memory", sx1262 + "table 4-4"},
		{"SX1268", "22 dBm", -9, 22, 1, sag, "taken as the SX1262", "secondary: vendor product data"},
		{"LLCC68", "22 dBm", -9, 22, 1, sag, "taken as the SX1262", "secondary: vendor product data"},
		{"LR1121", "22 dBm", -9, 22, 1, nil, "low end taken from the SX1262", "secondary: vendor product data"},
	}
}

// HighAt returns the highest power at a supply voltage, straight between the
// stated points. A battery that sags below 3.1 V silently costs an SX1262 its
// power. Where nothing is stated the answer is HighDBm; outside the points, an
// error.
func (o OutputLimit) HighAt(voltageV float64) (DBm, error) {
	if len(o.Supply) == 0 {
		if !(voltageV > 0 && !math.IsInf(voltageV, 1)) {
			return 0, fmt.Errorf("supply of %s: found %v V, allowed above 0", o.Chip, voltageV)
		}
		return o.HighDBm, nil
	}
	for i, right := range o.Supply[1:] {
		if left := o.Supply[i]; voltageV >= left.VoltageV && voltageV <= right.VoltageV {
			share := (voltageV - left.VoltageV) / (right.VoltageV - left.VoltageV)
			return left.PowerDBm.Add(DB(share) * right.PowerDBm.Sub(left.PowerDBm)), nil
		}
	}
	return 0, fmt.Errorf("supply of %s: found %v V, allowed %v to %v", o.Chip, voltageV, o.Supply[0].VoltageV, o.Supply[len(o.Supply)-1].VoltageV)
}

// Check returns what the output cannot do: a power outside its range, or more
// time on the air than it stands; nil where both are fine.
func (o OutputLimit) Check(power DBm, txShare float64) error {
	var errs []error
	if !(power >= o.LowDBm && power <= o.HighDBm) {
		errs = append(errs, fmt.Errorf("power of %s %s: found %v dBm, allowed %v to %v", o.Chip, o.Output, power, o.LowDBm, o.HighDBm))
	}
	if !(txShare >= 0 && txShare <= o.TxShareMax) {
		errs = append(errs, fmt.Errorf("transmit share of %s %s: found %v, allowed 0 to %v", o.Chip, o.Output, txShare, o.TxShareMax))
	}
	return errors.Join(errs...)
}
