package band

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget/radio"
)

// judgePower compares power, gain and density with the row.
func (r Rule) judgePower(u Use) []Finding {
	var found []Finding
	if r.Reference != 0 {
		found = append(found, r.most(TopicPower, r.powerText(), float64(u.in(r.Reference)), float64(r.Limit), slackDB,
			"dBm "+r.Reference.String()))
	}
	if r.EIRPCap != 0 {
		found = append(found, r.most(TopicPower, fmt.Sprintf("and at most %s EIRP", levelText(r.EIRPCap)),
			float64(u.EIRP()), float64(r.EIRPCap), slackDB, "dBm EIRP"))
	}
	if r.GainThresholdDBi > 0 {
		found = append(found, r.judgeGain(u))
	}
	if r.densityHolds(u.BWHz) {
		unit := fmt.Sprintf("dBm %s in %g kHz", r.Reference, r.DensityPerHz/1e3)
		found = append(found, r.most(TopicDensity, fmt.Sprintf("at most %.4g %s", r.DensityDBm, unit),
			float64(u.in(r.Reference).Add(-spread(u.BWHz, r.DensityPerHz))), float64(r.DensityDBm), slackDB, unit))
	}
	return found
}

// judgeGain applies the gain rule. With a slope, the power at the antenna may
// be P_max = limit - slope * max(0, G - threshold); 47 CFR 15.247(b)(4) has
// slope 1 above 6 dBi. Without a slope the gain itself is bounded.
func (r Rule) judgeGain(u Use) Finding {
	if r.GainSlope == 0 {
		return r.most(TopicGain, fmt.Sprintf("antenna of at most %g dBi", r.GainThresholdDBi),
			float64(u.GainDBi), float64(r.GainThresholdDBi), slackDB, "dBi")
	}
	over := max(0, float64(u.GainDBi-r.GainThresholdDBi))
	allowed := r.Limit.Add(radio.DB(-r.GainSlope * over))
	says := fmt.Sprintf("at most %s at %.4g dBi: %g dB less for each dB above %g dBi",
		levelText(allowed), u.GainDBi, r.GainSlope, r.GainThresholdDBi)
	return r.most(TopicGain, says, float64(u.TxDBm.Add(-u.FeedLossDB)), float64(allowed), slackDB, "dBm at the antenna")
}

// powerText says the limit as the table does.
func (r Rule) powerText() string {
	if r.Reference == FieldStrength {
		return fmt.Sprintf("at most %g mV/m at %g m, %.2f dBm EIRP", r.FieldVPerM*1e3, r.FieldAtM, r.Limit)
	}
	return fmt.Sprintf("at most %s %s", levelText(r.Limit), r.Reference)
}

// levelText gives a level in dBm and in watts.
func levelText(p radio.DBm) string {
	milliW := p.MilliW()
	if milliW > 999 {
		return fmt.Sprintf("%.2f dBm (%.3g W)", p, milliW/1e3)
	}
	return fmt.Sprintf("%.2f dBm (%.3g mW)", p, milliW)
}
