package lora

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget/radio"
)

// RSSIPort is a receiver input, which decides how RSSI registers count.
type RSSIPort uint8

// The ports: SX1276 to SX1279 in band 1 (862 to 1020 MHz), the same in bands 2
// and 3 (up to 525 MHz), SX1272/3 with LnaBoost.
const (
	PortSX1276HF RSSIPort = iota
	PortSX1276LF
	PortSX1272
)

// offset returns the level of register value 0: SX1276/77/78/79 datasheet Rev
// 4, 5.5.5; SX1272/73 datasheet Rev 2, 5.5.5. A port that does not exist counts
// as the first.
func (p RSSIPort) offset() radio.DBm {
	switch p {
	case PortSX1276LF:
		return -164
	case PortSX1272:
		return -139
	}
	return -157
}

// RSSI returns the level of the register Rssi, the power in the channel now.
// Another low-noise amplifier or mismatch shifts it: calibrate at one point.
func (p RSSIPort) RSSI(register uint8) radio.DBm { return p.offset().Add(radio.DB(register)) }

// PacketRSSI returns the level of the last packet from the registers PacketRssi
// and PacketSnr (signed, quarter decibels): below 0 dB of SNR the signal
// alone, from there on signal and noise together. Above -100 dBm the scale is
// not linear: PacketRSSISlope.
func (p RSSIPort) PacketRSSI(register uint8, snrRegister int8) radio.DBm {
	level := p.RSSI(register)
	if snrRegister < 0 {
		return level.Add(RegisterSNR(snrRegister))
	}
	return level
}

// PacketRSSISlope returns the level of a packet of at least 0 dB of SNR with
// the datasheets' slope correction, offset + 16/15 PacketRssi.
func (p RSSIPort) PacketRSSISlope(register uint8) radio.DBm {
	return p.offset().Add(radio.DB(register) * 16 / 15)
}

// RegisterSNR returns the signal-to-noise ratio of the register PacketSnr
// (SX127x) or SnrPkt (SX126x): quarter decibels, signed. It saturates at some
// 10 to 13 dB.
func RegisterSNR(register int8) radio.DB { return radio.DB(register) / 4 }

// SX126xRSSI returns the level of the SX126x's RssiPkt, RssiInst, or
// SignalRssiPkt; the last is an estimate of the signal alone. SX1261/2
// datasheet Rev 1.1, 13.5.3.
func SX126xRSSI(register uint8) radio.DBm { return -radio.DBm(register) / 2 }

// Reception is what a receiver reports of a packet.
type Reception struct {
	TotalDBm radio.DBm // signal and noise in the bandwidth, RSSI
	SNRDB    radio.DB  // in the bandwidth
}

// Validate returns every fault at once, or nil: both numbers must be finite.
// The other methods expect that.
func (r Reception) Validate() error {
	return errors.Join(finite("rssi in dBm", float64(r.TotalDBm)), finite("snr in dB", float64(r.SNRDB)))
}

// Signal returns the level of the signal alone, S = total - 10 log(1 + n/s),
// exact for noise that does not depend on the signal.
func (r Reception) Signal() radio.DBm { return r.TotalDBm.Add(-Desensitisation(-r.SNRDB)) }

// trustedSNR is up to where reported ratios do not saturate (practice).
const trustedSNR radio.DB = 5

// Margin returns how far the packet was over the modem's limit: by the SNR up
// to 5 dB, beyond it, where reports saturate, by the level over the sensitivity
// at a noise figure. The two disagree where noise from outside raises the
// floor, which only the first sees. The error names every number that is not
// finite and the faults of the modem.
func (r Reception) Margin(m Modem, noiseFigure radio.DB) (radio.DB, error) {
	if err := errors.Join(r.Validate(), m.Validate(), finite("noise figure in dB", float64(noiseFigure))); err != nil {
		return 0, fmt.Errorf("margin of a report: %w", err)
	}
	if r.SNRDB > trustedSNR {
		return r.Signal().Sub(m.Sensitivity(noiseFigure)), nil
	}
	return r.SNRDB - m.RequiredSNR(), nil
}
