package linkbudget

import (
	"errors"
	"fmt"
)

// Station is one end of a path: a radio, its feeder and its antenna on a pole.
// Losses and gains are both positive.
type Station struct {
	// Name is used in results and messages.
	Name string
	// HeightM is the antenna above the ground at its foot, m; above 0, at most 300.
	HeightM float64
	// TxDBm is the power at the transmitter's output; -30 to 40 dBm.
	TxDBm DBm
	// GainDBi is the antenna's gain over an isotropic one towards the other
	// end; -20 to 30 dBi.
	GainDBi DB
	// FeedLossDB is lost between radio and antenna, in both directions; 0 to 40 dB.
	FeedLossDB DB
	// NoiseFigureDB is that of the receiver; 0 means DefaultNoiseFigureDB, as no
	// receiver is free of noise; otherwise above 0, at most 30 dB.
	NoiseFigureDB DB
	// NoiseRiseDB is how far noise from outside lifts the floor here; 0 to 60 dB.
	NoiseRiseDB DB
}

// DefaultNoiseFigureDB stands for a receiver that states none: the recommended
// figure for an SX1262-class receiver with boosted gain, from its published
// sensitivities (see ReceiverNoiseFigures).
const DefaultNoiseFigureDB DB = 6

// DefaultStation is a typical small node: 14 dBm into a half-wave dipole
// (2.15 dBi) with no feeder. The height has no default: it decides the answer.
func DefaultStation(name string, heightM float64) Station {
	return Station{Name: name, HeightM: heightM, TxDBm: 14, GainDBi: 2.15}
}

func (s Station) noiseFigure() DB {
	if s.NoiseFigureDB == 0 {
		return DefaultNoiseFigureDB
	}
	return s.NoiseFigureDB
}

// EIRP returns the power radiated towards the other end, over isotropic.
func (s Station) EIRP() DBm { return s.TxDBm.Add(s.GainDBi - s.FeedLossDB) }

// Validate lists every field out of its range, with the range.
func (s Station) Validate() error {
	var errs []error
	check := func(key string, v, low, high float64, unit string) {
		if !(v >= low && v <= high) {
			errs = append(errs, fmt.Errorf("station %q: %s: found %g, allowed %g to %g %s", s.Name, key, v, low, high, unit))
		}
	}
	if !(s.HeightM > 0 && s.HeightM <= MaxAntennaHeightM) {
		errs = append(errs, fmt.Errorf("station %q: height_m: found %g, allowed above 0 to %d m", s.Name, s.HeightM, MaxAntennaHeightM))
	}
	check("tx_dbm", float64(s.TxDBm), -30, 40, "dBm")
	check("gain_dbi", float64(s.GainDBi), -20, 30, "dBi")
	check("feed_loss_db", float64(s.FeedLossDB), 0, 40, "dB")
	check("noise_figure_db", float64(s.NoiseFigureDB), 0, 30, "dB")
	check("noise_rise_db", float64(s.NoiseRiseDB), 0, 60, "dB")
	return errors.Join(errs...)
}

// MaxAntennaHeightM is the greatest antenna height above ground accepted: this
// is a tool for poles and masts.
const MaxAntennaHeightM = 300
