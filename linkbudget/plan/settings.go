package plan

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/terrain"
)

// Settings are the radio and the air for whatever a station or a link of the
// plan does not state itself.
type Settings struct {
	// Station holds the defaults of a station; HeightM 0 means none: then every
	// station must state its own.
	Station linkbudget.Station
	// Environment holds channel, modem and refraction; a link may override
	// frequency, bandwidth, spreading factor and coding rate.
	Environment linkbudget.Environment
	// Profile says how the terrain is sampled.
	Profile terrain.ProfileOptions
}

// Validate lists every fault of the settings at once.
func (s Settings) Validate() error {
	station := s.Station
	station.Name = "settings"
	if station.HeightM == 0 {
		station.HeightM = 1 // none given is allowed here
	}
	return errors.Join(station.Validate(), s.Environment.Validate())
}

// Resolve returns a station of the plan with the settings filled in. The error is that
// of a height from nowhere or of a value out of range.
func (s Settings) Resolve(st *Station) (linkbudget.Station, error) {
	if err := s.CheckHeights(st); err != nil {
		return linkbudget.Station{}, err
	}
	out := s.Fill(st)
	return out, out.Validate()
}

// Fill is Resolve without its checks: Read has checked the words, so what does not
// parse is not there.
func (s Settings) Fill(st *Station) linkbudget.Station {
	out := s.Station
	out.Name = st.Name
	number := func(dst *float64, v *float64) {
		if v != nil {
			*dst = *v
		}
	}
	decibel := func(dst *linkbudget.DB, v *float64) { number((*float64)(dst), v) }
	number(&out.HeightM, st.HeightM)
	number((*float64)(&out.TxDBm), st.TxDBm)
	decibel(&out.Antenna.PeakDBi, st.GainDBi)
	number(&out.Antenna.TiltDeg, st.TiltDeg)
	number(&out.Antenna.BeamwidthDeg, st.BeamwidthDeg)
	if st.AzimuthDeg != nil {
		out.Antenna.AzimuthDeg = st.AzimuthDeg
	}
	if st.Beam != nil {
		out.Antenna.Beam = antenna.BeamOmni
		if *st.Beam == Sector {
			out.Antenna.Beam = antenna.BeamSector
		}
	}
	if st.Polarisation != nil {
		out.Polarisation = radio.Vertical
		if *st.Polarisation == radio.Horizontal.String() {
			out.Polarisation = radio.Horizontal
		}
	}
	decibel(&out.FeedLossDB, st.FeedLossDB)
	decibel(&out.HardwareDB, st.HardwareDB)
	if st.Coax != nil {
		if coax, err := antenna.CoaxByName(*st.Coax); err == nil {
			out.Feeder.Coax = coax
		}
	}
	number(&out.Feeder.LengthM, st.CoaxM)
	number(&out.VSWR, st.VSWR)
	if st.Mount != nil {
		out.SideMounted = *st.Mount == "side"
	}
	decibel(&out.NoiseFigureDB, st.NoiseFigureDB)
	decibel(&out.NoiseRiseDB, st.NoiseRiseDB)
	if st.Noise != nil {
		out.ExternalNoiseDB = noiseOf[*st.Noise]
	}
	if st.WoodM != nil && *st.WoodM > 0 {
		out.Surroundings.Inside = clutter.Unstated // both mean the same trees
	}
	if st.Inside != nil {
		if class, err := clutter.Parse(*st.Inside); err == nil {
			out.Surroundings.Inside = class
		}
	}
	number(&out.Surroundings.TopM, st.ClutterTopM)
	number(&out.Surroundings.WoodM, st.WoodM)
	if st.NearbyTxDBm != nil && st.NearbyOffsetMHz != nil && st.NearbyIsolationDB != nil {
		out.Nearby = &lora.NearbyTransmitter{
			PowerDBm: linkbudget.DBm(*st.NearbyTxDBm), OffsetHz: *st.NearbyOffsetMHz * 1e6,
			IsolationDB: linkbudget.DB(*st.NearbyIsolationDB),
		}
	}
	return out
}

// LinkEnvironment returns what a link is evaluated with: the Environment, and over it
// what the link states itself; l may be nil.
func (s Settings) LinkEnvironment(l *Link) linkbudget.Environment {
	out := s.Environment
	if l == nil {
		return out
	}
	if l.FreqMHz != nil {
		out.FreqHz = *l.FreqMHz * 1e6
	}
	if l.BWKHz != nil {
		if hz, err := lora.ParseBandwidthKHz(*l.BWKHz); err == nil {
			out.Modem.BWHz = hz // Read has refused any other value
		}
	}
	if l.SF != nil {
		out.Modem.SF = *l.SF
	}
	if l.CR != nil {
		out.Modem.CR = *l.CR - 4 // 4/5 is written 5 in the file
	}
	return out
}

// CheckHeights lists the stations whose height neither they nor the settings state,
// each a *FieldError.
func (s Settings) CheckHeights(stations ...*Station) error {
	if s.Station.HeightM > 0 {
		return nil
	}
	var errs []error
	for _, st := range stations {
		if st.HeightM == nil {
			errs = append(errs, &FieldError{Feature: st.Feature, Name: st.Name, Key: "height_m",
				Problem: fmt.Sprintf("missing; give it in the plan or as a default, above 0 to %d m above ground", linkbudget.MaxAntennaHeightM)})
		}
	}
	return errors.Join(errs...)
}

// noiseOf gives the external noise of the plan's words.
var noiseOf = map[string]linkbudget.DB{
	"rural": lora.ExternalNoiseRural, "suburb": lora.ExternalNoiseSuburb, "city": lora.ExternalNoiseCity,
}
