package plan

import (
	"errors"
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
)

// rules compares a station with the table of the chosen band, nil without one.
func (o SiteOptions) rules(s linkbudget.Station, env linkbudget.Environment) (*band.Report, error) {
	if o.Band == "" {
		return nil, nil
	}
	packet := env.Packet
	if packet == (linkbudget.Packet{}) {
		packet = linkbudget.DefaultPacket
	}
	air, err := linkbudget.TimeOnAir(env.Modem, packet, env.Family)
	if err != nil {
		return nil, err
	}
	report, err := band.Check(o.Band, band.Use{
		FreqHz: env.FreqHz, BWHz: env.Modem.BWHz,
		TxDBm: s.TxDBm, FeedLossDB: s.FeedLoss(env.FreqHz), GainDBi: s.Antenna.PeakDBi,
		AirtimeS: air.TotalS, PacketsPerHour: o.PacketsPerHour,
	})
	if err != nil {
		return nil, fmt.Errorf("band rules of %q: %w", s.Name, err)
	}
	return &report, nil
}

// OutsideBand lists the links that state a frequency outside the rows of the band,
// each a *FieldError; nil without a band.
func (p *Plan) OutsideBand(b band.Band) error {
	if b == "" {
		return nil
	}
	var errs []error
	for i := range p.Links {
		if l := &p.Links[i]; l.FreqMHz != nil && !b.Covers(*l.FreqMHz*1e6) {
			errs = append(errs, &FieldError{Source: p.Source, Feature: l.Feature, Name: l.From + " - " + l.To, Key: "freq_mhz",
				Problem: fmt.Sprintf("found %g, outside the band %s, whose rows cover %s MHz", *l.FreqMHz, b, b.Spans())})
		}
	}
	return errors.Join(errs...)
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

// BeyondRules names the stations that the band's table does not allow as they
// are set up: the pole first, be it on a single link with a channel or modem of
// its own, then the neighbours in the order of the links.
func (s *Site) BeyondRules() []string {
	var names []string
	pole := s.Rules != nil && s.Rules.Exceeds()
	for _, l := range s.Links {
		pole = pole || l.RulesA != nil && l.RulesA.Exceeds()
		if l.RulesB != nil && l.RulesB.Exceeds() {
			names = append(names, l.Neighbour.Name)
		}
	}
	if pole {
		names = append([]string{s.Pole.Name}, names...)
	}
	return names
}
