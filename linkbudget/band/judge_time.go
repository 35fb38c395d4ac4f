package band

import (
	"fmt"
	"math"
)

// forgivenS absorbs binary rounding of times that are whole microseconds.
const forgivenS = 1e-9

// judgeTime compares dwell and duty with the row.
func (r Rule) judgeTime(u Use) []Finding {
	var found []Finding
	most := func(limitS float64, says string) {
		if u.AirtimeS == 0 {
			found = append(found, r.finding(TopicDwell, NotJudged, says+"; the airtime is not stated"))
			return
		}
		found = append(found, r.most(TopicDwell, says, u.AirtimeS, limitS, forgivenS, "s"))
	}
	if r.MaxTxS > 0 {
		most(r.MaxTxS, fmt.Sprintf("one transmission lasts at most %s", durationText(r.MaxTxS)))
	}
	windowS := r.dwellWindowS(u)
	if r.DwellS > 0 {
		says := fmt.Sprintf("one transmission stays on its channel at most %s", durationText(r.DwellS))
		if windowS > 0 {
			says = fmt.Sprintf("at most %s on a channel in %s", durationText(r.DwellS), durationText(windowS))
		}
		most(r.DwellS, says)
		// With a window, the packets of an hour spread over the channels.
		if windowS > 0 && u.AirtimeS > 0 && u.PacketsPerHour > 0 {
			have := u.PacketsPerHour * u.AirtimeS / 3600 * windowS / float64(max(u.Hopping, 1))
			found = append(found, r.most(TopicDwell, "the same on average, all packets of the hour", have, r.DwellS, forgivenS,
				"s per channel in "+durationText(windowS)))
		}
	}
	if r.MinOffS > 0 {
		found = append(found, r.judgeSilence(u))
	}
	if r.Duty > 0 {
		found = append(found, r.judgeDuty(u))
	}
	return found
}

// judgeSilence compares the silence that the hour's packets leave on average.
func (r Rule) judgeSilence(u Use) Finding {
	says := fmt.Sprintf("at least %s of silence after each transmission", durationText(r.MinOffS))
	if u.AirtimeS == 0 || u.PacketsPerHour == 0 {
		return r.finding(TopicDwell, NotJudged, says)
	}
	have := 3600/u.PacketsPerHour - u.AirtimeS
	return r.least(TopicDwell, says, have, r.MinOffS, forgivenS, "s on average")
}

// dwellWindowS returns the window of the dwell limit, 0 where it counts one
// transmission.
func (r Rule) dwellWindowS(u Use) float64 {
	if r.DwellWindowPerHopS > 0 {
		return r.DwellWindowPerHopS * float64(max(u.Hopping, 1))
	}
	return r.DwellWindowS
}

func (r Rule) judgeDuty(u Use) Finding {
	says := fmt.Sprintf("at most %g %% of an hour, %g s", r.Duty*100, r.Duty*r.DutyWindowS)
	if r.Polite {
		says += ", or polite access"
	}
	alone := u.AirtimeS > r.Duty*r.DutyWindowS+forgivenS // one packet is too much already
	if !alone && (u.AirtimeS == 0 || u.PacketsPerHour == 0) {
		missing := "packets per hour"
		if u.AirtimeS == 0 {
			missing = "airtime"
		}
		return r.finding(TopicDuty, NotJudged, says+"; "+missing+" not stated")
	}
	// With less than one packet an hour, some hour still holds a whole one.
	have := max(1, u.PacketsPerHour) * u.AirtimeS / 3600
	return r.most(TopicDuty, says, have*100, r.Duty*100, 1e-10, "%")
}

// Rate is what a row leaves of an hour for packets of one airtime.
type Rate struct {
	// Limited is false where the row bounds no number of packets, or the airtime
	// is not stated.
	Limited bool
	// PacketsPerHour is the most whole packets in an hour; 0 where a single one
	// is already too long. Meaningful with Limited.
	PacketsPerHour int
	// SilenceS is the least silence after a packet, when packets are spread
	// evenly.
	SilenceS float64
}

// rate works out what the row leaves.
//
//	duty:  floor(duty * window / airtime) per window; silence airtime (1/duty - 1)
//	dwell: floor(dwell / airtime) per channel and window, times the channels
func (r Rule) rate(u Use) Rate {
	t := u.AirtimeS
	if t == 0 {
		return Rate{}
	}
	if r.MaxTxS > 0 && t > r.MaxTxS+forgivenS || r.DwellS > 0 && t > r.DwellS+forgivenS ||
		r.Duty > 0 && t > r.Duty*r.DutyWindowS+forgivenS {
		return Rate{Limited: true}
	}
	rate := Rate{SilenceS: r.MinOffS}
	limit := func(perHour, silenceS float64) {
		if perHour*t >= 3600 {
			return // more than fit back to back
		}
		n := int(min(math.Floor(perHour+1e-9), math.MaxInt32)) // an int of 32 bits holds it
		if !rate.Limited || n < rate.PacketsPerHour {
			rate.Limited, rate.PacketsPerHour = true, n
		}
		rate.SilenceS = max(rate.SilenceS, silenceS)
	}
	if r.MinOffS > 0 {
		limit(3600/(t+r.MinOffS), r.MinOffS)
	}
	if r.Duty > 0 {
		perWindow := math.Floor(r.Duty*r.DutyWindowS/t + 1e-9)
		limit(perWindow*3600/r.DutyWindowS, t*(1/r.Duty-1))
	}
	if windowS := r.dwellWindowS(u); r.DwellS > 0 && windowS > 0 {
		perWindow := max(1, math.Floor(r.DwellS/t+1e-9)) * float64(max(u.Hopping, 1))
		limit(perWindow*3600/windowS, windowS/perWindow-t)
	}
	return rate
}
