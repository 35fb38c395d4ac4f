package plan

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
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

// station is the plan's station with the settings filled in.
func (s Settings) station(st *Station) linkbudget.Station {
	out := s.Station
	out.Name = st.Name
	set := func(dst *linkbudget.DB, v *float64) {
		if v != nil {
			*dst = linkbudget.DB(*v)
		}
	}
	if st.HeightM != nil {
		out.HeightM = *st.HeightM
	}
	if st.TxDBm != nil {
		out.TxDBm = linkbudget.DBm(*st.TxDBm)
	}
	set(&out.GainDBi, st.GainDBi)
	set(&out.FeedLossDB, st.FeedLossDB)
	set(&out.NoiseFigureDB, st.NoiseFigureDB)
	set(&out.NoiseRiseDB, st.NoiseRiseDB)
	return out
}

// environment is that of a link; l may be nil.
func (s Settings) environment(l *Link) linkbudget.Environment {
	out := s.Environment
	if l == nil {
		return out
	}
	if l.FreqMHz != nil {
		out.FreqHz = *l.FreqMHz * 1e6
	}
	if l.BWKHz != nil {
		if hz, err := linkbudget.ParseBandwidthKHz(*l.BWKHz); err == nil {
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

// heights lists the stations that have a height from nowhere.
func (s Settings) heights(stations []*Station) error {
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
