package band

// DefaultChannelHz returns the first channel of the band's plan that a row for plain
// nodes holds at this LoRa bandwidth, in hertz, or the plan's first where none does;
// 0 for an unknown band.
func DefaultChannelHz(b Band, bwHz float64) float64 {
	var channels []float64
	for _, t := range tables {
		if t.band == b {
			channels = t.channelsMHz
		}
	}
	for _, mhz := range channels {
		u := Use{FreqHz: mhz * 1e6, BWHz: bwHz}
		for _, r := range held(Rules(b), u) {
			if r.Class == "" && (r.MaxChannelHz == 0 || bwHz <= r.MaxChannelHz+1) {
				return u.FreqHz
			}
		}
	}
	if len(channels) == 0 {
		return 0
	}
	return channels[0] * 1e6
}

// DefaultBandwidthHz returns the narrowest LoRa bandwidth of 125, 250 and 500 kHz at which the
// band's table holds a plain node of 0 dBm on its default channel, a fixed one; 125 kHz where
// none is and for an unknown band.
func DefaultBandwidthHz(b Band) float64 {
	for _, hz := range []float64{125e3, 250e3, 500e3} {
		r, err := Check(b, Use{FreqHz: DefaultChannelHz(b, hz), BWHz: hz})
		if err == nil && r.Verdict() == Within {
			return hz
		}
	}
	return 125e3
}

// Covers tells whether a carrier lies in one of the band's rows or in a stretch
// between them that the table names; at any bandwidth.
func (b Band) Covers(freqHz float64) bool {
	for _, r := range Rules(b) {
		if r.holds(freqHz, freqHz) {
			return true
		}
	}
	for _, g := range gaps(b) {
		if freqHz >= g.fromHz && freqHz <= g.toHz {
			return true
		}
	}
	return false
}

// Spans returns the stretches that the band's rows cover, in text and megahertz.
func (b Band) Spans() string { return coverText(Rules(b)) }
