package mesh

import (
	"errors"
	"fmt"
	"math"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/plan"
	"github.com/polereach/polereach/terrain/fault"
)

// SiteOptions says what CheckSite examines and when it is content.
type SiteOptions struct {
	Settings plan.Settings
	// RangeM is the distance beyond which a neighbour is not examined unless a
	// link of the plan wants it; 0 means DefaultRangeM.
	RangeM float64
	// AtLeast is how many neighbours must be reached where no required link of
	// the plan names the pole; 0 means 1.
	AtLeast int
	// Band is the table of band rules to compare with; "" compares with none.
	Band band.Band
	// PacketsPerHour is what each station sends, for the duty cycle; 0: not stated.
	PacketsPerHour float64
	// KeepProfiles leaves the sampled paths in the result; some ten kilobytes a
	// link, for a survey of thousands of links not needed.
	KeepProfiles bool
	// MaxHeightM is the tallest pole that advice may propose, m; 0 means
	// linkbudget.DefaultMaxHeightM.
	MaxHeightM float64
	// MaxGainDBi is the strongest antenna that advice may propose, see
	// linkbudget.AdviceLimits.
	MaxGainDBi linkbudget.DB `json:",omitempty"`
	// OwnModem says that the path need not share its modem with others, as poles of a
	// mesh do: only then advice may change spreading factor and bandwidth.
	OwnModem bool
	// Workers is the number of paths computed at once; 0 means one per core.
	// The answer does not depend on it.
	Workers int
}

// DefaultRangeM is farther than a small node reaches over most ground.
const DefaultRangeM = 50e3

// maxRangeM is far beyond any horizon of a mast.
const maxRangeM = 1000e3

// validate lists the faults of what stands beside the settings; defaults are in.
func (o SiteOptions) validate() error {
	var reach error
	if !(o.RangeM > 0 && o.RangeM <= maxRangeM) {
		reach = fault.Found("range_m", o.RangeM, "above 0 to 1000 km")
	}
	return errors.Join(reach, fault.Range("spacing_m", o.Settings.Profile.SpacingM, 0, math.MaxFloat64, "m"),
		fault.Range("fill_voids_m", o.Settings.Profile.FillVoidsM, 0, math.MaxFloat64, "m"), fault.Range("packets_per_hour",
			o.PacketsPerHour, 0, math.MaxFloat64, ""))
}

// BandUse is what the rules of a band look at of a station and the packets it sends with
// an environment, packetsPerHour of them, 0 for not stated. The error lists the faults of the environment and of what
// is looked at.
func BandUse(s linkbudget.Station, env linkbudget.Environment, packetsPerHour float64) (band.Use, error) {
	if err := env.Validate(); err != nil {
		return band.Use{}, err
	}
	packet := env.Packet
	if packet == (linkbudget.Packet{}) {
		packet = linkbudget.DefaultPacket
	}
	air, err := lora.TimeOnAir(env.Modem, packet, env.Family)
	use := band.Use{
		FreqHz: env.FreqHz, BWHz: env.Modem.BWHz,
		TxDBm: s.TxDBm, FeedLossDB: s.FeedLoss(env.FreqHz), GainDBi: s.Antenna.PeakDBi,
		AirtimeS: air.TotalS, PacketsPerHour: packetsPerHour,
	}
	if err := errors.Join(err, use.Validate()); err != nil {
		return band.Use{}, err
	}
	return use, nil
}

// rules compares a station with the table of the chosen band, nil without one.
func (o SiteOptions) rules(s linkbudget.Station, env linkbudget.Environment) (*band.Report, error) {
	if o.Band == "" {
		return nil, nil
	}
	use, err := BandUse(s, env, o.PacketsPerHour)
	if err != nil {
		return nil, err
	}
	report, err := band.Check(o.Band, use)
	if err != nil {
		return nil, fmt.Errorf("band rules of %q: %w", s.Name, err)
	}
	return &report, nil
}

// limits bounds advice by the band: nothing that leaves an end beyond its table.
func (o SiteOptions) limits(env linkbudget.Environment) linkbudget.AdviceLimits {
	limits := linkbudget.AdviceLimits{MaxHeightM: o.MaxHeightM, MaxGainDBi: o.MaxGainDBi, KeepModem: !o.OwnModem}
	if o.Band == "" {
		return limits
	}
	limits.Lawful = func(s linkbudget.Station, m linkbudget.Modem) bool {
		changed := env
		changed.Modem = m
		report, err := o.rules(s, changed)
		return err == nil && !report.Exceeds()
	}
	return limits
}
