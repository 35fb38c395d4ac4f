package timepercent

import (
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
