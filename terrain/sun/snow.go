package sun

import "math"

// Snow on the panel, by month and tilt: T. Townsend and L. Powers, "Photovoltaics
// and snow: an update from two winters of measurements in the Sierra", 37th IEEE
// Photovoltaic Specialists Conference (2011), 3231-3236. A fit to modules
// at tilts of 0 to 39 degrees (from memory); beyond that its cosine carries on.

// snowMonth is what the model asks of a month.
type snowMonth struct {
	snowCM       float64 // fallen
	events       float64 // days of snowfall
	airK         float64 // mean
	humidityPerc float64 // relative, per cent
	planeKWhM2   float64 // on the panel in the whole month, without snow
}

// effectiveCM is the snow that counts.
func (m snowMonth) effectiveCM() float64 {
	if !(m.snowCM > 0) || !(m.events > 0) {
		return 0
	}
	return 0.5 * m.snowCM * (1 + 1/m.events)
}

// snowLoss returns the share of a month's energy that snow takes, 0 to 1, given
// the month before; slantM is the length of the panel up its slope, edgeM the
// height of its lower edge, metres.
func snowLoss(m, before snowMonth, tiltDeg, slantM, edgeM float64) float64 {
	const c1, c2, reposeDeg = 5.7e4, 0.51, 40.0
	effectiveM := (before.effectiveCM()/3 + 2*m.effectiveCM()/3) / 100
	if !(effectiveM > 0) {
		return 0
	}
	if !(m.planeKWhM2 > 0) {
		return 0 // nothing to lose
	}
	cos := max(0, math.Cos(tiltDeg*deg))
	// What slides off piles up before the lower edge; snow as deep as that edge
	// is the worst that can be.
	ground := 1.0
	if depth := edgeM*edgeM - effectiveM*effectiveM; depth > 0 {
		ground = 1 - c2*math.Exp(-slantM*effectiveM*cos/depth*2*math.Tan(reposeDeg*deg))
	}
	const inchM = 0.0254
	percent := c1 * effectiveM / inchM * cos * cos * ground * m.humidityPerc / (m.airK * m.airK) / math.Pow(m.planeKWhM2,
		0.67)
	return min(1, percent/100)
}

// A small panel on a pole, in the damp air of a winter day with snow.
const snowSlantM, snowEdgeM, snowHumidityPerc = 0.3, 2.0, 80.0

// snow returns what snow takes of each month on the panel, and whether the
// climate states any.
func (r *run) snow() (loss [12]float64, stated bool) {
	var months [12]snowMonth
	for i := range months {
		m := &r.climate.Months[i]
		stated = stated || m.SnowCM > 0
		airK, _ := r.climate.air(r.latDeg, i)
		months[i] = snowMonth{snowCM: m.SnowCM, events: m.SnowDays, airK: airK, humidityPerc: snowHumidityPerc}
	}
	if !stated {
		return loss, false
	}
	bare := *r
	for i := range bare.climate.Months {
		bare.climate.Months[i].SnowCM = 0
	}
	for i, m := range bare.monthly().Months {
		months[i].planeKWhM2 = m.PlaneWhM2 / 1000 * float64(monthStart[i+1]-monthStart[i])
	}
	for i := range loss {
		loss[i] = snowLoss(months[i], months[(i+11)%12], r.panel.TiltDeg, snowSlantM, snowEdgeM)
	}
	return loss, true
}

// cover takes a share of a month's energy on the panel away, from the middle of
// its dark week on, day after day: snow lies for days.
func cover(days []Day, share float64) {
	sum := 0.0
	for i := range days {
		sum += days[i].PlaneWhM2()
	}
	take := share * sum
	for k := range days {
		d := &days[(int(darkestAt*float64(len(days)))+k)%len(days)]
		has := d.PlaneWhM2()
		if !(take > 0) || has == 0 {
			continue
		}
		left := max(0, 1-take/has)
		for h := range d.Hours {
			d.Hours[h].PlaneWM2 *= left
			d.Hours[h].YieldWPerWp *= left
		}
		take -= has * (1 - left)
	}
}
