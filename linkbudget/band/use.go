package band

import (
	"errors"
	"math"

	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
)

// Use is one transmitter on one channel.
type Use struct {
	FreqHz         float64   // centre of the channel
	BWHz           float64   // LoRa bandwidth, double-sided
	TxDBm          radio.DBm // at the radio's connector, -60 to 60
	FeedLossDB     radio.DB  // between radio and antenna, 0 to 100
	GainDBi        radio.DB  // of the antenna, its peak, -40 to 60
	AirtimeS       float64   // one packet, up to an hour; 0: not stated, nothing in time is judged
	Hopping        int       // channels hopped over, up to 10000; 0 or 1: fixed frequency
	PacketsPerHour float64   // 0: not stated; what the row leaves is computed all the same
}

// Validate returns every fault of the use at once, each with the allowed
// range, or nil. What a rule forbids is no fault.
func (u Use) Validate() error {
	var errs []error
	within := func(name string, v, lo, hi float64, unit string) {
		errs = append(errs, fault.Range(name, v, lo, hi, unit))
	}
	within("freq_hz", u.FreqHz, 1e6, 100e9, "Hz")
	within("bw_hz", u.BWHz, 1, 10e6, "Hz")
	within("tx_dbm", float64(u.TxDBm), -60, 60, "dBm")
	within("feed_loss_db", float64(u.FeedLossDB), 0, 100, "dB")
	within("gain_dbi", float64(u.GainDBi), -40, 60, "dBi")
	if u.AirtimeS != 0 {
		within("airtime_s", u.AirtimeS, 1e-6, 3600, "s, or 0 for not stated")
	}
	within("hopping", float64(u.Hopping), 0, 10000, "channels")
	within("packets_per_hour", u.PacketsPerHour, 0, 1e6, "packets")
	return errors.Join(errs...)
}

// EIRP returns the power over an isotropic radiator, Tx - feeder loss + gain.
func (u Use) EIRP() radio.DBm { return u.TxDBm.Add(u.GainDBi - u.FeedLossDB) }

// ERP returns the power over a half-wave dipole, EIRP - 2.15 dB.
func (u Use) ERP() radio.DBm { return antenna.ERPFromEIRP(u.EIRP()) }

// in returns the power in a row's reference.
func (u Use) in(ref Reference) radio.DBm {
	switch ref {
	case Conducted:
		return u.TxDBm
	case ERP:
		return u.ERP()
	}
	return u.EIRP()
}

// edgesHz returns the occupied channel.
func (u Use) edgesHz() (loHz, hiHz float64) { return u.FreqHz - u.BWHz/2, u.FreqHz + u.BWHz/2 }

// fixed tells whether the carrier stays on one frequency.
func (u Use) fixed() bool { return u.Hopping < 2 }

// sixDBBandwidthHz returns the 6 dB bandwidth of a LoRa carrier: about 635 kHz is reported for 500
// kHz (Semtech AN1200.62, from a secondary text); for the others nothing is, and the nominal
// bandwidth stands in. That is safe here: at the reported ratio even 250 kHz stays far below the
// 500 kHz that rules ask.
func (u Use) sixDBBandwidthHz() float64 {
	if math.Abs(u.BWHz-500e3) <= 1 {
		return 635e3
	}
	return u.BWHz
}
