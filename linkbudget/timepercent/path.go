package timepercent

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Path is a path, once for all percentages of time.
type Path struct {
	DistM, FreqHz float64 // above 0
	// EffectiveRadiusM is that of the median air, m.
	EffectiveRadiusM float64
	// AHeightM and BHeightM are the antennas above the sea, h_ts and h_rs.
	AHeightM, BHeightM float64
	FreeSpaceDB        radio.DB
	// MedianDB and BetaDB are the diffraction loss over the median earth and over one of
	// three times its radius: L_d50 and L_dβ.
	MedianDB, BetaDB radio.DB
	Horizons         diffraction.Horizons
	// SmoothAM and SmoothBM are the antennas above the smooth surface, h_te and h_re of eq
	// (92); RoughM is how far the ground between the horizons rises over it, h_m.
	SmoothAM, SmoothBM, RoughM float64
	// ScatterDB is the loss by troposcatter at half the time, L_bs.
	ScatterDB radio.DB
	Region
}

// betaRadiusM is a_β, eq (7b).
const betaRadiusM = 3 * radio.MeanEarthRadiusM

// Over fills in all that the ground decides: the relief was gathered from path, and
// median is its diffraction loss. What stays to be said are FreeSpaceDB, ScatterDB and
// Region. Other objects may make it panic.
func (p *Path) Over(r *diffraction.Relief, path *diffraction.Path, median radio.DB) {
	last := len(path.DistM) - 1
	p.DistM, p.FreqHz, p.EffectiveRadiusM = path.DistM[last], path.FreqHz, path.EffectiveRadiusM
	p.AHeightM, p.BHeightM = path.GroundM[0]+path.AHeightM, path.GroundM[last]+path.BHeightM
	p.MedianDB = median
	p.BetaDB, _, _ = r.LossOver(path, betaRadiusM)
	p.Horizons = r.Horizons()
	hA, hB := r.Fitted()
	p.SmoothAM, p.SmoothBM = max(hA, path.AHeightM), max(hB, path.BHeightM) // eq (90) to (92)
	p.RoughM = r.Roughness(p.SmoothAM, p.SmoothBM, p.Horizons)
}

// Losses are the losses of ITU-R P.1812-6 not exceeded for a percentage of time, dB, by
// their names in it. FreeP holds focusing and multipath (L_b0p), Diffracted is L_bd, LeastP
// L_minb0p, Ducting L_ba, DuctingLeast L_minbap, DuctingDiffracted L_bda, Modified L_bam,
// Scatter L_bs, Combined L_bc.
type Losses struct {
	FreeP, Diffraction, Diffracted, LeastP, Ducting, DuctingLeast, DuctingDiffracted, Modified, Scatter, Combined radio.DB
	// Interpolation is F_i, Slope F_j, Distance F_k.
	Interpolation, Slope, Distance float64
}

// At returns the losses at 1 to 50 % of time; ITU-R P.1812-6 §4.2 to 4.7.
func (p *Path) At(percent float64) (l Losses) {
	beta := p.BetaPercent()
	free, median := float64(p.FreeSpaceDB), float64(p.FreeSpaceDB+p.MedianDB) // eq (42)
	freeP := free + p.focusing(percent)                                       // eq (10)
	if l.Interpolation = 1; percent > beta {                                  // eq (40)
		l.Interpolation = complementary(percent/100) / complementary(beta/100)
	}
	bent := float64(p.MedianDB) + l.Interpolation*float64(p.BetaDB-p.MedianDB) // eq (41)
	diffracted := freeP + bent                                                 // eq (43)
	ducting := p.ducting(percent)

	theta := 1e3 * p.Horizons.AngleRad(p.DistM, p.EffectiveRadiusM)
	l.Slope = 1 - 0.5*(1+math.Tanh(3*0.8*(theta-0.3)/0.3))        // eq (57)
	l.Distance = 1 - 0.5*(1+math.Tanh(3*0.5*(p.DistM/1e3-20)/20)) // eq (58)
	leastP := freeP + (1-p.SeaFraction)*bent                      // eq (59)
	if percent >= beta {
		leastP = median + (free+p.focusing(beta)+(1-p.SeaFraction)*bent-median)*l.Interpolation
	}
	least := 2.5 * logSumExp(ducting/2.5, freeP/2.5) // eq (60)
	both := diffracted                               // eq (61)
	if least <= diffracted {
		both = least + (diffracted-least)*l.Distance
	}
	modified := both + (leastP-both)*l.Slope // eq (62)

	l.FreeP, l.Diffraction, l.Diffracted, l.LeastP = radio.DB(freeP), radio.DB(bent), radio.DB(diffracted), radio.DB(leastP)
	l.Ducting, l.DuctingLeast, l.DuctingDiffracted = radio.DB(ducting), radio.DB(least), radio.DB(both)
	l.Modified = radio.DB(modified)
	l.Scatter = p.ScatterDB - radio.DB(10.125*math.Pow(math.Log10(50/min(percent, 50)), 0.7)) // eq (44)
	l.Combined = diffraction.CombineTroposcatter(l.Modified, l.Scatter)                       // eq (63)
	return l
}

// focusing is what focusing and multipath take off in p % of time, E_sp, at most 0; eq (9).
func (p *Path) focusing(percent float64) float64 {
	return 2.6 * -math.Expm1(-0.1e-3*(p.Horizons.AM+p.Horizons.BM)) * math.Log10(percent/50)
}

func logSumExp(a, b float64) float64 { return max(a, b) + math.Log1p(math.Exp(-math.Abs(a-b))) }

// Loss returns L_b, the basic transmission loss not exceeded for 1 to 50 % of time in
// placePercent of places, 1 to 99, that scatter by sigma; ITU-R P.1812-6 eq (69). A surveyed
// place has sigma 0.
func (p *Path) Loss(percent, placePercent float64, sigma radio.DB) radio.DB {
	l := p.At(percent)
	return max(l.FreeP, l.Combined-radio.DB(complementary(placePercent/100))*sigma)
}
