package band

// channelsMHz are the first channels of each band's plan, by which a node is set up
// where nobody states a frequency. LoRaWAN regional parameters v1.0.3A and
// RP002-1.0.5: the default channels, for 64-channel plans the first of 125 and of
// 500 kHz. Bands without a plan of their own take that of the same stretch;
// at 169 MHz the middles of the rows stand in (engineering judgement).
func channelsMHz(b Band) []float64 {
	switch b {
	case EU868, UK868:
		return []float64{868.1, 868.3, 868.5}
	case EU433, IN433:
		return []float64{433.175, 433.375, 433.575}
	case EU169:
		return []float64{169.4375, 169.7}
	case US915, CA915:
		return []float64{902.3, 903}
	case AU915, NZ915, BR915:
		return []float64{915.2, 915.9}
	case IN865:
		return []float64{865.0625, 865.4025, 865.985}
	case KR920:
		return []float64{922.1, 922.3, 922.5}
	case JP920, AS9231:
		return []float64{923.2, 923.4}
	case AS9232: // group 1 less 1.8 MHz (RP002-1.0.5, 3.10)
		return []float64{921.4, 921.6}
	case AS9233: // less 6.6 MHz
		return []float64{916.6, 916.8}
	case AS9234: // less 5.9 MHz
		return []float64{917.3, 917.5}
	case CN470:
		return []float64{470.3}
	case RU864:
		return []float64{868.9, 869.1}
	}
	return nil
}

// DefaultChannelHz returns the first channel of the band's plan that a row for plain
// nodes holds at this LoRa bandwidth, in hertz, or the plan's first where none does;
// 0 for an unknown band.
func DefaultChannelHz(b Band, bwHz float64) float64 {
	channels := channelsMHz(b)
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
