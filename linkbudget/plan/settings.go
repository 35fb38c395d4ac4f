package plan

import (
	"errors"
	"slices"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/terrain"
	"github.com/polereach/polereach/terrain/fault"
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
	// Cover names the rasters of what stands on the ground, "" for none; it is told, not looked into.
	Cover string `json:",omitempty"`
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

// Fill is Resolve without its checks: a word that is none, which Validate refuses, is not
// there. A nil station has nothing of its own.
func (s Settings) Fill(st *Station) linkbudget.Station {
	out := s.Station
	if st == nil {
		return out
	}
	out.Name = st.Name
	if st.WoodM != nil && *st.WoodM > 0 {
		out.Surroundings.Inside = clutter.Unstated // both mean the same trees
	}
	for i := range stationKeys.list {
		k := &stationKeys.list[i]
		switch p := stationKeys.bind(i, st).(type) {
		case **float64:
			if *p != nil && k.Model != nil {
				*k.Model(&out) = **p
			}
		case **string:
			if *p == nil {
			} else if word := slices.Index(k.Words, **p); word >= 0 {
				stationKeys.rows[i].word(&out, word)
			}
		}
	}
	if st.AzimuthDeg != nil {
		out.Antenna.AzimuthDeg = st.AzimuthDeg
	}
	if st.NearbyTxDBm != nil && st.NearbyOffsetMHz != nil && st.NearbyIsolationDB != nil {
		out.Nearby = &lora.NearbyTransmitter{PowerDBm: linkbudget.DBm(*st.NearbyTxDBm), OffsetHz: *st.NearbyOffsetMHz * 1e6,
			IsolationDB: linkbudget.DB(*st.NearbyIsolationDB)}
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
	var f faults
	for _, st := range stations {
		if st == nil {
			return fault.Input("no station given")
		}
		if st.HeightM == nil && !(s.Station.HeightM > 0) {
			f.at(st, "", 0)
			f.add("height_m", "missing; give it in the plan, or for all by --height-m or in radio.json, %s above ground",
				allowed("height_m"))
		}
	}
	return f.err()
}
