package band

import (
	"errors"

	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/radio"
)

// checked returns the rules of a band, or every fault of band and use.
func checked(b Band, u Use) ([]Rule, error) {
	rules := Rules(b)
	var bandErr error
	if rules == nil {
		bandErr = unknown(string(b))
	}
	if err := errors.Join(bandErr, u.Validate()); err != nil {
		return nil, err
	}
	return rules, nil
}

// held returns the rows whose edges hold the channel.
func held(rules []Rule, u Use) []Rule {
	loHz, hiHz := u.edgesHz()
	var rows []Rule
	for _, r := range rules {
		if r.holds(loHz, hiHz) {
			rows = append(rows, r)
		}
	}
	return rows
}

// powerLimit returns the limit in the row's reference, with the density at
// this bandwidth.
func (r Rule) powerLimit(bwHz float64) radio.DBm {
	limit := r.Limit
	if r.densityHolds(bwHz) {
		limit = min(limit, r.DensityDBm.Add(spread(bwHz, r.DensityPerHz)))
	}
	return limit
}

// maxEIRP returns the largest EIRP the row allows. A conducted limit with a gain rule of slope 1
// keeps limit + threshold at any gain above it; without slope the threshold is the most gain;
// without a gain rule the cap decides. A test holds the tables to slopes of 0 and 1, and to a cap
// or a gain rule beside every conducted limit.
func (r Rule) maxEIRP(bwHz float64) radio.DBm {
	eirp := r.powerLimit(bwHz)
	switch r.Reference {
	case ERP:
		eirp = antenna.EIRPFromERP(eirp)
	case Conducted:
		if r.GainThresholdDBi == 0 {
			return r.EIRPCap
		}
		if r.GainSlope > 0 {
			eirp = r.Limit // density bounds the power at the radio, not the EIRP
		}
		eirp = eirp.Add(r.GainThresholdDBi)
	}
	if r.EIRPCap != 0 {
		eirp = min(eirp, r.EIRPCap)
	}
	return eirp
}
