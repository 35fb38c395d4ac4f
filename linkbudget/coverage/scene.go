package coverage

import (
	"math"

	"github.com/polereach/polereach/linkbudget"
)

// newScene works out what is the same for all cells of an area, for the pole's antenna at
// antennaM above the datum.
func newScene(area linkbudget.Area, antennaM float64) scene {
	env, wavelengthM := area.Env, linkbudget.WavelengthM(area.Env.FreqHz)
	curve := 1 / (2 * linkbudget.EffectiveRadiusM(env.K))
	z := newBeyond(area)
	mostM, perM := env.Terrain.Form()
	s := scene{
		perWave: vectorOf(2 / wavelengthM),
		curve:   vectorOf(curve), rootCurve: vectorOf(math.Sqrt(curve)),
		freeDB:   vectorOf(20 * math.Log10(4*math.Pi/wavelengthM)),
		budgetDB: vectorOf(float64(area.BudgetDB)),
		perM:     vectorOf(perM),
		mostM:    vectorOf(mostM),
		antennaM: vectorOf(antennaM),
		poleM:    vectorOf(area.HeightAM), rxM: vectorOf(area.HeightBM), footM: vectorOf(area.HeightAM - area.HeightBM),
		clearCurve: vectorOf(curve / 4),
		clearRoot:  vectorOf(math.Sqrt(linkbudget.PlainlyClearM2(1, math.Inf(1), wavelengthM))),
		distFrom:   placesOf(z.dist.from), distLast: placesOf(int32(len(z.dist.value) - 2)), dist: z.dist.value,
		heightFrom: placesOf(z.heights.from), heightLast: placesOf(int32(len(z.heights.value) - 2)), height: z.heights.value,
		phi: phiTable,
	}
	// P.1812-6 eq 44 at 50 % of time over 1 km at no angle: its own function, so
	// that the constants stand in one place.
	s.scatterDB = vectorOf(float64(linkbudget.Troposcatter{
		DistM: 1000, FreqHz: env.FreqHz, EffectiveRadiusM: math.Inf(1),
		SurfaceRefractivity: env.SurfaceRefractivity, TimePercent: 50,
	}.Loss()) - 20*math.Log10(1000))
	if area.A.Polarisation != area.B.Polarisation {
		s.crossDB, s.leastCrossDB = vectorOf(float64(linkbudget.CrossPolarLossClear)), vectorOf(float64(linkbudget.CrossPolarLossObstructed))
	}
	for i := range diffractionEntries + 1 {
		loss := linkbudget.DB(i) / 2
		s.model = append(s.model, float32(linkbudget.ModelDoubtDB(loss)))
	}
	return s
}

// diffractionEntries are the steps of half a decibel of the tables over the
// diffraction loss; both are straight between places decibels, and level beyond 100.
const diffractionEntries = 200

// The table of the normal distribution function, from -6 to 6; beyond it is 0 or 1.
const (
	phiMost    = 6
	phiPerUnit = 64
	phiEntries = 2 * phiMost * phiPerUnit
)

var phiTable = func() []float32 {
	t := make([]float32, phiEntries+1)
	for i := range t {
		t[i] = float32(linkbudget.Phi(float64(i)/phiPerUnit - phiMost))
	}
	t[0], t[phiEntries] = 0, 1
	return t
}()
