package timepercent

import "math"

// ducts are the ways through ducts and by layers that reflect: L_ba in p % of time is
// atBeta + perDecade log10(p/β) + 12 (p/β)^Γ; ITU-R P.1812-6 §4.5 eq (46) and (53).
type ducts struct{ atBeta, perDecade, beta, gamma float64 }

func (d *ducts) loss(percent float64) float64 {
	log := math.Log10(percent / d.beta)
	return d.atBeta + d.perDecade*log + 12*exp10(d.gamma*log)
}

// ducts are those of the path, with β0; eq (47) to (56).
func (p *Path) ducts(beta0 float64) (out ducts) {
	fGHz, d := p.FreqHz/1e9, p.DistM/1e3
	dA, dB := p.Horizons.AM/1e3, p.Horizons.BM/1e3
	radiusKm := p.EffectiveRadiusM / 1e3
	thetaA, thetaB := 1e3*p.Horizons.ARad, 1e3*p.Horizons.BRad // mrad

	fixed := 102.45 + 20*math.Log10(fGHz*(dA+dB)) // A_f, eq (47)
	if fGHz < 0.5 {
		fixed += 45.375 - 137*fGHz + 92.5*fGHz*fGHz // eq (47a)
	}
	fixed += shielding(thetaA, dA, fGHz) + shielding(thetaB, dB, fGHz)
	fixed += p.coupling(p.ACoastM, p.Horizons.AM, p.AHeightM) + p.coupling(p.BCoastM, p.Horizons.BM, p.BHeightM)

	perMrad := 5e-5 * radiusKm * math.Cbrt(fGHz)                        // γ_d, eq (50)
	theta := 1e3*d/radiusKm + min(thetaA, 0.1*dA) + min(thetaB, 0.1*dB) // θ', eq (51), (52)
	out.atBeta = fixed + perMrad*theta - 12
	out.perDecade = 1.2 + 3.7e-3*d
	out.beta = beta0 * p.terrainPart() * p.roughnessPart() // eq (54)
	log := math.Log10(out.beta)
	out.gamma = 1.076 / math.Pow(2.0058-log, 1.012) *
		math.Exp(-(9.51-4.8*log+0.198*log*log)*1e-6*math.Pow(d, 1.13)) // eq (53a)
	return out
}

// shielding is A_st or A_sr of an end, eq (48), (48a).
func shielding(thetaMrad, horizonKm, fGHz float64) float64 {
	over := thetaMrad - 0.1*horizonKm
	if !(over > 0) {
		return 0
	}
	return 20*math.Log10(1+0.361*over*math.Sqrt(fGHz*horizonKm)) + 0.264*over*math.Cbrt(fGHz)
}

// coupling is A_ct or A_cr of an end that looks over sea nearby, eq (49).
func (p *Path) coupling(coastM, horizonM, heightM float64) float64 {
	if !(p.SeaFraction >= 0.75 && coastM <= horizonM && coastM <= 5e3) {
		return 0
	}
	km := coastM / 1e3
	return -3 * math.Exp(-0.25*km*km) * (1 + math.Tanh(0.07*(50-heightM)))
}

// terrainPart is μ2, eq (55), (55a).
func (p *Path) terrainPart() float64 {
	d := p.DistM / 1e3
	alpha := max(-0.6-3.5e-9*math.Pow(d, 3.1)*p.tau(), -3.4)
	roots := math.Sqrt(p.SmoothAM) + math.Sqrt(p.SmoothBM)
	return min(math.Pow(500/(p.EffectiveRadiusM/1e3)*d*d/(roots*roots), alpha), 1)
}

// roughnessPart is μ3, eq (56), (56a).
func (p *Path) roughnessPart() float64 {
	if !(p.RoughM > 10) {
		return 1
	}
	between := min((p.DistM-p.Horizons.AM-p.Horizons.BM)/1e3, 40)
	return math.Exp(-4.6e-5 * (p.RoughM - 10) * (43 + 6*between))
}
