package timepercent

import (
	"math"

	"github.com/polereach/polereach/linkbudget/radio"
)

// Fades is the law by which a path loses more than its median in the bad half of the time.
// ITU-R P.1812 ends at 50 %.
type Fades struct {
	clear  multipath
	behind float64 // share of the law behind horizons, 0 to 1
	// spreadDB is how far the loss not exceeded for 90 % of time lies above the median there.
	spreadDB float64
}

// FadesOf is what decides the fades of a path.
type FadesOf struct {
	DistM, FreqHz float64 // above 0
	// AHeightM and BHeightM are the antennas above the sea, m.
	AHeightM, BHeightM float64
	// DiffractionDB is the median diffraction loss, at least 0.
	DiffractionDB radio.DB
	LatDeg        float64
}

// What measurements of others say of the bad half of the time decides over the formulas: on
// paths of hundreds of kilometres behind horizons about 10 dB (90 %) and 17 dB (99 %) above the
// median, at 4 to 6 km 1 to 4 dB. The Y(90) of ITU-R P.617 for temperate land (from memory)
// starts there, at -10.1 dB, and falls to -7.7 dB at 300 km, which they do not show; and it
// is made for troposcatter alone, so that at 5 km it would have 10 dB too. Hence one figure,
// which comes in with the distance: at 5 km 1.8 and 3.2 dB.
const (
	fullSpreadDB = 10
	fullSpreadM  = 25e3
)

// horizonDB is the diffraction loss from where on a path counts as behind horizons rather than
// in clear view, by 1 - 1/e: that of an edge on the direct ray. Engineering judgement, without
// a step from one to the other.
const horizonDB = 6

// Fades returns the law. In clear view it is the multipath fading of ITU-R P.530-17, behind
// horizons the variability of troposcatter in the form of P.617, which needs no maps as
// P.2001 does.
func (f FadesOf) Fades() (law Fades) {
	law.clear = multipathOver(&f)
	law.behind, law.spreadDB = f.behind(), f.spreadDB()
	return law
}

func (f *FadesOf) behind() float64   { return -math.Expm1(-float64(f.DiffractionDB) / horizonDB) }
func (f *FadesOf) spreadDB() float64 { return fullSpreadDB * -math.Expm1(-f.DistM/fullSpreadM) }

// Exceeded returns the share of time, 0 to 0.5, in which the loss is more than db over the
// median; db below 0 counts as 0. Behind horizons C(q) = 1.26 (-log10((100-q)/50))^0.63
// times the spread is not exceeded for q % of time, ITU-R P.617 (its continuous form, from
// memory), here solved for q.
func (l *Fades) Exceeded(db radio.DB) float64 {
	over := max(float64(db), 0)
	share := 0.0
	if l.behind < 1 {
		share = (1 - l.behind) * l.clear.exceeded(over)
	}
	if l.behind > 0 {
		share += l.behind * 0.5 * exp10(-math.Exp(math.Log(over/(1.26*l.spreadDB))/0.63))
	}
	return share
}

// NotExceeded returns how far the loss not exceeded for 50 to 99.9 % of time lies above the
// median, dB.
func (l *Fades) NotExceeded(percent float64) radio.DB { return l.notExceeded(percent, 50) } // to 1e-13 dB

// notExceeded halves 100 dB so many times.
func (l *Fades) notExceeded(percent float64, times int) radio.DB {
	low, high := radio.DB(0), radio.DB(100)
	for range times {
		if mid := (low + high) / 2; l.Exceeded(mid) > 1-percent/100 {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
