package band

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// judgeChannel compares bandwidth and hopping with the row, and states what is
// not judged.
func (r Rule) judgeChannel(u Use) []Finding {
	var found []Finding
	const forgivenKHz = 1e-3
	kHz := u.BWHz / 1e3
	if least := r.Min6dBBWHz / 1e3; least > 0 {
		found = append(found, r.least(TopicBandwidth, fmt.Sprintf("6 dB bandwidth of at least %g kHz", least),
			u.sixDBBandwidthHz()/1e3, least, 0, "kHz at 6 dB"))
	}
	if least := r.Min20dBBWHz / 1e3; least > 0 {
		// The next LoRa step below is half, so that nominal decides.
		found = append(found, r.least(TopicBandwidth, fmt.Sprintf("20 dB bandwidth of at least %g kHz", least),
			kHz, least, forgivenKHz, "kHz"))
	}
	if most := r.Max20dBBWHz / 1e3; most > 0 {
		// A nominal bandwidth equal to the bound is already wider at 20 dB.
		says := fmt.Sprintf("20 dB bandwidth below %g kHz; LoRa is wider than its nominal bandwidth", most)
		f := r.most(TopicBandwidth, says, kHz, most, 0, "kHz")
		if kHz >= most-forgivenKHz {
			f.Status = Exceeds
		}
		found = append(found, f)
	}
	if most := r.MaxChannelHz / 1e3; most > 0 {
		found = append(found, r.most(TopicBandwidth, fmt.Sprintf("channel of at most %g kHz", most),
			kHz, most, forgivenKHz, "kHz"))
	}
	found = append(found, r.judgeHopping(u)...)
	if r.ListenS > 0 {
		found = append(found, r.finding(TopicListen, NotJudged, r.listenText()))
	}
	if r.Access != "" {
		found = append(found, r.finding(TopicAccess, NotJudged, r.Access))
	}
	if r.Class != "" {
		found = append(found, r.finding(TopicAccess, NotJudged, "only for "+r.Class))
	}
	return found
}

func (r Rule) judgeHopping(u Use) []Finding {
	have, unit := float64(max(u.Hopping, 1)), "channels"
	if u.fixed() {
		unit = "channel"
	}
	var found []Finding
	if r.MinHops > 0 {
		says := fmt.Sprintf("hopping over at least %d channels", r.MinHops)
		if u.fixed() {
			says += "; the frequency is fixed"
		}
		found = append(found, r.least(TopicHopping, says, have, float64(r.MinHops), 0, unit))
	}
	if r.MaxHops > 0 {
		found = append(found, r.most(TopicHopping, fmt.Sprintf("hopping over at most %d channels", r.MaxHops),
			have, float64(r.MaxHops), 0, unit))
	}
	return found
}

func (r Rule) listenText() string {
	says := fmt.Sprintf("listen %s before talking", durationText(r.ListenS))
	if r.ListenThresholdDBm != 0 {
		says += fmt.Sprintf(", threshold %g dBm", r.ListenThresholdDBm)
	}
	if r.ListenBWHz > 0 {
		says += fmt.Sprintf(" in %g kHz", r.ListenBWHz/1e3)
	}
	return says
}

// durationText prints seconds in the unit that suits; the input is above 0.
func durationText(s float64) string {
	switch {
	case s >= 1:
		return fmt.Sprintf("%.4g s", s)
	case s >= 1e-3:
		return fmt.Sprintf("%.4g ms", s*1e3)
	}
	return fmt.Sprintf("%.4g µs", s*1e6)
}

// judgeEdges explains why no row holds a channel: it crosses an edge of a row,
// touches a gap, or lies outside.
func judgeEdges(b Band, rules []Rule, u Use) []Finding {
	loHz, hiHz := u.edgesHz()
	var found []Finding
	for _, r := range rules {
		if u.FreqHz < r.FromHz || u.FreqHz > r.ToHz {
			continue
		}
		over := max(r.FromHz-loHz, hiHz-r.ToHz)
		found = append(found, r.finding(TopicEdge, Exceeds, fmt.Sprintf("the channel %s to %s MHz must lie inside %s to "+
			"%s MHz", mhz(loHz), mhz(hiHz), mhz(r.FromHz), mhz(r.ToHz))).numbers(over/1e3, 0, "kHz beyond the edge"))
	}
	for _, g := range gaps(b) {
		if hiHz <= g.fromHz+1 || loHz >= g.toHz-1 {
			continue
		}
		over := min(hiHz, g.toHz) - max(loHz, g.fromHz)
		found = append(found, Finding{Topic: TopicEdge, Status: Exceeds, Have: over / 1e3, Unit: "kHz in the gap",
			Says: fmt.Sprintf("%s to %s MHz lies between the rows of %s: alarm and narrow-band segments", mhz(g.fromHz),
				mhz(g.toHz), b)})
	}
	if len(found) == 0 {
		nearestHz := math.Inf(1)
		for _, r := range rules {
			nearestHz = min(nearestHz, max(r.FromHz-u.FreqHz, u.FreqHz-r.ToHz))
		}
		found = append(found, Finding{Topic: TopicEdge, Status: Exceeds, Have: nearestHz / 1e3,
			Unit: "kHz from the nearest row",
			Says: fmt.Sprintf("%s MHz lies outside %s, whose rows cover %s MHz", mhz(u.FreqHz), b, coverText(rules))})
	}
	return found
}

// coverText joins the stretches the rows cover, in order of frequency; rows of
// the tables that touch or overlap are joined.
func coverText(rules []Rule) string {
	var spans []gap
	for _, r := range rules {
		spans = append(spans, gap{r.FromHz, r.ToHz})
	}
	for i := 0; i < len(spans); i++ {
		for j := i + 1; j < len(spans); j++ {
			if s := spans[j]; s.fromHz <= spans[i].toHz && s.toHz >= spans[i].fromHz {
				spans[i] = gap{min(spans[i].fromHz, s.fromHz), max(spans[i].toHz, s.toHz)}
				spans = slices.Delete(spans, j, j+1)
				j = i // the wider one may touch those passed over
			}
		}
	}
	words := make([]string, len(spans))
	for i, s := range spans {
		words[i] = mhz(s.fromHz) + "-" + mhz(s.toHz)
	}
	return strings.Join(words, ", ")
}

// mhz prints a frequency in megahertz to the tenth of a kilohertz, without
// trailing zeros.
func mhz(hz float64) string { return strconv.FormatFloat(math.Round(hz/100)/1e4, 'f', -1, 64) }
