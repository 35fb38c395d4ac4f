package linkbudget

import (
	"errors"
	"fmt"
	"slices"

	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain/fault"
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
	// Antenna is what stands on the pole; its gain is taken towards the other end.
	Antenna Antenna
	// Polarisation of the antenna; the zero value is vertical.
	Polarisation radio.Polarisation
	// FeedLossDB is lost between radio and antenna, in both directions, beside
	// what Feeder and VSWR say; 0 to 40 dB.
	FeedLossDB DB
	// Feeder is the cable by type and length with its connectors; the zero
	// value is none.
	Feeder antenna.Feeder
	// VSWR is the antenna's standing wave ratio; 0 means a perfect match,
	// otherwise 1 to 10.
	VSWR float64
	// SideMounted says that the antenna stands beside its mast, not on top.
	SideMounted bool
	// NoiseFigureDB is that of the receiver; 0 means DefaultNoiseFigureDB, as no
	// receiver is free of noise; otherwise above 0, at most 30 dB.
	NoiseFigureDB DB
	// NoiseRiseDB is how far noise from outside lifts the floor here, as
	// measured or known; 0 to 60 dB.
	NoiseRiseDB DB
	// ExternalNoiseDB is the man-made noise at the antenna over kT0B, F_a of
	// ITU-R P.372; 0 to 40 dB. See ExternalNoiseCity, Suburb, Rural.
	ExternalNoiseDB DB
	// Nearby is a transmitter close enough to deafen the receiver while it is on
	// the air, nil for none. An unnamed chip is taken for an SX1262.
	Nearby *lora.NearbyTransmitter
	// Surroundings says what the antenna stands in.
	Surroundings Surroundings
	// HardwareDB is lost between what the data sheets say and what a real node does,
	// sending and receiving: an antenna in a box, a connector, a crystal, a receiver
	// below its figure; 0 to 40 dB. Zero is none; DefaultStation has DefaultHardwareDB.
	HardwareDB DB
}

// DefaultNoiseFigureDB stands for a receiver that states none: the recommended
// figure for an SX1262-class receiver with boosted gain, from its published
// sensitivities (SX1261/2 datasheet Rev 1.1, table 3-8).
const DefaultNoiseFigureDB DB = 6

// MaxAntennaHeightM is the greatest antenna height above ground accepted: this
// is a tool for poles and masts.
const MaxAntennaHeightM = 300

// DefaultHardwareDB is what each end of a link loses in the mean against its data
// sheets: a conducted test of 600 packets reads 8 to 10 dB below transmitter output
// less attenuation, balloons in free space 5 to 14, receptions in two towns about 4
// (open sets of others at 868 MHz); both ends together take 6.
const DefaultHardwareDB DB = 3

// DefaultStation is a typical small node: 14 dBm into a half-wave dipole
// (2.15 dBi) with no feeder. The height has no default: it decides the answer.
func DefaultStation(name string, heightM float64) Station {
	return Station{Name: name, HeightM: heightM, TxDBm: 14, Antenna: Antenna{PeakDBi: antenna.HalfWaveDipoleGain},
		HardwareDB: DefaultHardwareDB}
}

func (s Station) noiseFigure() DB {
	if s.NoiseFigureDB == 0 {
		return DefaultNoiseFigureDB
	}
	return s.NoiseFigureDB
}

// FeedLoss returns all that is lost between radio and antenna at a frequency
// in Hz: what is stated, the cable, and the mismatch. The station must be valid.
func (s Station) FeedLoss(freqHz float64) DB {
	loss := s.FeedLossDB
	if cable, err := s.Feeder.Loss(freqHz); err == nil {
		loss += cable
	}
	if s.VSWR != 0 {
		if reflected, err := antenna.MismatchLoss(s.VSWR); err == nil {
			loss += reflected
		}
	}
	return loss
}

// PeakEIRP returns the power radiated in the main lobe over an isotropic
// antenna, which is what band rules limit.
func (s Station) PeakEIRP(freqHz float64) DBm {
	return s.TxDBm.Add(s.Antenna.PeakDBi - s.FeedLoss(freqHz))
}

// decibels are the limits of a loss or rise.
func decibels(most float64) fault.Limits { return fault.Limits{Max: most, Unit: "dB"} }

var stationNumbers = []fault.Number[Station]{
	{Key: "height_m", Limits: fault.Limits{Max: MaxAntennaHeightM, Unit: "m", Above: true}, At: func(s *Station) *float64 { return &s.HeightM }},
	{Key: "tx_dbm", Limits: fault.Limits{Min: -30, Max: 40, Unit: "dBm"}, At: func(s *Station) *float64 { return (*float64)(&s.TxDBm) }},
	{Key: "feed_loss_db", Limits: decibels(40), At: func(s *Station) *float64 { return (*float64)(&s.FeedLossDB) }},
	{Key: "hardware_db", Limits: decibels(40), At: func(s *Station) *float64 { return (*float64)(&s.HardwareDB) }},
	{Key: "vswr", Limits: fault.Limits{Min: 1, Max: 10}, Zero: "a perfect match", At: func(s *Station) *float64 { return &s.VSWR }},
	{Key: "noise_figure_db", Limits: fault.Limits{Max: 30, Unit: "dB", Above: true}, Zero: "6", At: func(s *Station) *float64 { return (*float64)(&s.NoiseFigureDB) }},
	{Key: "noise_rise_db", Limits: decibels(60), At: func(s *Station) *float64 { return (*float64)(&s.NoiseRiseDB) }},
	{Key: "external_noise_db", Limits: decibels(40), At: func(s *Station) *float64 { return (*float64)(&s.ExternalNoiseDB) }},
	{Key: "clutter_top_m", Limits: fault.Limits{Max: clutter.MaxTopM, Unit: "m"}, At: func(s *Station) *float64 { return &s.Surroundings.TopM }},
	{Key: "wood_m", Limits: fault.Limits{Max: 2000, Unit: "m"}, At: func(s *Station) *float64 { return &s.Surroundings.WoodM }},
}

// StationNumbers lists the numbers of a station with their ranges, by their keys in
// files: its own and those of its antenna, its feeder and the transmitter nearby.
func StationNumbers() []fault.Number[Station] {
	return slices.Concat(stationNumbers,
		fault.Within(antenna.Numbers(), func(s *Station) *Antenna { return &s.Antenna }),
		fault.Within(antenna.FeederNumbers(), func(s *Station) *antenna.Feeder { return &s.Feeder }),
		fault.Within(lora.NearbyNumbers(), func(s *Station) *lora.NearbyTransmitter { return s.Nearby }))
}

// Validate lists every field out of its range, with the range.
func (s Station) Validate() error {
	errs := append(fault.Numbers(stationNumbers, &s), s.Antenna.Validate())
	if _, err := s.Feeder.Loss(radio.MinFreqHz); err != nil {
		errs = append(errs, err)
	}
	if s.Nearby != nil {
		errs = append(errs, s.Nearby.Validate())
	}
	if s.Surroundings.Inside > clutter.Open && s.Surroundings.WoodM > 0 {
		errs = append(errs, fault.Input("clutter twice: inside %s and wood_m %g both stand for what the antenna is in; "+
			"give one", s.Surroundings.Inside, s.Surroundings.WoodM))
	}
	if s.Polarisation > radio.Horizontal {
		errs = append(errs, fault.Found("polarisation", uint8(s.Polarisation), "vertical or horizontal"))
	}
	if s.Surroundings.Inside > clutter.DenseUrban {
		errs = append(errs, fault.Found("inside", uint8(s.Surroundings.Inside), "a class of clutter"))
	}
	for i, err := range errs {
		if err != nil {
			errs[i] = fmt.Errorf("station %q: %w", s.Name, err)
		}
	}
	return errors.Join(errs...)
}
