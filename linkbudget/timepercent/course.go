package timepercent

import (
	"math"

	"github.com/polereach/polereach/linkbudget/diffraction"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Course is how the loss of a path goes with the percentage, and what no percentage changes.
type Course struct {
	free, median, bent, betaBent float64 // L_bfs, L_bd50, L_d50, L_dβ, dB
	overLand                     float64 // 1 - ω
	beta                         float64 // β0, per cent
	betaQuantile                 float64 // I(β0)
	perDecade                    float64 // of E_sp, dB
	slope, distance              float64 // F_j, F_k
	scatterDB                    radio.DB
	ducts                        ducts
}

// Course prepares the path for percentages.
func (p *Path) Course() (c Course) {
	c.free, c.median = float64(p.FreeSpaceDB), float64(p.FreeSpaceDB+p.MedianDB) // eq (42)
	c.bent, c.betaBent, c.overLand = float64(p.MedianDB), float64(p.BetaDB), 1-p.SeaFraction
	c.beta = p.BetaPercent()
	c.betaQuantile = complementary(c.beta / 100)
	c.perDecade = -2.6 * math.Expm1(-0.1e-3*(p.Horizons.AM+p.Horizons.BM)) // of eq (9)
	theta := 1e3 * p.Horizons.AngleRad(p.DistM, p.EffectiveRadiusM)
	c.slope = 1 - 0.5*(1+math.Tanh(3*0.8*(theta-0.3)/0.3))        // eq (57)
	c.distance = 1 - 0.5*(1+math.Tanh(3*0.5*(p.DistM/1e3-20)/20)) // eq (58)
	c.scatterDB, c.ducts = p.ScatterDB, p.ducts(c.beta)
	return c
}

// Losses are the losses of ITU-R P.1812-6 not exceeded for a percentage of time, dB, by
// their names in it. FreeP holds focusing and multipath (L_b0p), Diffraction is L_dp,
// Diffracted L_bd, LeastP L_minb0p, Ducting L_ba, DuctingLeast L_minbap, DuctingDiffracted
// L_bda, Modified L_bam, Scatter L_bs, Combined L_bc.
type Losses struct {
	FreeP, Diffraction, Diffracted, LeastP, Ducting, DuctingLeast, DuctingDiffracted, Modified, Scatter, Combined radio.DB
	// Interpolation is F_i, Slope F_j, Distance F_k.
	Interpolation, Slope, Distance float64
}

// At returns the losses at 1 to 50 % of time; ITU-R P.1812-6 §4.2 to 4.7.
func (c *Course) At(percent float64) (l Losses) {
	freeP := c.free + c.focusing(percent) // eq (10)
	share := 1.0                          // eq (40)
	if percent > c.beta {
		share = complementary(percent/100) / c.betaQuantile
	}
	bent := c.bent + share*(c.betaBent-c.bent) // eq (41)
	diffracted := freeP + bent                 // eq (43)
	ducting := c.ducts.loss(percent)

	leastP := freeP + c.overLand*bent // eq (59)
	if percent >= c.beta {
		leastP = c.median + (c.free+c.focusing(c.beta)+c.overLand*bent-c.median)*share
	}
	least := 2.5 * logSumExp(ducting/2.5, freeP/2.5) // eq (60)
	both := diffracted                               // eq (61)
	if least <= diffracted {
		both = least + (diffracted-least)*c.distance
	}
	l.Interpolation, l.Slope, l.Distance = share, c.slope, c.distance
	l.FreeP, l.Diffraction, l.Diffracted = radio.DB(freeP), radio.DB(bent), radio.DB(diffracted)
	l.LeastP, l.Ducting = radio.DB(leastP), radio.DB(ducting)
	l.DuctingLeast, l.DuctingDiffracted = radio.DB(least), radio.DB(both)
	l.Modified = radio.DB(both + (leastP-both)*c.slope)                                       // eq (62)
	l.Scatter = c.scatterDB - radio.DB(10.125*math.Pow(math.Log10(50/min(percent, 50)), 0.7)) // eq (44)
	l.Combined = diffraction.CombineTroposcatter(l.Modified, l.Scatter)                       // eq (63)
	return l
}

// focusing is what focusing and multipath take off in p % of time, E_sp, at most 0; eq (9).
func (c *Course) focusing(percent float64) float64 { return c.perDecade * math.Log10(percent/50) }

func logSumExp(a, b float64) float64 { return max(a, b) + math.Log1p(math.Exp(-math.Abs(a-b))) }

// Loss returns L_b, the basic transmission loss not exceeded for 1 to 50 % of time in
// placePercent of places, 1 to 99, that scatter by sigma; ITU-R P.1812-6 eq (69). A surveyed
// place has sigma 0.
func (c *Course) Loss(percent, placePercent float64, sigma radio.DB) radio.DB {
	l := c.At(percent)
	return max(l.FreeP, l.Combined-radio.DB(complementary(placePercent/100))*sigma)
}
