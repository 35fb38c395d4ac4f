package band

import (
	"errors"

	"github.com/polereach/polereach/linkbudget"
)

// MaxEIRP returns the largest EIRP that a row for plain nodes allows on the
// use's channel, with its bandwidth, hopping and airtime, and the key of that
// row; its power and gain play no part. An empty key means that no row would be
// kept at any power. Errors as for Check.
func MaxEIRP(b Band, u Use) (eirp linkbudget.DBm, key string, err error) {
	rules, err := checked(b, u)
	if err != nil {
		return 0, "", err
	}
	for _, r := range held(rules, u) {
		if !r.keptBarPower(u) {
			continue
		}
		if p := r.maxEIRP(u.BWHz); key == "" || p > eirp {
			eirp, key = p, r.Key
		}
	}
	return eirp, key, nil
}

// GainHeadroom returns by how many decibels the antenna's gain may grow, at
// the use's power and feeder, before the last row for plain nodes is exceeded.
// It is negative where the antenna has too much already, by how much. False
// where no gain would do: power, bandwidth or time are beyond every row, or the
// input is none that Check accepts.
func GainHeadroom(b Band, u Use) (linkbudget.DB, bool) {
	rules, err := checked(b, u)
	if err != nil {
		return 0, false
	}
	var most linkbudget.DB
	found := false
	for _, r := range held(rules, u) {
		if !r.keptBarPower(u) {
			continue
		}
		gain, ok := r.maxGain(u)
		if ok && (!found || gain > most) {
			most, found = gain, true
		}
	}
	if !found {
		return 0, false
	}
	return most - u.GainDBi, true
}

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

// keptBarPower tells whether the row is for a plain node and all but power,
// gain and density is kept.
func (r Rule) keptBarPower(u Use) bool {
	if r.Class != "" {
		return false
	}
	for _, f := range append(r.judgeChannel(u), r.judgeTime(u)...) {
		if f.Status == Exceeds {
			return false
		}
	}
	return true
}

// powerLimit returns the limit in the row's reference, with the density at
// this bandwidth.
func (r Rule) powerLimit(bwHz float64) linkbudget.DBm {
	limit := r.Limit
	if r.densityHolds(bwHz) {
		limit = min(limit, r.DensityDBm.Add(spread(bwHz, r.DensityPerHz)))
	}
	return limit
}

// maxEIRP returns the largest EIRP the row allows. A conducted limit with a
// gain rule of slope 1 keeps limit + threshold at any gain above it; without
// slope the threshold is the most gain; without a gain rule the cap decides.
// A test holds the tables to slopes of 0 and 1, and to a cap or a gain rule
// beside every conducted limit.
func (r Rule) maxEIRP(bwHz float64) linkbudget.DBm {
	eirp := r.powerLimit(bwHz)
	switch r.Reference {
	case ERP:
		eirp = linkbudget.EIRPFromERP(eirp)
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

// maxGain returns the largest antenna gain in dBi at the use's power and
// feeder loss; false where the power alone is beyond the row.
func (r Rule) maxGain(u Use) (linkbudget.DB, bool) {
	atAntenna := u.TxDBm.Add(-u.FeedLossDB)
	if r.Reference != Conducted {
		return r.maxEIRP(u.BWHz).Sub(atAntenna), true
	}
	if float64(u.TxDBm) > float64(r.powerLimit(u.BWHz))+slackDB {
		return 0, false
	}
	gain := r.EIRPCap.Sub(atAntenna)
	if r.GainThresholdDBi > 0 {
		most := r.GainThresholdDBi
		if r.GainSlope > 0 {
			most += r.Limit.Sub(atAntenna) / linkbudget.DB(r.GainSlope)
		}
		if r.EIRPCap == 0 || most < gain {
			gain = most
		}
	}
	return gain, true
}
