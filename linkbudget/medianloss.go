package linkbudget

import (
	"fmt"

	"github.com/polereach/polereach/terrain"
)

// median is the median basic transmission loss and its parts.
type median struct {
	freeSpace   DB
	diffraction Diffraction
	scatter     DB // what troposcatter takes off, at least 0
	total       DB
}

// medianLoss follows ITU-R P.1812-6: eq (8) free space over the slant
// distance, eq (39) delta-Bullington, eq (42) their sum, eq (44) troposcatter
// at 50 % of time, eq (63) the combination of both. Ducting and the
// low-percentage terms of the Recommendation are left out: they only lower
// the loss for small percentages of time.
func medianLoss(p terrain.Profile, sight Sightline, a, b Station, env Environment) median {
	distM := p.LengthM()
	m := median{
		freeSpace: FreeSpace(SlantM(distM, sight.AHeightM, sight.BHeightM), env.FreqHz),
		diffraction: DeltaBullington(DiffractionPath{
			DistM: p.DistM, GroundM: p.HeightM,
			AHeightM: a.HeightM, BHeightM: b.HeightM,
			EffectiveRadiusM: sight.EffectiveRadiusM, FreqHz: env.FreqHz,
			Polarisation: env.Polarisation,
		}),
	}
	m.total = m.freeSpace + m.diffraction.LossDB
	if m.diffraction.LineOfSight {
		return m // scatter matters beyond the horizon only
	}
	aRad, bRad, _, _ := sight.HorizonAngles()
	scatter := Troposcatter{
		DistM: distM, FreqHz: env.FreqHz, EffectiveRadiusM: sight.EffectiveRadiusM,
		AHorizonRad: aRad, BHorizonRad: bRad,
		SurfaceRefractivity: env.SurfaceRefractivity, TimePercent: 50,
	}.Loss()
	combined := CombineTroposcatter(m.total, scatter)
	if gain := m.total - combined; gain >= leastScatterDB {
		m.scatter, m.total = gain, combined
	}
	return m
}

// leastScatterDB keeps troposcatter out of the list where it changes nothing
// that is printed.
const leastScatterDB DB = 0.0005

func (m median) terms() []Term {
	terms := []Term{
		{"free space", m.freeSpace, "ITU-R P.525-4 §2.3, slant distance"},
		{"diffraction", m.diffraction.LossDB, "ITU-R P.526-15 §4.5.2, delta-Bullington"},
	}
	if m.scatter > 0 {
		terms = append(terms, Term{"troposcatter", -m.scatter, "ITU-R P.1812-6 §4.4 eq (44), (63)"})
	}
	return terms
}

// direction sums one way. The sign appears here and nowhere else.
func direction(tx, rx Station, loss DB, modem Modem) Direction {
	d := Direction{
		From: tx.Name, To: rx.Name, TxDBm: tx.TxDBm,
		Items: []Term{
			{"transmitter feed loss", -tx.FeedLossDB, "as given"},
			{"transmitter antenna gain", tx.GainDBi, "as given"},
			{"path loss", -loss, "sum of terms"},
			{"receiver antenna gain", rx.GainDBi, "as given"},
			{"receiver feed loss", -rx.FeedLossDB, "as given"},
		},
		EIRPDBm: tx.EIRP(),
	}
	d.RxDBm = tx.TxDBm
	for _, item := range d.Items {
		d.RxDBm = d.RxDBm.Add(item.DB)
	}
	d.NoiseDBm = ThermalNoise(modem.BWHz).Add(rx.noiseFigure() + rx.NoiseRiseDB)
	d.SNRDB = d.RxDBm.Sub(d.NoiseDBm)
	d.SensitivityDBm = d.NoiseDBm.Add(modem.RequiredSNR())
	d.MarginDB = d.RxDBm.Sub(d.SensitivityDBm)
	return d
}

// rangeWarnings says where the path lies outside the range that ITU-R
// P.1812-6 states for itself: 0.25 to 3000 km, antennas 1 to 3000 m above ground.
func rangeWarnings(distM float64, a, b Station) []string {
	var w []string
	if distM < 250 {
		w = append(w, fmt.Sprintf("path of %.0f m is shorter than the 250 m from which ITU-R P.1812 is stated to hold", distM))
	}
	for _, s := range []Station{a, b} {
		if s.HeightM < 1 {
			w = append(w, fmt.Sprintf("antenna of %q at %g m is lower than the 1 m from which ITU-R P.1812 is stated to hold", s.Name, s.HeightM))
		}
	}
	return w
}
